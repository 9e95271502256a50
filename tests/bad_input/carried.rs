//! Faults of what is carried over to the first day: days and counts of batches, parts served, days told, people hired before.

use super::oddities::Oddity;
use super::runs::crew;
use super::{Case, Files, with};

/// 105 trays sown on 1 April for the first field, with more said of them.
fn sown(more: &str) -> Files {
    with(
        "opening",
        &format!(
            "{{ \"sown\": [{{ \"field\": \"mill\", \"sown\": \"2027-04-01\", \"trays\": 105, \"germination\": \"room\", \
             \"green_bed\": \"house\", \"harden_bed\": \"house\", {more} }}] }}"
        ),
    )
}

fn parts(list: &str) -> Files {
    with("opening", &format!("{{ \"parts\": [{list}] }}"))
}

fn told(list: &str) -> Files {
    with("told", &format!("[{list}]"))
}

/// The first field is no firm order.
fn not_firm(files: Files, state: &str) -> Files {
    files.and("200 }", &format!("200, \"state\": \"{state}\" }}"))
}

const SERVED: &str = "{ \"field\": \"mill\", \"trays\": 0 }";
const ON_12_MAY: &str = "{ \"field\": \"mill\", \"day\": \"2027-05-12\" }";

pub fn carried_cases() -> Vec<Case> {
    vec![
        (
            "opened on the day of sowing",
            sown("\"opened\": \"2027-04-01\""),
            "S104",
            "nursery.json:4:158 opening.sown[0].opened",
        ),
        (
            "opened on the first day",
            sown("\"opened\": \"2027-04-05\""),
            "S104",
            "nursery.json:4:158 opening.sown[0].opened",
        ),
        (
            "hardened before it was opened",
            sown("\"opened\": \"2027-04-03\", \"hardened\": \"2027-04-02\""),
            "S104",
            "nursery.json:4:184 opening.sown[0].hardened",
        ),
        (
            "hardened on the first day",
            sown("\"opened\": \"2027-04-03\", \"hardened\": \"2027-04-05\""),
            "S104",
            "nursery.json:4:184 opening.sown[0].hardened",
        ),
        (
            "hardened and never opened",
            sown("\"hardened\": \"2027-04-03\""),
            "S104",
            "nursery.json:4:160 opening.sown[0].hardened",
        ),
        (
            "opened, and handed over when it is",
            sown("\"opened\": \"2027-04-03\"").and("200 }", "200, \"stage\": \"sprouted\" }"),
            "S104",
            "nursery.json:4:158 opening.sown[0].opened",
        ),
        (
            "more leave than were sown",
            sown("\"leaving\": 106"),
            "S104",
            "nursery.json:4:159 opening.sown[0].leaving",
        ),
        (
            "none leave",
            sown("\"leaving\": 0"),
            "S009",
            "nursery.json:4:159 opening.sown[0].leaving",
        ),
        (
            "a run without a name",
            sown("\"run\": \"\""),
            "S016",
            "nursery.json:4:155 opening.sown[0].run",
        ),
        (
            "a run by number",
            sown("\"run\": 17"),
            "S007",
            "nursery.json:4:155 opening.sown[0].run",
        ),
        (
            "thousandths of a leaf ahead",
            sown("\"ahead\": 0.125"),
            "S010",
            "nursery.json:4:157 opening.sown[0].ahead",
        ),
        (
            "years ahead",
            sown("\"ahead\": 1001"),
            "S009",
            "nursery.json:4:157 opening.sown[0].ahead",
        ),
        (
            "served, and trays stand for it",
            sown("\"ahead\": 0").and(
                "\"ahead\": 0 }]",
                &format!("\"ahead\": 0 }}], \"parts\": [{SERVED}]"),
            ),
            "S104",
            "nursery.json:4:201 opening.parts[0].trays",
        ),
        (
            "a part served twice",
            parts(&format!("{SERVED}, {SERVED}")),
            "S055",
            "nursery.json:4:59 opening.parts[1]",
        ),
        (
            "a part served that is not there",
            parts("{ \"field\": \"mill\", \"part\": 2, \"trays\": 0 }"),
            "S050",
            "nursery.json:4:53 opening.parts[0].part",
        ),
        (
            "a field served that is not there",
            parts("{ \"field\": \"mil\", \"trays\": 0 }"),
            "S020",
            "nursery.json:4:37 opening.parts[0].field",
        ),
        (
            "a spare served that is not there",
            parts("{ \"field\": \"spare-early-2027-W19\", \"trays\": 0 }"),
            "S020",
            "nursery.json:4:37 opening.parts[0].field",
        ),
        (
            "an enquiry served",
            not_firm(parts(SERVED), "enquiry"),
            "S097",
            "nursery.json:4:37 opening.parts[0].field",
        ),
        (
            "a cancelled order served",
            not_firm(parts(SERVED), "cancelled"),
            "S097",
            "nursery.json:4:37 opening.parts[0].field",
        ),
        (
            "fewer trays to leave than none",
            parts("{ \"field\": \"mill\", \"trays\": -1 }"),
            "S009",
            "nursery.json:4:54 opening.parts[0].trays",
        ),
        (
            "a part without its trays",
            parts("{ \"field\": \"mill\" }"),
            "S006",
            "nursery.json:4:26 opening.parts[0].trays",
        ),
        (
            "two days told",
            told(&format!("{ON_12_MAY}, {ON_12_MAY}")),
            "S055",
            "nursery.json:4:54 told[1]",
        ),
        (
            "a day told for a part that is not there",
            told("{ \"field\": \"mill\", \"part\": 2, \"day\": \"2027-05-12\" }"),
            "S050",
            "nursery.json:4:39 told[0].part",
        ),
        (
            "a day told for an enquiry",
            not_firm(told(ON_12_MAY), "enquiry"),
            "S097",
            "nursery.json:4:23 told[0].field",
        ),
        (
            "a day told for a cancelled order",
            not_firm(told(ON_12_MAY), "cancelled"),
            "S097",
            "nursery.json:4:23 told[0].field",
        ),
        (
            "nothing told",
            told("{ \"field\": \"mill\" }"),
            "S006",
            "nursery.json:4:12 told[0].day",
        ),
        (
            "promised in words",
            told("{ \"field\": \"mill\", \"day\": \"2027-05-12\", \"promised\": \"yes\" }"),
            "S007",
            "nursery.json:4:64 told[0].promised",
        ),
        (
            "money back for a broken promise",
            with("prices", "{ \"promise_moved\": -5 }"),
            "S009",
            "nursery.json:4:32 prices.promise_moved",
        ),
        (
            "money back for a plan that moved",
            with("prices", "{ \"plan_moved\": -0.5 }"),
            "S009",
            "nursery.json:4:29 prices.plan_moved",
        ),
        (
            "fewer hired before than nobody",
            crew("\"casual\": { \"most\": 3, \"price_per_day\": 90, \"before\": -1 }"),
            "S009",
            "nursery.json:14:95 crews[0].casual.before",
        ),
    ]
}

