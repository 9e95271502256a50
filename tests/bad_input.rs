//! Bad input gets a problem with its place, never a panic and never half a file.
//!
//! Each case below names the code and the place of its first problem; the whole text of every
//! problem is kept in one snapshot, in the order of the cases.

use sowrota::problems::Severity;
use sowrota::scenario::{self, Checked};
use std::collections::BTreeMap;
use supplies::{first_field, supply_cases};
use tables::table_cases;

#[path = "bad_input/supplies.rs"]
mod supplies;
#[path = "bad_input/tables.rs"]
mod tables;

const SMALLEST: &str = include_str!("smallest/nursery.json");
const FIELDS: &str = "\
id,area_ha,kind,window,mats_per_ha,reserve
mill,0.5,early,2027-05-10/2027-05-16,200,0.05
bank,1.2,late,2027-05-20/2027-05-22 2027-05-27/2027-05-29,190,0.05
";

/// A scenario's files.
struct Files {
    json: Vec<u8>,
    tables: BTreeMap<&'static str, Vec<u8>>,
}

fn read(files: &Files) -> Checked {
    scenario::read_bytes("nursery.json", &files.json, &|name| {
        files
            .tables
            .get(name)
            .cloned()
            .ok_or_else(|| "there is no such file".to_owned())
    })
}

fn raw(json: impl Into<Vec<u8>>) -> Files {
    Files {
        json: json.into(),
        tables: BTreeMap::new(),
    }
}

/// The smallest file with one text replaced.
fn edited(from: &str, to: &str) -> Files {
    assert!(SMALLEST.contains(from), "{from}");
    raw(SMALLEST.replacen(from, to, 1))
}

/// The smallest file with one more key at the top.
fn with(key: &str, value: &str) -> Files {
    edited(
        "\"horizon\"",
        &format!("\"{key}\": {value},\n  \"horizon\""),
    )
}

/// The smallest file with its list of fields in a table.
fn table(csv: impl Into<Vec<u8>>) -> Files {
    let (from, to) = (
        SMALLEST.find("\"fields\": [").unwrap(),
        SMALLEST.find("  \"lines\"").unwrap(),
    );
    let json = format!(
        "{}\"fields\": \"fields.csv\",\n{}",
        &SMALLEST[..from],
        &SMALLEST[to..]
    );
    Files {
        json: json.into(),
        tables: BTreeMap::from([("fields.csv", csv.into())]),
    }
}

fn fields(from: &str, to: &str) -> Files {
    assert!(FIELDS.contains(from), "{from}");
    table(FIELDS.replacen(from, to, 1))
}

/// The smallest file with ages in leaves and a table of weather.
fn weather(csv: &str) -> Files {
    let json = SMALLEST
        .replace("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"age\": { \"clock\": \"leaves\", \"youngest\": 2, \"target\": 2.3, \"oldest\": 2.8 } }")
        .replace("\"horizon\": \"2027-04-05/2027-06-12\"", "\"horizon\": \"2027-05-10/2027-05-29\", \"weather\": \"weather.csv\"");
    Files {
        json: json.into(),
        tables: BTreeMap::from([("weather.csv", csv.into())]),
    }
}

fn every_day(skip: &[u32]) -> String {
    let days = (10..=29).filter(|day| !skip.contains(day));
    let rows: Vec<String> = days.map(|day| format!("2027-05-{day:02},9,20\n")).collect();
    format!("date,min_c,max_c\n{}", rows.concat())
}

