//! Alterations of what is carried over to the first day: days of batches, counts, parts served, days told, people hired before.

use super::{Tampering, day, delivery, run};
use sowrota::plan::types::Shortfall;
use sowrota::units::{Age, Fixed, Money};

/// Standing: F3 from R001, opened and hardened on 31 March, 58 of 60 trays; F2's second part was served.
pub const CARRIED: &[Tampering] = &[
    ("A001", "more can leave than were sown", |plan| {
        plan.scenario.opening.sown[0].leaving = Some(61)
    }),
    ("A001", "an age ahead beyond all sense", |plan| {
        plan.scenario.opening.sown[0].ahead = Age { 0: i64::MAX }
    }),
    (
        "A001",
        "a part served of a field that is not there",
        |plan| plan.scenario.opening.parts[0].field = "F9".into(),
    ),
    ("A001", "fewer trays to leave than none", |plan| {
        plan.scenario.opening.parts[1].trays = -1
    }),
    ("A001", "a day told for a field that is not there", |plan| {
        plan.scenario.told[0].field = "F9".into()
    }),
    ("A001", "money back for a promise broken", |plan| {
        plan.scenario.prices.promise_moved = Money::whole(-1)
    }),
    ("A001", "fewer hired before than nobody", |plan| {
        let crew = &mut plan.scenario.crews[0];
        crew.casual.as_mut().unwrap().before = -1;
    }),
    ("A010", "a part delivered that was served", |plan| {
        let mut again = delivery(plan, "F2", 1).clone();
        again.part = 2;
        plan.deliveries.push(again);
        run(plan, "R003").trays = 90;
    }),
    ("A011", "a part with other trays delivered twice", |plan| {
        let again = delivery(plan, "F4", 1).clone();
        plan.deliveries.push(again);
    }),
    (
        "A012",
        "all that was ordered, not what is still to leave",
        |plan| delivery(plan, "F4", 1).trays = 40,
    ),
    ("A012", "more leaving than were counted", |plan| {
        delivery(plan, "F3", 1).trays = 60
    }),
    ("A013", "a part with other trays left out", |plan| {
        plan.deliveries.retain(|one| one.field != "F4")
    }),
    ("A013", "a shortage of what was served", |plan| {
        plan.shortfalls.push(Shortfall {
            decide_by: None,
            field: "F2".into(),
            part: 2,
            trays: 45,
            reason: "no reason".into(),
            help: None,
        });
    }),
    ("A014", "fewer leaving than were counted", |plan| {
        delivery(plan, "F3", 1).trays = 57
    }),
    ("A052", "a count of leaves left out of the age", |plan| {
        delivery(plan, "F3", 1).age = Fixed(2_000)
    }),
    ("A118", "nobody released who was hired before", |plan| {
        plan.cost.changes = Money::ZERO
    }),
    ("A140", "a promise moved for nothing", |plan| {
        plan.cost.moved = Money { 0: 5_500 }
    }),
    (
        "A140",
        "a day that was only planned, at the price of a promise",
        |plan| plan.cost.moved = Money::whole(60),
    ),
    ("A141", "opened a day later than it was", |plan| {
        delivery(plan, "F3", 1).open = day("2027-04-01");
        delivery(plan, "F3", 1).harden = day("2027-04-01");
        run(plan, "R001").stacks[0].open = day("2027-04-01");
    }),
    ("A141", "opened when growth and calendars say", |plan| {
        delivery(plan, "F3", 1).open = day("2027-04-02");
        run(plan, "R001").stacks[0].open = day("2027-04-02");
    }),
    (
        "A141",
        "hardened when the rule says, not as it was",
        |plan| delivery(plan, "F3", 1).harden = day("2027-04-05"),
    ),
    ("A142", "another day promised than was told", |plan| {
        delivery(plan, "F2", 1).promised = Some(day("2027-04-27"))
    }),
    ("A142", "a day promised that nobody was told", |plan| {
        delivery(plan, "F3", 1).promised = Some(day("2027-04-19"))
    }),
    ("A142", "a day promised that was only planned", |plan| {
        delivery(plan, "F4", 1).promised = Some(day("2027-04-23"))
    }),
];
