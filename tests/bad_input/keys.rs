//! Faults of the text and of single keys.

use super::{Case, SMALLEST, edited, raw, with};

pub fn text_cases() -> Vec<Case> {
    let mut latin = SMALLEST.as_bytes().to_vec();
    latin[50] = 0xe9;
    vec![
        ("empty file", raw(""), "S004", "nursery.json:1:1"),
        ("not UTF-8", raw(latin), "S001", "nursery.json:3:15"),
        (
            "nested 200,000 deep",
            raw("[".repeat(200_000)),
            "S003",
            "nursery.json:1:66",
        ),
        (
            "nested objects",
            raw("{\"a\":".repeat(200_000)),
            "S003",
            "nursery.json:1:326",
        ),
        (
            "a comment",
            edited("\"trays\"", "// ours\n  \"trays\""),
            "S004",
            "nursery.json:13:3",
        ),
        (
            "a trailing comma",
            edited("{ \"stock\": 500 }", "{ \"stock\": 500, }"),
            "S004",
            "nursery.json:13:28",
        ),
        (
            "a missing comma",
            edited("nursery\",", "nursery\""),
            "S004",
            "nursery.json:4:3",
        ),
        (
            "cut off",
            raw(&SMALLEST[..300]),
            "S004",
            "nursery.json:7:102",
        ),
        (
            "text after the end",
            raw(format!("{SMALLEST}x")),
            "S004",
            "nursery.json:16:1",
        ),
        ("NaN", edited("0.5", "NaN"), "S004", "nursery.json:7:32"),
        (
            "a list at the top",
            raw("[1, 2]"),
            "S007",
            "nursery.json:1:1",
        ),
        ("a plain number", raw("12"), "S007", "nursery.json:1:1"),
    ]
}

pub fn key_cases() -> Vec<Case> {
    vec![
        (
            "unknown key, a slip",
            edited("\"area_ha\"", "\"are_ha\""),
            "S005",
            "nursery.json:7:21 fields[0].are_ha",
        ),
        (
            "unknown key, a stranger",
            with("colour", "\"red\""),
            "S005",
            "nursery.json:4:3 colour",
        ),
        (
            "missing key",
            edited("\"area_ha\": 0.5, ", ""),
            "S006",
            "nursery.json:7:5 fields[0].area_ha",
        ),
        (
            "missing section",
            edited("\"beds\": [{ \"id\": \"house\", \"area_m2\": 120 }],", ""),
            "S006",
            "nursery.json:1:1 beds",
        ),
        (
            "mistyped: text for a number",
            edited("0.5", "\"half\""),
            "S007",
            "nursery.json:7:32 fields[0].area_ha",
        ),
        (
            "mistyped: number for a list",
            edited("[{ \"id\": \"line\" }]", "7"),
            "S007",
            "nursery.json:10:12 lines",
        ),
        (
            "null",
            edited("500", "null"),
            "S007",
            "nursery.json:13:23 trays.stock",
        ),
        (
            "double key",
            edited("\"area_ha\": 0.5,", "\"area_ha\": 0.5, \"area_ha\": 0.6,"),
            "S008",
            "nursery.json:7:37 fields[0].area_ha",
        ),
        (
            "negative area",
            edited("0.5", "-0.5"),
            "S009",
            "nursery.json:7:32 fields[0].area_ha",
        ),
        (
            "no area",
            edited("0.5", "0"),
            "S009",
            "nursery.json:7:32 fields[0].area_ha",
        ),
        (
            "too many decimals",
            edited("0.5", "0.50001"),
            "S010",
            "nursery.json:7:32 fields[0].area_ha",
        ),
        (
            "half a tray",
            edited("500", "500.5"),
            "S010",
            "nursery.json:13:23 trays.stock",
        ),
        (
            "1e308",
            edited("0.5", "1e308"),
            "S011",
            "nursery.json:7:32 fields[0].area_ha",
        ),
        (
            "an endless number",
            edited("500", "1e999999999999999999999"),
            "S011",
            "nursery.json:13:23 trays.stock",
        ),
        (
            "share above one",
            edited("200 }", "200, \"reserve\": 5 }"),
            "S009",
            "nursery.json:7:120 fields[0].reserve",
        ),
        (
            "loosely written day",
            edited("2027-05-10/2027-05-16", "2027-5-10/2027-05-16"),
            "S012",
            "nursery.json:7:64 fields[0].window",
        ),
        (
            "two-digit year",
            with("pins", "[{ \"field\": \"mill\", \"plant\": \"27-05-12\" }]"),
            "S012",
            "nursery.json:4:40 pins[0].plant",
        ),
        (
            "a day that is not there",
            edited("2027-05-10/2027-05-16", "2027-02-29"),
            "S013",
            "nursery.json:7:64 fields[0].window",
        ),
        (
            "a year far away",
            edited("2027-05-10/2027-05-16", "1927-05-10"),
            "S023",
            "nursery.json:7:64 fields[0].window",
        ),
        (
            "window that ends before it begins",
            edited("2027-05-10/2027-05-16", "2027-05-16/2027-05-10"),
            "S014",
            "nursery.json:7:64 fields[0].window",
        ),
        (
            "not a choice",
            edited("\"people\": 5", "\"people\": 5, \"calendar\": \"bed\""),
            "S015",
            "nursery.json:14:53 crews[0].calendar",
        ),
        (
            "another version",
            edited("scenario/1", "scenario/2"),
            "S015",
            "nursery.json:2:13 format",
        ),
        (
            "empty name",
            edited("Two Willows nursery", " "),
            "S016",
            "nursery.json:3:11 name",
        ),
        (
            "an id with a blank",
            edited("\"id\": \"mill\"", "\"id\": \"old mill\""),
            "S017",
            "nursery.json:7:13 fields[0].id",
        ),
        (
            "empty list",
            edited("[{ \"id\": \"line\" }]", "[]"),
            "S018",
            "nursery.json:10:12 lines",
        ),
        (
            "empty window",
            edited("\"2027-05-10/2027-05-16\"", "[]"),
            "S018",
            "nursery.json:7:64 fields[0].window",
        ),
        (
            "both ways to say trays",
            edited("200 }", "200, \"row_cm\": 30 }"),
            "S019",
            "nursery.json:7:5 fields[0]",
        ),
        (
            "half a spacing",
            edited("\"mats_per_ha\": 200", "\"row_cm\": 30, \"picks\": 20"),
            "S019",
            "nursery.json:7:5 fields[0]",
        ),
        (
            "no way to say trays",
            edited(", \"mats_per_ha\": 200", ""),
            "S006",
            "nursery.json:7:5 fields[0]",
        ),
        (
            "a rest day twice",
            with(
                "calendars",
                "{ \"line\": { \"rest_days\": [\"sunday\", \"sunday\"] } }",
            ),
            "S024",
            "nursery.json:4:52 calendars.line.rest_days[1]",
        ),
        (
            "bad time of day",
            edited("\"people\": 5", "\"people\": 5, \"shift_start\": \"7:00\""),
            "S022",
            "nursery.json:14:56 crews[0].shift_start",
        ),
        (
            "soaking by square metre",
            with("work", "{ \"soak\": { \"per\": \"m2\" } }"),
            "S015",
            "nursery.json:4:30 work.soak.per",
        ),
        (
            "washing by weight",
            with("work", "{ \"wash\": { \"per\": \"kg\" } }"),
            "S015",
            "nursery.json:4:30 work.wash.per",
        ),
    ]
}
