//! The small nursery with more known on its first day: a run that was opened and hardened, counted and found ahead; a part served and one with
//! fewer trays; days told; a person hired before. The figures are worked out in `carried_over_by_hand.rs`.

use super::day;
use sowrota::audit::plan_by_hand;
use sowrota::plan::types::Plan;
use sowrota::scenario::{Casual, PartKnown, Scenario, Told};
use sowrota::units::{Fixed, Money};

pub const TABLE: &str = "\
field,part,sow,plant,trays,line
F1,1,2027-04-13,2027-05-03,105,
F1,2,2027-04-13,2027-05-04,105,a
F2,1,2027-04-13,2027-04-27,45,a
F3,1,2027-03-30,2027-04-19,58,
F4,1,2027-04-03,2027-04-23,36,
";

pub fn plan() -> Plan {
    plan_by_hand(&scenario(), TABLE.as_bytes(), "carried.csv").unwrap()
}

fn told((field, part, on, promised): (&str, u32, &str, bool)) -> Told {
    Told {
        field: field.into(),
        part,
        day: day(on),
        promised,
    }
}

pub fn scenario() -> Scenario {
    let mut scenario = super::scenario();
    let sown = &mut scenario.opening.sown[0];
    sown.run = Some("R017".into());
    sown.opened = Some(day("2027-03-31"));
    sown.hardened = Some(day("2027-03-31"));
    sown.leaving = Some(58);
    sown.ahead = Fixed(50);
    // F2 comes in two halves of 45 trays, of which the second was served.
    scenario.fields[1].parts = 2;
    let known = |field: &str, part, trays| PartKnown {
        field: field.into(),
        part,
        trays,
    };
    scenario.opening.parts = vec![known("F2", 2, 0), known("F4", 1, 36)];
    scenario.told = [
        ("F1", 1, "2027-05-03", true),
        ("F1", 2, "2027-05-05", false),
        ("F2", 1, "2027-04-25", true),
        ("F2", 2, "2027-03-30", true),
        ("F4", 1, "2027-04-23", false),
    ]
    .map(told)
    .into();
    scenario.prices.promise_moved = Money::whole(30);
    scenario.prices.plan_moved = Money { 0: 5_500 };
    scenario.crews[0].casual = Some(Casual {
        most: 2,
        price_per_day: Money::whole(50),
        hire: Money::whole(20),
        release: Money::whole(10),
        before: 3,
    });
    scenario
}
