//! What is accepted, and noted or warned of.

use super::carried::carried_oddities;
use super::orders::odd_orders;
use super::people::odd_people;
use super::runs::odd_runs;
use super::staff::odd_staff;
use super::supplies::first_field;
use super::{FIELDS, Files, SMALLEST, edited, raw, read, table, with};

/// Name of the case, its files, codes of all its problems.
pub type Oddity = (&'static str, Files, &'static [&'static str]);

fn first_oddities() -> Vec<Oddity> {
    let mut marked = b"\xef\xbb\xbf".to_vec();
    marked.extend_from_slice(SMALLEST.as_bytes());
    let commas = FIELDS.replace(',', ";").replace('.', ",");
    vec![
        ("byte-order mark", raw(marked), &["S002"]),
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
    ]
}

/// All that is told of them; each must be accepted and have just its codes.
pub fn told() -> String {
    let mut told = String::new();
    let all = first_oddities()
        .into_iter()
        .chain(odd_orders())
        .chain(odd_runs())
        .chain(odd_people())
        .chain(carried_oddities())
        .chain(odd_staff());
    for (name, files, codes) in all {
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
    told
}
