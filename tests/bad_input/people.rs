//! Faults of people hired by the week, of the hours of a week and of closed beds.

use super::oddities::Oddity;
use super::runs::{bed, crew};
use super::{Case, Files, with};

fn casual(keys: &str) -> Files {
    crew(&format!("\"casual\": {{ {keys} }}"))
}

/// The house closed on those days, and 105 trays that were sown on Saturday, 3 April, for the first field.
fn standing(closed: &str) -> Files {
    bed(&format!("\"closed\": {closed}")).and(
        "\"horizon\"",
        "\"opening\": { \"sown\": [{ \"field\": \"mill\", \"part\": 1, \"sown\": \"2027-04-03\", \"trays\": 105, \
         \"germination\": \"room\", \"green_bed\": \"house\", \"harden_bed\": \"house\" }] },\n  \"horizon\"",
    )
}

const PRICE: &str = "\"most\": 3, \"price_per_day\": 90";

pub fn people_cases() -> Vec<Case> {
    vec![
        (
            "more hired than are tried",
            casual("\"most\": 51, \"price_per_day\": 90"),
            "S009",
            "nursery.json:14:61 crews[0].casual.most",
        ),
        (
            "fewer hired than none",
            casual("\"most\": -1, \"price_per_day\": 90"),
            "S009",
            "nursery.json:14:61 crews[0].casual.most",
        ),
        (
            "half a person hired",
            casual("\"most\": 2.5, \"price_per_day\": 90"),
            "S010",
            "nursery.json:14:61 crews[0].casual.most",
        ),
        (
            "people hired without a price",
            casual("\"most\": 3"),
            "S006",
            "nursery.json:14:51 crews[0].casual.price_per_day",
        ),
        (
            "people hired without a number",
            casual("\"price_per_day\": 90"),
            "S006",
            "nursery.json:14:51 crews[0].casual.most",
        ),
        (
            "money back for hiring",
            casual(&format!("{PRICE}, \"hire\": -20")),
            "S009",
            "nursery.json:14:93 crews[0].casual.hire",
        ),
        (
            "a price of releasing in words",
            casual(&format!("{PRICE}, \"release\": \"none\"")),
            "S007",
            "nursery.json:14:96 crews[0].casual.release",
        ),
        (
            "a misspelt price of hiring",
            casual(&format!("{PRICE}, \"hiring\": 20")),
            "S005",
            "nursery.json:14:85 crews[0].casual.hiring",
        ),
        (
            "a number instead of an offer",
            crew("\"casual\": 3"),
            "S007",
            "nursery.json:14:51 crews[0].casual",
        ),
        (
            "a week of no hours",
            crew("\"week_hours_most\": 0"),
            "S009",
            "nursery.json:14:60 crews[0].week_hours_most",
        ),
        (
            "more hours than a week has",
            crew("\"week_hours_most\": 168.01"),
            "S009",
            "nursery.json:14:60 crews[0].week_hours_most",
        ),
        (
            "thousandths of an hour a week",
            crew("\"week_hours_most\": 48.125"),
            "S010",
            "nursery.json:14:60 crews[0].week_hours_most",
        ),
        (
            "a bed closed twice on one day",
            bed("\"closed\": [\"2027-05-01/2027-05-10\", \"2027-05-10\"]"),
            "S087",
            "nursery.json:12:55 beds[0].closed[1]",
        ),
        (
            "a bed closed twice, in one text",
            bed("\"closed\": \"2027-05-01/2027-05-10 2027-05-08/2027-05-12\""),
            "S087",
            "nursery.json:12:55 beds[0].closed[1]",
        ),
        (
            "a bed closed backwards",
            bed("\"closed\": [\"2027-05-10/2027-05-01\"]"),
            "S014",
            "nursery.json:12:56 beds[0].closed[0]",
        ),
        (
            "a bed closed for a word",
            bed("\"closed\": true"),
            "S007",
            "nursery.json:12:55 beds[0].closed",
        ),
        (
            "closed while trays green in it",
            standing("[\"2027-04-07\"]"),
            "S103",
            "nursery.json:4:127 opening.sown[0].green_bed",
        ),
        (
            "closed on the last day before trays can leave",
            standing("[\"2027-05-01/2027-05-09\"]"),
            "S103",
            "nursery.json:4:150 opening.sown[0].harden_bed",
        ),
        (
            "hired for nobody",
            with("casual", "{ \"most\": 3, \"price_per_day\": 90 }"),
            "S005",
            "nursery.json:4:3 casual",
        ),
    ]
}

/// People, weeks and beds that are accepted, and warned of.
pub fn odd_people() -> Vec<Oddity> {
    let few = |more: &str| {
        crew(more).and(
            "\"horizon\"",
            "\"work\": { \"sow\": { \"team\": 7 } },\n  \"horizon\"",
        )
    };
    vec![
        (
            "nobody can be hired",
            casual("\"most\": 0, \"price_per_day\": 90"),
            &["S095"],
        ),
        (
            "hired for a team",
            few(&format!("\"casual\": {{ {PRICE} }}")),
            &[],
        ),
        (
            "hired, and fewer than a team",
            few("\"casual\": { \"most\": 1, \"price_per_day\": 90 }"),
            &["S067"],
        ),
        (
            "nobody but people hired",
            casual(PRICE)
                .and("\"people\": 5", "\"people\": 0")
                .and("\"horizon\"", "\"work\": {},\n  \"horizon\""),
            &[],
        ),
        (
            "shifts longer than the week",
            crew("\"week_hours_most\": 40"),
            &["S102"],
        ),
        (
            "shifts as long as the week",
            crew("\"week_hours_most\": 56"),
            &[],
        ),
        (
            "one week longer than others",
            crew(
                "\"week_hours_most\": 53, \"spans\": [{ \"days\": \"2027-05-10/2027-05-16\", \"shift_hours\": 9 }]",
            ),
            &["S102"],
        ),
        (
            "a day longer than the week",
            crew("\"week_hours_most\": 9.5, \"shift_hours\": 1, \"overtime_hours\": 9"),
            &["S102"],
        ),
        (
            "a bed closed last year",
            bed("\"closed\": [\"2026-05-01/2026-05-10\"]"),
            &["S088"],
        ),
        (
            "a bed closed all the time",
            bed("\"closed\": [\"2027-04-05/2027-06-12\"]"),
            &["S062"],
        ),
        (
            "closed before trays come",
            standing("[\"2027-04-05\"]"),
            &[],
        ),
        (
            "closed once trays can be gone",
            standing("[\"2027-05-10\"]"),
            &[],
        ),
    ]
}