pub fn carried_oddities() -> Vec<Oddity> {
    vec![
        (
            "opened and hardened on one day, the day before the first",
            sown("\"opened\": \"2027-04-04\", \"hardened\": \"2027-04-04\""),
            &[],
        ),
        (
            "opened the day after sowing, under the first cover",
            sown("\"opened\": \"2027-04-02\", \"run\": \"R017\""),
            &[],
        ),
        ("all that was sown leaves", sown("\"leaving\": 105"), &[]),
        (
            "fewer leave than were ordered",
            sown("\"leaving\": 90, \"ahead\": -1.5"),
            &["S076"],
        ),
        (
            "as many leave as are still to leave",
            sown("\"leaving\": 90").and(
                "\"leaving\": 90 }]",
                "\"leaving\": 90 }], \"parts\": [{ \"field\": \"mill\", \"trays\": 90 }]",
            ),
            &[],
        ),
        ("a part that was served", parts(SERVED), &[]),
        (
            "days promised and planned",
            told(&format!(
                "{ON_12_MAY}, {{ \"field\": \"bank\", \"part\": 1, \"day\": \"2027-05-22\", \"promised\": false }}"
            )),
            &[],
        ),
        (
            "a day told on which the field cannot be planted",
            told("{ \"field\": \"mill\", \"day\": \"2027-03-31\" }"),
            &[],
        ),
        (
            "more hired before than can be",
            crew(
                "\"casual\": { \"most\": 3, \"price_per_day\": 90, \"release\": 10, \"before\": 5 }",
            ),
            &[],
        ),
    ]
}
