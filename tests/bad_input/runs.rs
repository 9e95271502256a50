//! Faults of losses, runs, pairs, rows, spans, agents and round trips.

use super::oddities::Oddity;
use super::supplies::{first_field, first_kind};
use super::{Case, Files, edited, with};

/// The smallest file with something more said of its line.
fn line(more: &str) -> Files {
    edited(
        "[{ \"id\": \"line\" }]",
        &format!("[{{ \"id\": \"line\", {more} }}]"),
    )
}

pub fn bed(more: &str) -> Files {
    edited("120 }", &format!("120, {more} }}"))
}

pub fn crew(more: &str) -> Files {
    edited("\"people\": 5", &format!("\"people\": 5, {more}"))
}

fn trays(more: &str) -> Files {
    edited("500 }", &format!("500, {more} }}"))
}

/// One pair of the line, from early to late.
fn pair(more: &str) -> Files {
    line(&format!(
        "\"set_up_pairs\": [{{ \"from\": \"early\", \"to\": \"late\", {more} }}]"
    ))
}

fn treated(agent: &str, agents: &str) -> Files {
    first_kind(&format!(
        "\"treatment\": {{ \"agent\": \"{agent}\", \"ml_per_kg\": 5 }}"
    ))
    .and(
        "\"horizon\"",
        &format!("\"agents\": {agents},\n  \"horizon\""),
    )
}

fn group(minutes: u32) -> Files {
    first_field("\"travel_group\": \"v\"").and(
        "\"horizon\"",
        &format!(
            "\"travel_groups\": [{{ \"id\": \"v\", \"round_trip_minutes\": {minutes} }}],\n  \"horizon\""
        ),
    )
}

const VAN: &str =
    "\"id\": \"van\", \"trips_per_day\": 3, \"trays_per_trip\": 40, \"kg_per_trip\": 400";

