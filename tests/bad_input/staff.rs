//! Faults of the people by name and of what limits their duties.

use super::oddities::Oddity;
use super::{Case, Files, with};

/// One person, `ada`, with more keys.
fn ada(more: &str) -> Files {
    with("staff", &format!("[{{ \"id\": \"ada\", {more} }}]"))
}

/// Five people for the crew of five, and these limits.
fn five(duty: &str) -> Files {
    let one = |at: usize| format!("{{ \"id\": \"p{at}\", \"crews\": [\"all\"] }}");
    let all: Vec<String> = (1..=5).map(one).collect();
    with("staff", &format!("[{}]", all.join(", "))).and(
        "\"horizon\"",
        &format!("\"duty\": {{ {duty} }},\n  \"horizon\""),
    )
}

fn table(csv: &'static str) -> Files {
    let mut files = with("staff", "\"staff.csv\"");
    files.tables.insert("staff.csv", csv.as_bytes().to_vec());
    files
}

pub fn staff_cases() -> Vec<Case> {
    vec![
        (
            "somebody for a crew that is not there",
            ada("\"crews\": [\"alle\"]"),
            "S020",
            "nursery.json:4:37 staff[0].crews[0]",
        ),
        (
            "a crew that is not there, in one text",
            ada("\"crews\": \"all yard\""),
            "S020",
            "nursery.json:4:37 staff[0].crews",
        ),
        (
            "a crew twice, in one text",
            ada("\"crews\": \"all all\""),
            "S024",
            "nursery.json:4:37 staff[0].crews",
        ),
        (
            "a crew twice, in a list",
            ada("\"crews\": [\"all\", \"all\"]"),
            "S024",
            "nursery.json:4:45 staff[0].crews[1]",
        ),
        (
            "a number for a crew",
            ada("\"crews\": 1"),
            "S007",
            "nursery.json:4:37 staff[0].crews",
        ),
        (
            "somebody twice",
            with("staff", "[{ \"id\": \"ada\" }, { \"id\": \"ada\" }]"),
            "S021",
            "nursery.json:4:38 staff[1].id",
        ),
        (
            "back before gone",
            ada("\"away\": \"2027-05-12/2027-05-10\""),
            "S014",
            "nursery.json:4:36 staff[0].away",
        ),
        (
            "away twice on one day",
            ada("\"away\": [\"2027-05-10/2027-05-12\", \"2027-05-12\"]"),
            "S087",
            "nursery.json:4:36 staff[0].away[1]",
        ),
        (
            "eight days a week",
            ada("\"days_a_week_most\": 8"),
            "S009",
            "nursery.json:4:48 staff[0].days_a_week_most",
        ),
        (
            "a licence with a number",
            ada("\"licensed\": 17"),
            "S007",
            "nursery.json:4:40 staff[0].licensed",
        ),
        (
            "a crew that is not there, in a cell",
            table("id,crews\nada,all\nber,all yard\n"),
            "S020",
            "staff.csv:3 crews",
        ),
        (
            "more than can be looked at",
            with(
                "staff",
                &format!(
                    "[{}]",
                    (0..201)
                        .map(|at| format!("{{ \"id\": \"p{at}\", \"crews\": \"all\" }}"))
                        .collect::<Vec<_>>()
                        .join(", ")
                ),
            ),
            "S018",
            "nursery.json:4:12 staff",
        ),
        (
            "no day in a row",
            five("\"days_in_a_row_most\": 0"),
            "S009",
            "nursery.json:5:35 duty.days_in_a_row_most",
        ),
        (
            "late at a word",
            five("\"late_from\": \"evening\""),
            "S022",
            "nursery.json:5:26 duty.late_from",
        ),
        (
            "a watch of no time",
            five("\"night_watch\": { \"hours\": 0 }"),
            "S009",
            "nursery.json:5:39 duty.night_watch.hours",
        ),
    ]
}

/// Staffs that are accepted, and warned of.
pub fn odd_staff() -> Vec<Oddity> {
    vec![
        ("five for a crew of five", five(""), &[]),
        (
            "one for a crew of five",
            ada("\"crews\": \"all\""),
            &["S105"],
        ),
        (
            "somebody who is asked for nothing",
            five("").and(
                "[\"all\"] }]",
                "[\"all\"] }, { \"id\": \"ada\", \"watches\": true }]",
            ),
            &["S095"],
        ),
        ("nobody who watches", five("\"night_watch\": {}"), &["S105"]),
        (
            "a watch for no night",
            five("\"night_watch\": { \"stacks\": false }"),
            &["S105", "S095"],
        ),
        (
            "a watch for the cold without weather",
            five("\"night_watch\": { \"below_c\": 3 }"),
            &["S105", "S095"],
        ),
        (
            "a watch without a staff",
            with("duty", "{ \"night_watch\": {} }"),
            &["S095"],
        ),
        (
            "away last year",
            five("").and("[\"all\"] }]", "[\"all\"], \"away\": \"2026-05-10\" }]"),
            &["S088"],
        ),
        (
            "treated seed and nobody with the licence",
            five("").and(
                "{ \"id\": \"early\" }",
                "{ \"id\": \"early\", \"treatment\": { \"agent\": \"dip\", \"ml_per_kg\": 5 } }",
            ),
            &["S105"],
        ),
    ]
}
