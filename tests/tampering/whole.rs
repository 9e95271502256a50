//! Alterations of the plan with losses, seed, sprouted trays, the field's edge, rows, throw-out, agents and sharing.

use super::{Tampering, day, delivery, run};
use sowrota::scenario::SetUpPair;
use sowrota::units::{Fixed, Money};

/// Seed: F5 from R005; sprouted: F6 from R003, beside F2; early of 13 April: R004.
pub const WHOLE: &[Tampering] = &[
    ("A001", "everything lost in the stack", |plan| {
        plan.scenario.kinds[0].losses.stack = Fixed(1_000_000)
    }),
    ("A001", "rows of nothing", |plan| {
        plan.scenario.beds[1].row_trays = Some(0)
    }),
    ("A001", "a round trip of no time", |plan| {
        plan.scenario.travel_groups[0].round_trip_minutes = Fixed::ZERO
    }),
    ("A001", "a travel group that is not there", |plan| {
        plan.scenario.fields[1].travel_group = Some("far".into())
    }),
    ("A001", "an order that is not firm", |plan| {
        plan.scenario.fields[1].state = sowrota::scenario::OrderState::Enquiry
    }),
    (
        "A001",
        "trays standing for a field that takes seed",
        |plan| plan.scenario.opening.sown[0].field = "F5".into(),
    ),
    ("A004", "seed of one day in two runs", |plan| {
        let mut second = run(plan, "R005").clone();
        second.id = "R006".into();
        plan.runs.push(second);
    }),
    ("A006", "seed for more trays than are handed over", |plan| {
        run(plan, "R005").trays = 51
    }),
    ("A008", "seed in a stack", |plan| {
        let stacks = run(plan, "R004").stacks.clone();
        run(plan, "R005").stacks = stacks;
    }),
    (
        "A014",
        "fewer of the standing trays leave than could",
        |plan| delivery(plan, "F3", 1).trays = 55,
    ),
    ("A023", "seed soaked on a Sunday", |plan| {
        run(plan, "R005").soak = Some(day("2027-04-11"))
    }),
    ("A028", "seed soaked sooner than needed", |plan| {
        // From Monday 12 April, due on Saturday 17, sprouted on Sunday, held until Monday: too long. From Tuesday 13: due on Sunday,
        // drained on Monday, sprouted on Tuesday.
        run(plan, "R005").soak = Some(day("2027-04-13"));
    }),
    ("A042", "seed for a field that is not ready", |plan| {
        plan.scenario.fields[4].ready = false
    }),
    ("A047", "seed handed over on a holiday", |plan| {
        run(plan, "R005").sow = day("2027-05-01");
        delivery(plan, "F5", 1).day = day("2027-05-01");
    }),
    ("A052", "sprouted trays of another age", |plan| {
        delivery(plan, "F6", 1).age = Fixed(61)
    }),
    ("A095", "sprouted trays in a bed", |plan| {
        delivery(plan, "F6", 1).green_bed = Some("house".into())
    }),
    ("A095", "seed in a stack", |plan| {
        delivery(plan, "F5", 1).germination = Some("shed".into())
    }),
    ("A095", "seedlings in no bed", |plan| {
        delivery(plan, "F2", 1).harden_bed = None
    }),
    ("A095", "sprouted trays in no stack", |plan| {
        delivery(plan, "F6", 1).germination = None
    }),
    ("A096", "seed handed over a day late", |plan| {
        delivery(plan, "F5", 1).day = day("2027-04-21")
    }),
    ("A096", "seed handed over from the line", |plan| {
        delivery(plan, "F5", 1).run = "R004".into()
    }),
    ("A096", "trays from a run of seed", |plan| {
        delivery(plan, "F4", 1).run = "R005".into()
    }),
    ("A097", "sprouted trays kept a day", |plan| {
        delivery(plan, "F6", 1).day = day("2027-04-16")
    }),
    ("A097", "sprouted trays sent ahead", |plan| {
        delivery(plan, "F6", 1).leaves = Some(day("2027-04-14"))
    }),
    ("A098", "one tray too few sown", |plan| {
        delivery(plan, "F1", 1).sown = Some(111)
    }),
    ("A098", "one tray too many sown", |plan| {
        delivery(plan, "F1", 1).sown = Some(113)
    }),
    ("A098", "no loss where there is one", |plan| {
        delivery(plan, "F1", 1).sown = None
    }),
    ("A098", "a loss where there is none", |plan| {
        delivery(plan, "F2", 1).sown = Some(91)
    }),
    ("A099", "leaving on a holiday", |plan| {
        delivery(plan, "F1", 1).leaves = Some(day("2027-05-01"))
    }),
    ("A099", "leaving before the first day", |plan| {
        delivery(plan, "F1", 1).leaves = Some(day("2027-03-31"))
    }),
    ("A100", "leaving before hardening", |plan| {
        delivery(plan, "F2", 1).leaves = Some(day("2027-04-18"))
    }),
    ("A100", "leaving after it is planted", |plan| {
        delivery(plan, "F2", 1).leaves = Some(day("2027-04-28"))
    }),
    ("A101", "two days at the edge", |plan| {
        delivery(plan, "F2", 1).leaves = Some(day("2027-04-25"))
    }),
    ("A102", "a run too small", |plan| {
        plan.scenario.kinds[0].least_run_trays = 44
    }),
    ("A103", "nothing thrown out", |plan| {
        run(plan, "R004").thrown_trays = 0
    }),
    ("A103", "trays thrown out at the first run", |plan| {
        run(plan, "R003").thrown_trays = 2
    }),
    ("A103", "seed thrown out", |plan| {
        run(plan, "R005").thrown_trays = 1
    }),
    ("A104", "a run after the last of the day", |plan| {
        run(plan, "R004").place_in_day = 1;
        run(plan, "R003").place_in_day = 2;
    }),
    ("A104", "a kind that never follows", |plan| {
        plan.scenario.kinds[0].last_of_day = false;
        plan.scenario.lines[0].set_up_pairs[0].never = true;
    }),
    ("A104", "a pair that never was", |plan| {
        plan.scenario.lines[0].set_up_pairs = vec![SetUpPair {
            from: "late".into(),
            to: "early".into(),
            minutes: Fixed::whole(10),
            throw_out_trays: 2,
            never: true,
        }];
    }),
    ("A105", "a row too few", |plan| {
        delivery(plan, "F1", 1).harden_rows = vec![4, 5]
    }),
    ("A105", "a row too many", |plan| {
        delivery(plan, "F1", 1).harden_rows = vec![4, 5, 6, 9]
    }),
    ("A105", "a row outside the bed", |plan| {
        delivery(plan, "F1", 1).harden_rows = vec![10, 11, 12]
    }),
    ("A105", "row 0", |plan| {
        delivery(plan, "F1", 1).harden_rows = vec![0, 4, 5]
    }),
    ("A105", "a row named twice", |plan| {
        delivery(plan, "F1", 1).harden_rows = vec![4, 5, 5]
    }),
    ("A105", "rows in a bed without rows", |plan| {
        delivery(plan, "F1", 1).green_rows = vec![1]
    }),
    ("A105", "rows of a bed that it never comes to", |plan| {
        delivery(plan, "F1", 2).harden_rows = vec![9]
    }),
    ("A105", "rows for sprouted trays", |plan| {
        delivery(plan, "F6", 1).green_rows = vec![1]
    }),
    (
        "A105",
        "no rows in a plan that is not made by hand",
        |plan| {
            plan.ended_by = sowrota::plan::types::EndedBy::Moves;
            delivery(plan, "F2", 1).harden_rows.clear();
        },
    ),
    ("A106", "two parts in one row", |plan| {
        delivery(plan, "F2", 1).harden_rows = vec![6, 7]
    }),
    ("A107", "too little of the agent", |plan| {
        plan.scenario.agents[0].ml = Fixed(107)
    }),
    ("A108", "cost of waiting", |plan| {
        plan.cost.edge = Money::ZERO
    }),
    ("A109", "cost of moves", |plan| {
        plan.cost.moves = Money::whole(6)
    }),
    ("A110", "cost of splits", |plan| {
        plan.cost.splits = Money::whole(7)
    }),
    ("A111", "a shortage weighed otherwise", |plan| {
        plan.cost.shortage = Some(Money::whole(250))
    }),
    ("A111", "a shortage not weighed at all", |plan| {
        plan.cost.shortage = None
    }),
    ("A112", "a day too many to decide", |plan| {
        plan.shortfalls[0].decide_by = Some(day("2027-04-21"))
    }),
    ("A088", "a bound above the cost and the shortage", |plan| {
        plan.bound = Some(Money { 0: 183_996 })
    }),
];