pub fn run_cases() -> Vec<Case> {
    vec![
        ("losses in per cent", first_kind("\"losses\": { \"stack\": 2 }"), "S009", "nursery.json:5:51 kinds[0].losses.stack"),
        ("all is lost", first_kind("\"losses\": { \"bed\": 1 }"), "S084", "nursery.json:5:40 kinds[0].losses"),
        ("hardly anything is kept", first_kind("\"losses\": { \"line\": 0.5, \"stack\": 0.6, \"bed\": 0.6 }"), "S084", "nursery.json:5:40 kinds[0].losses"),
        ("a stage that loses nothing by name", first_kind("\"losses\": { \"beds\": 0.02 }"), "S005", "nursery.json:5:42 kinds[0].losses.beds"),
        ("less than no run", first_kind("\"least_run_trays\": -1"), "S009", "nursery.json:5:49 kinds[0].least_run_trays"),
        ("last of day in words", first_kind("\"last_of_day\": \"yes\""), "S007", "nursery.json:5:45 kinds[0].last_of_day"),
        ("treatment without an agent", first_kind("\"treatment\": { \"ml_per_kg\": 5 }"), "S006", "nursery.json:5:43 kinds[0].treatment.agent"),
        ("treatment with nothing", first_kind("\"treatment\": { \"agent\": \"dip\", \"ml_per_kg\": 0 }"), "S009", "nursery.json:5:74 kinds[0].treatment.ml_per_kg"),
        ("a misspelt agent", treated("dpi", "[{ \"id\": \"dip\", \"ml\": 400 }]"), "S020", "nursery.json:6:54 kinds[0].treatment.agent"),
        ("an agent twice", treated("dip", "[{ \"id\": \"dip\", \"ml\": 400 }, { \"id\": \"dip\", \"ml\": 5 }]"), "S021", "nursery.json:4:50 agents[1].id"),
        ("half a millilitre", treated("dip", "[{ \"id\": \"dip\", \"ml\": 400.5 }]"), "S010", "nursery.json:4:35 agents[0].ml"),
        ("an agent that comes on no day", treated("dip", "[{ \"id\": \"dip\", \"ml\": 0, \"deliveries\": [{ \"ml\": 9 }] }]"), "S006", "nursery.json:4:53 agents[0].deliveries[0].day"),
        ("care without end", first_kind("\"care_times\": 25"), "S009", "nursery.json:5:44 kinds[0].care_times"),
        ("less than no seed in the hopper", line("\"hopper_g_dry\": -5"), "S009", "nursery.json:10:45 lines[0].hopper_g_dry"),
        ("a pair without minutes", pair("\"throw_out_trays\": 4"), "S006", "nursery.json:10:46 lines[0].set_up_pairs[0].minutes"),
        ("a pair that may follow, without minutes", pair("\"never\": false"), "S006", "nursery.json:10:46 lines[0].set_up_pairs[0].minutes"),
        ("never, and trays thrown out", pair("\"never\": true, \"throw_out_trays\": 4"), "S085", "nursery.json:10:113 lines[0].set_up_pairs[0].throw_out_trays"),
        ("a pair of an unknown kind", line("\"set_up_pairs\": [{ \"from\": \"early\", \"to\": \"lat\", \"never\": true }]"), "S020", "nursery.json:10:71 lines[0].set_up_pairs[0].to"),
        ("never after itself", line("\"set_up_pairs\": [{ \"from\": \"late\", \"to\": \"late\", \"never\": true }]"), "S057", "nursery.json:10:46 lines[0].set_up_pairs[0]"),
        ("a row longer than the bed", bed("\"row_trays\": 553"), "S086", "nursery.json:12:58 beds[0].row_trays"),
        ("a row of no trays", bed("\"row_trays\": 0"), "S009", "nursery.json:12:58 beds[0].row_trays"),
        ("a day in two spans of a crew", crew("\"spans\": [{ \"days\": \"2027-05-01/2027-05-10\", \"people\": 8 }, { \"days\": \"2027-05-10/2027-05-12\", \"shift_hours\": 9 }]"), "S087", "nursery.json:14:111 crews[0].spans[1].days"),
        ("a span of a crew that says nothing", crew("\"spans\": [{ \"days\": \"2027-05-01/2027-05-10\" }]"), "S006", "nursery.json:14:51 crews[0].spans[0]"),
        ("a shift at six", crew("\"spans\": [{ \"days\": \"2027-05-01\", \"shift_start\": \"6:00\" }]"), "S022", "nursery.json:14:90 crews[0].spans[0].shift_start"),
        ("a span that ends before it begins", crew("\"spans\": [{ \"days\": \"2027-05-12/2027-05-10\", \"people\": 8 }]"), "S014", "nursery.json:14:61 crews[0].spans[0].days"),
        ("a day in two spans of the line", line("\"spans\": [{ \"days\": \"2027-05-05\", \"hours_per_day\": 10 }, { \"days\": \"2027-05-01/2027-05-09\", \"hours_per_day\": 9 }]"), "S087", "nursery.json:10:96 lines[0].spans[1].days"),
        ("a line of 25 hours", line("\"spans\": [{ \"days\": \"2027-05-05\", \"hours_per_day\": 25 }]"), "S009", "nursery.json:10:80 lines[0].spans[0].hours_per_day"),
        ("a span of the line without hours", line("\"spans\": [{ \"days\": \"2027-05-05\" }]"), "S006", "nursery.json:10:39 lines[0].spans[0].hours_per_day"),
        ("a day of washing in two spans", trays("\"dry_spans\": [{ \"days\": \"2027-05-01/2027-05-09\", \"dry_days\": 4 }, { \"days\": \"2027-05-09/2027-05-20\", \"dry_days\": 5 }]"), "S087", "nursery.json:13:104 trays.dry_spans[1].days"),
        ("half a day of drying", trays("\"dry_spans\": [{ \"days\": \"2027-05-01\", \"dry_days\": 0.5 }]"), "S010", "nursery.json:13:78 trays.dry_spans[0].dry_days"),
        ("a round trip of no time", group(0), "S009", "nursery.json:4:56 travel_groups[0].round_trip_minutes"),
        ("a travel group twice", first_field("\"travel_group\": \"v\"").and("\"horizon\"", "\"travel_groups\": [{ \"id\": \"v\", \"round_trip_minutes\": 5 }, { \"id\": \"v\", \"round_trip_minutes\": 6 }],\n  \"horizon\""), "S021", "nursery.json:4:69 travel_groups[1].id"),
        ("a vehicle on the road for 25 hours", with("vehicles", &format!("[{{ {VAN}, \"hours_per_day\": 25 }}]")), "S009", "nursery.json:4:110 vehicles[0].hours_per_day"),
        ("less than no price", with("prices", "{ \"bed_move\": -1 }"), "S009", "nursery.json:4:27 prices.bed_move"),
        ("a price in words", with("prices", "{ \"split_run\": \"dear\" }"), "S007", "nursery.json:4:28 prices.split_run"),
    ]
}