/// Name of the case, its files, code and place of the first problem.
type Case = (&'static str, Files, &'static str, &'static str);

fn text_cases() -> Vec<Case> {
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

fn key_cases() -> Vec<Case> {
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

fn cross_cases() -> Vec<Case> {
    let sown = |field: &str, part: u32, day: &str, trays: u32| {
        with(
            "opening",
            &format!(
                "{{ \"sown\": [{{ \"field\": \"{field}\", \"part\": {part}, \"sown\": \"{day}\", \"trays\": {trays}, \
             \"germination\": \"room\", \"green_bed\": \"house\", \"harden_bed\": \"house\" }}] }}"
            ),
        )
    };
    vec![
        ("unknown kind", edited("\"kind\": \"early\"", "\"kind\": \"erly\""), "S020", "nursery.json:7:45 fields[0].kind"),
        ("unknown crew", with("work", "{ \"sow\": { \"crew\": \"night\" } }"), "S020", "nursery.json:4:30 work.sow.crew"),
        ("unknown planter", edited("200 }", "200, \"planter\": \"big\" }"), "S020", "nursery.json:7:120 fields[0].planter"),
        ("double field", edited("\"id\": \"bank\"", "\"id\": \"mill\""), "S021", "nursery.json:8:13 fields[1].id"),
        ("window outside the horizon", edited("2027-05-10/2027-05-16", "2027-08-10/2027-08-16"), "S040", "nursery.json:7:64 fields[0].window"),
        ("horizon of three years", edited("2027-04-05/2027-06-12", "2027-04-05/2030-06-12"), "S041", "nursery.json:4:14 horizon"),
        ("ages out of order", edited("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"age\": { \"youngest\": 20, \"target\": 18, \"oldest\": 25 } }"), "S042", "nursery.json:5:37 kinds[0].age"),
        ("thresholds out of order", edited("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"growth\": { \"base_c\": 31 } }"), "S043", "nursery.json:5:40 kinds[0].growth"),
        ("no hardening", edited("120", "120, \"stages\": [\"green\"]"), "S048", "nursery.json:12:11 beds"),
        ("pin to nothing", with("pins", "[{ \"field\": \"hill\", \"plant\": \"2027-05-12\" }]"), "S020", "nursery.json:4:23 pins[0].field"),
        ("pin to a part that is not there", with("pins", "[{ \"field\": \"mill\", \"part\": 2, \"plant\": \"2027-05-12\" }]"), "S050", "nursery.json:4:39 pins[0].part"),
        ("pin outside the window", with("pins", "[{ \"field\": \"mill\", \"plant\": \"2027-05-20\" }]"), "S049", "nursery.json:4:40 pins[0].plant"),
        ("pin without a day", with("pins", "[{ \"field\": \"mill\" }]"), "S049", "nursery.json:4:12 pins[0]"),
        ("sown in the future", sown("mill", 1, "2027-04-05", 100), "S051", "nursery.json:4:63 opening.sown[0].sown"),
        ("sown for a part that is not there", sown("mill", 3, "2027-04-01", 100), "S050", "nursery.json:4:52 opening.sown[0].part"),
        ("more trays sown than owned", sown("mill", 1, "2027-04-01", 501), "S053", "nursery.json:14:23 trays.stock"),
        ("more parts than trays", edited("0.5,", "0.005, \"parts\": 3,"), "S050", "nursery.json:7:48 fields[0].parts"),
        ("window outside its season", edited("200 }", "200, \"season\": \"dry\" }").and("\"horizon\"", "\"seasons\": [{ \"id\": \"dry\", \"span\": \"2027-05-12/2027-05-20\" }],\n  \"horizon\""), "S054", "nursery.json:8:64 fields[0].window"),
        ("no weather where leaves are counted", edited("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"age\": { \"clock\": \"leaves\", \"youngest\": 2, \"target\": 2, \"oldest\": 3 } }"), "S046", "nursery.json weather"),
        ("set-up pair twice", edited("[{ \"id\": \"line\" }]", "[{ \"id\": \"line\", \"set_up_pairs\": [{ \"from\": \"late\", \"to\": \"late\", \"minutes\": 4 }] }]"), "S057", "nursery.json:10:46 lines[0].set_up_pairs[0]"),
    ]
}

impl Files {
    /// One more text replaced.
    fn and(self, from: &str, to: &str) -> Files {
        let json = String::from_utf8(self.json).unwrap();
        assert!(json.contains(from), "{from}");
        Files {
            json: json.replacen(from, to, 1).into(),
            ..self
        }
    }
}

fn cases() -> Vec<Case> {
    [
        text_cases(),
        key_cases(),
        cross_cases(),
        supply_cases(),
        table_cases(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[test]
fn every_bad_input_is_named_with_its_place() {
    let cases = cases();
    assert!(cases.len() >= 130, "{}", cases.len());
    let mut wrong = Vec::new();
    let mut told = String::new();
    for (name, files, code, place) in cases {
        let checked = read(&files);
        let errors: Vec<_> = checked
            .problems
            .0
            .iter()
            .filter(|problem| problem.severity == Severity::Error)
            .collect();
        assert!(
            checked.scenario.is_none(),
            "{name}: a scenario in spite of a problem"
        );
        told.push_str(&format!("# {name}\n"));
        for problem in &checked.problems.0 {
            told.push_str(&format!("{problem}\n"));
        }
        told.push('\n');
        match errors.first() {
            Some(first) if first.code == code && first.place.to_string() == place => {}
            Some(first) => wrong.push(format!(
                "{name}: {} at `{}`, not {code} at `{place}`",
                first.code, first.place
            )),
            None => wrong.push(format!("{name}: nothing found")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    insta::assert_snapshot!("problems", told);
}

#[test]
fn problems_are_gathered_and_their_consequences_are_not_told() {
    let json = SMALLEST
        .replace("\"area_ha\": 0.5", "\"are_ha\": 0.5")
        .replace("\"kind\": \"late\"", "\"kind\": \"latte\"")
        .replace("500", "-1")
        .replace("2027-05-20/2027-05-29", "2027-05-29/2027-05-20")
        .replace("\"people\": 5", "\"people\": \"five\"");
    let checked = read(&raw(json));
    let codes: Vec<&str> = checked
        .problems
        .0
        .iter()
        .map(|problem| problem.code)
        .collect();
    assert_eq!(codes, ["S005", "S020", "S014", "S009", "S007"]);
}

#[test]
fn a_file_of_nothing_but_faults_is_cut_short() {
    let field = |index: usize| format!("{{ \"id\": \"f{index}\" }}");
    let all: Vec<String> = (0..2_000).map(field).collect();
    let (from, to) = (
        SMALLEST.find("\"fields\": [").unwrap(),
        SMALLEST.find("  \"lines\"").unwrap(),
    );
    let json = format!(
        "{}\"fields\": [{}],\n{}",
        &SMALLEST[..from],
        all.join(","),
        &SMALLEST[to..]
    );
    let problems = read(&raw(json)).problems;
    assert_eq!(
        (problems.0.len(), problems.0.last().unwrap().code),
        (501, "S098")
    );
    assert!(problems.any_error());
}

#[test]
fn oddities_are_accepted_and_noted_or_warned() {
    let mut marked = b"\xef\xbb\xbf".to_vec();
    marked.extend_from_slice(SMALLEST.as_bytes());
    let commas = FIELDS.replace(',', ";").replace('.', ",");
    let mut told = String::new();
    for (name, files, codes) in [
        ("byte-order mark", raw(marked), &["S002"][..]),
        (
            "semicolons and decimal commas",
            table(format!("\u{feff}{commas}")),
            &["S002", "S033"],
        ),
        ("a million trays", edited("0.5", "5000"), &["S061"]),
        (
            "line of no capacity",
            edited(
                "[{ \"id\": \"line\" }]",
                "[{ \"id\": \"line\", \"set_trays_per_h\": 0 }]",
            ),
            &["S062"],
        ),
        (
            "line beyond 800",
            edited(
                "[{ \"id\": \"line\" }]",
                "[{ \"id\": \"line\", \"set_trays_per_h\": 900 }]",
            ),
            &["S063"],
        ),
        ("360 g a tray", edited("150", "360"), &["S060"]),
        (
            "stacks of 25",
            edited(
                "\"stack_places\": 30",
                "\"stack_places\": 30, \"height\": 25",
            ),
            &["S064"],
        ),
        (
            "stacks at 33 °C",
            edited(
                "\"stack_places\": 30",
                "\"stack_places\": 30, \"temperature\": { \"own_c\": 33 }",
            ),
            &["S065"],
        ),
        (
            "seven trays on a square metre",
            edited("120", "120, \"trays_per_m2\": 7"),
            &["S066"],
        ),
        (
            "a team of eight from five",
            with("work", "{ \"sow\": { \"team\": 8 } }"),
            &["S067"],
        ),
        (
            "soaking at 8 °C",
            edited(
                "{ \"id\": \"early\" }",
                "{ \"id\": \"early\", \"soak_water_c\": 8 }",
            ),
            &["S068"],
        ),
        (
            "no fields",
            raw(SMALLEST
                .replace("\n    { \"id\": \"mill\"", "] }")
                .split("] }")
                .next()
                .map(|head| {
                    format!(
                        "{head}],\n  \"lines\"{}",
                        SMALLEST.split("\"lines\"").nth(1).unwrap()
                    )
                })
                .unwrap()),
            &["S069"],
        ),
        (
            "preferred day outside",
            edited("200 }", "200, \"preferred\": \"2027-05-20\" }"),
            &["S070"],
        ),
        (
            "window half outside",
            edited("2027-05-20/2027-05-29", "2027-06-10/2027-06-20"),
            &["S071"],
        ),
        (
            "window all closed",
            edited("200 }", "200, \"closed\": \"2027-05-01/2027-05-20\" }"),
            &["S072"],
        ),
        (
            "harvest and window without a day in common",
            first_field("\"harvest_before\": \"2027-05-15\", \"harvest_first_days\": 5"),
            &["S073"],
        ),
        (
            "preferred day before the harvest",
            first_field(
                "\"harvest_before\": \"2027-05-10\", \"harvest_first_days\": 3, \"preferred\": \"2027-05-12\"",
            ),
            &["S070"],
        ),
        (
            "a grower whom no field names",
            with(
                "growers",
                "[{ \"id\": \"mil\", \"returns\": [{ \"days\": 3, \"share\": 1 }] }, \
                 { \"id\": \"bank\", \"returns\": [{ \"days\": 3, \"share\": 1 }] }]",
            ),
            &["S074"],
        ),
        (
            "fewer trays stand sown than are ordered",
            with(
                "opening",
                "{ \"sown\": [{ \"field\": \"mill\", \"part\": 1, \"sown\": \"2027-04-01\", \"trays\": 40, \
                 \"germination\": \"room\", \"green_bed\": \"house\", \"harden_bed\": \"house\" }] }",
            ),
            &["S076"],
        ),
        (
            "deliveries before and after",
            with(
                "seed_stores",
                "[{ \"kind\": \"late\", \"kg_dry\": 0, \"deliveries\": [{ \"day\": \"2027-04-04\", \"kg_dry\": 9 }, \
                 { \"day\": \"2027-04-05\", \"kg_dry\": 9 }, { \"day\": \"2027-06-13\", \"kg_dry\": 9 }] }]",
            ),
            &["S075", "S075"],
        ),
        (
            "soil that comes too late",
            with(
                "soil_stores",
                "[{ \"id\": \"loam\", \"litres\": 1, \"deliveries\": [{ \"day\": \"2027-07-01\", \"litres\": 9 }] }]",
            ),
            &["S075"],
        ),
        (
            "vehicles that carry nothing",
            with(
                "vehicles",
                "[{ \"id\": \"a\", \"trips_per_day\": 0, \"trays_per_trip\": 9, \"kg_per_trip\": 90 }, \
                 { \"id\": \"b\", \"trips_per_day\": 1, \"trays_per_trip\": 0, \"kg_per_trip\": 90 }, \
                 { \"id\": \"c\", \"trips_per_day\": 1, \"trays_per_trip\": 9, \"kg_per_trip\": 7.4 }]",
            ),
            &["S062", "S062", "S062"],
        ),
        (
            "no water",
            with("water", "{ \"litres_per_day\": 0 }"),
            &["S062"],
        ),
        (
            "rates of nothing and beyond 800",
            edited(
                "[{ \"id\": \"line\" }]",
                "[{ \"id\": \"line\", \"rates\": [{ \"kind\": \"early\", \"set_trays_per_h\": 0 }, \
                 { \"kind\": \"late\", \"set_trays_per_h\": 801 }] }]",
            ),
            &["S062", "S063"],
        ),
    ] {
        let checked = read(&files);
        let found: Vec<&str> = checked
            .problems
            .0
            .iter()
            .map(|problem| problem.code)
            .collect();
        told.push_str(&format!("# {name}\n"));
        for problem in &checked.problems.0 {
            told.push_str(&format!("{problem}\n"));
        }
        assert_eq!(found, codes, "{name}\n{told}");
        assert!(checked.scenario.is_some(), "{name}");
        told.push('\n');
    }
    insta::assert_snapshot!("oddities", told);
}

#[test]
fn a_table_says_the_same_as_the_list() {
    let listed = read(&edited(
        "\"2027-05-20/2027-05-29\"",
        "[\"2027-05-20/2027-05-22\", \"2027-05-27/2027-05-29\"]",
    ));
    let comma = read(&table(FIELDS));
    let semicolon = read(&table(FIELDS.replace(',', ";").replace('.', ",")));
    let spaced = read(&table(FIELDS.replace(',', " , ").replace('\n', "\r\n\r\n")));
    let expected = listed.scenario.unwrap();
    for checked in [comma, semicolon, spaced] {
        assert_eq!(checked.scenario.as_ref(), Some(&expected));
    }
}

#[test]
fn nothing_is_written_and_exit_codes_tell_what_happened() {
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let all = ["sowrota"]
            .iter()
            .chain(arguments)
            .map(std::ffi::OsString::from);
        sowrota::cli::run(all)
    };
    let path = folder.path().join("nursery.json");
    let listing = || {
        let mut names: Vec<_> = std::fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| {
                (
                    entry.as_ref().unwrap().file_name(),
                    std::fs::read(entry.unwrap().path()).unwrap(),
                )
            })
            .collect();
        names.sort();
        names
    };
    std::fs::write(&path, SMALLEST.replace("0.5", "-0.5")).unwrap();
    let before = listing();
    let text = path.to_str().unwrap();
    assert_eq!(run(&["check", text]), 2);
    assert_eq!(run(&["check", text, "--json"]), 2);
    assert_eq!(
        run(&["check", folder.path().to_str().unwrap(), "--defaults"]),
        2
    );
    assert_eq!(run(&["new", folder.path().to_str().unwrap()]), 1);
    assert_eq!(listing(), before);
    std::fs::write(&path, SMALLEST).unwrap();
    assert_eq!(run(&["check", text]), 0);
    assert_eq!(
        run(&["check", folder.path().join("nowhere").to_str().unwrap()]),
        1
    );
    assert_eq!(run(&["check"]), 2);
    let fresh = folder.path().join("fresh");
    assert_eq!(run(&["new", fresh.to_str().unwrap()]), 0);
    assert_eq!(run(&["check", fresh.to_str().unwrap()]), 0);
}

#[test]
fn no_mutation_of_a_good_file_panics() {
    let full = include_str!("full/nursery.json").replace(
        "\"weather\": { \"min_c\": 9.5, \"max_c\": 20 }",
        "\"weather\": \"weather.csv\"",
    );
    let sky = every_day(&[]);
    let mut random = oorandom::Rand64::new(20_270_401);
    let mut mutate = |bytes: &[u8]| {
        let mut bytes = bytes.to_vec();
        for _ in 0..=random.rand_range(0..3) {
            let at = random.rand_range(0..bytes.len().max(1) as u64) as usize;
            let signs = b"\"{}[],:;-0123456789.eE/\\\n\r\t \0\xff|aN\xc3\xbc";
            let sign = signs[random.rand_range(0..signs.len() as u64) as usize];
            let length = random.rand_range(1..12) as usize;
            match random.rand_range(0..16) {
                0 => bytes[at] = sign,
                1 => bytes.insert(at, sign),
                2 => drop(bytes.drain(at..(at + length).min(bytes.len()))),
                3 => {
                    let piece = bytes[at..(at + length).min(bytes.len())].to_vec();
                    bytes.splice(at..at, piece);
                }
                4 => bytes.truncate(at.max(1)),
                // Most often a digit for a digit, so that many of the files are still JSON.
                _ => {
                    let from = bytes[at..].iter().position(u8::is_ascii_digit).unwrap_or(0);
                    bytes[at + from] = b'0' + random.rand_range(0..10) as u8;
                }
            }
            if bytes.is_empty() {
                bytes.push(b' ');
            }
        }
        bytes
    };
    let (mut usable, mut refused) = (0, 0);
    for round in 0..6_000 {
        let files = match round % 3 {
            0 => raw(mutate(SMALLEST.as_bytes())),
            1 => Files {
                json: mutate(full.as_bytes()),
                tables: BTreeMap::from([("weather.csv", sky.clone().into())]),
            },
            _ => table(mutate(FIELDS.as_bytes())),
        };
        let checked = read(&files);
        // Either a scenario, or at least one error: never neither, never both.
        assert_ne!(checked.scenario.is_some(), checked.problems.any_error());
        if let Some(scenario) = &checked.scenario {
            usable += 1;
            let again = serde_json::from_slice(&serde_json::to_vec(scenario).unwrap()).unwrap();
            assert_eq!(*scenario, again);
        } else {
            refused += 1;
            assert!(
                checked
                    .problems
                    .0
                    .iter()
                    .all(|problem| problem.code != "S099"),
                "{:?}",
                checked.problems
            );
        }
    }
    assert!(usable > 200 && refused > 2_000, "{usable} {refused}");
}