/// Runs, pairs, spans and trips that are accepted, and warned of.
pub fn odd_runs() -> Vec<Oddity> {
    vec![
        (
            "a least run larger than all orders",
            first_kind("\"least_run_trays\": 106"),
            &["S089"],
        ),
        (
            "a least run as large as all orders",
            first_kind("\"least_run_trays\": 105"),
            &[],
        ),
        (
            "half of what comes into the stack is lost",
            first_kind("\"losses\": { \"stack\": 0.5 }"),
            &["S101"],
        ),
        (
            "a pair after the last of the day",
            pair("\"minutes\": 20").and(
                "{ \"id\": \"early\" }",
                "{ \"id\": \"early\", \"last_of_day\": true }",
            ),
            &["S095"],
        ),
        (
            "a whole day's trays thrown out",
            pair("\"minutes\": 20, \"throw_out_trays\": 2500"),
            &["S100"],
        ),
        (
            "a set-up of a whole day",
            pair("\"minutes\": 480"),
            &["S100"],
        ),
        (
            "neither follows the other",
            line(
                "\"set_up_pairs\": [{ \"from\": \"early\", \"to\": \"late\", \"never\": true }, { \"from\": \"late\", \"to\": \"early\", \"never\": true }]",
            ),
            &[],
        ),
        (
            "never, and minutes",
            pair("\"never\": true, \"minutes\": 40"),
            &["S095"],
        ),
        ("never, without minutes", pair("\"never\": true"), &[]),
        (
            "spans of last year",
            crew("\"spans\": [{ \"days\": \"2026-05-06/2026-05-22\", \"people\": 8 }]"),
            &["S088"],
        ),
        (
            "dry spans after the season",
            trays("\"dry_spans\": [{ \"days\": \"2027-07-01/2027-07-09\", \"dry_days\": 4 }]"),
            &["S088"],
        ),
        (
            "an agent that is not counted",
            treated("lime", "[{ \"id\": \"dip\", \"ml\": 400 }]"),
            &["S095", "S095"],
        ),
        (
            "an agent without any store",
            first_kind("\"treatment\": { \"agent\": \"lime\", \"ml_per_kg\": 5 }"),
            &[],
        ),
        (
            "an agent that comes too late",
            treated(
                "dip",
                "[{ \"id\": \"dip\", \"ml\": 400, \"deliveries\": [{ \"day\": \"2027-07-01\", \"ml\": 9 }] }]",
            ),
            &["S075"],
        ),
        (
            "a travel group of no field",
            with(
                "travel_groups",
                "[{ \"id\": \"v\", \"round_trip_minutes\": 50 }]",
            ),
            &["S095"],
        ),
        (
            "a round trip longer than a day",
            group(601).and(
                "\"horizon\"",
                &format!("\"vehicles\": [{{ {VAN} }}],\n  \"horizon\""),
            ),
            &["S096"],
        ),
        (
            "a vehicle without hours for a group",
            group(50).and(
                "\"horizon\"",
                &format!("\"vehicles\": [{{ {VAN}, \"hours_per_day\": 0 }}],\n  \"horizon\""),
            ),
            &["S062"],
        ),
        (
            "rows just as long as the bed",
            bed("\"row_trays\": 552"),
            &[],
        ),
    ]
}
