//! Alterations of people hired by the week, of the hours of a week and of closed beds.

use super::{Tampering, day};
use sowrota::calendar::DayRange;
use sowrota::plan::types::{PeopleWeek, Plan};
use sowrota::scenario::Casual;
use sowrota::units::{Fixed, Money};

/// The line team's week with the sowing of 13 April, which takes 80 min of overtime.
fn week(plan: &mut Plan) -> &mut PeopleWeek {
    let mut weeks = plan.people.iter_mut();
    weeks
        .find(|one| one.crew == "line_team" && one.bought_minutes == 80)
        .unwrap()
}

/// Two people can be hired for the line team.
fn two_can_be_hired(plan: &mut Plan) {
    plan.scenario.crews[0].casual = Some(Casual {
        before: 0,
        most: 2,
        price_per_day: Money::whole(50),
        hire: Money::whole(20),
        release: Money::whole(10),
    });
}

/// A plan with all of it, to be altered anywhere; it need not be sound.
pub fn plan() -> Plan {
    let mut plan = super::plan();
    two_can_be_hired(&mut plan);
    plan.scenario.crews[0].week_hours_most = Some(Fixed(2_000));
    let days = day("2027-05-13");
    let span = DayRange {
        first: days,
        last: days.plus(2),
    };
    plan.scenario.beds[0].closed = vec![span];
    plan.scenario_sha256 = sowrota::scenario::sha256(&plan.scenario);
    week(&mut plan).casual = 1;
    plan
}

pub const HIRED: &[Tampering] = &[
    ("A001", "fewer can be hired than nobody", |plan| {
        two_can_be_hired(plan);
        plan.scenario.crews[0].casual.as_mut().unwrap().most = -1;
    }),
    ("A001", "a price of hiring below nothing", |plan| {
        two_can_be_hired(plan);
        plan.scenario.crews[0].casual.as_mut().unwrap().hire = Money::whole(-1);
    }),
    ("A001", "a week of less than no hours", |plan| {
        plan.scenario.crews[0].week_hours_most = Some(Fixed(-1));
    }),
    ("A072", "overtime that people hired do not save", |plan| {
        // One more has an hour there, and 79.5 min are lacking.
        two_can_be_hired(plan);
        plan.bought.retain(|one| one.minutes != 80);
        week(plan).casual = 1;
    }),
    ("A074", "people hired whose shifts are left out", |plan| {
        two_can_be_hired(plan);
        week(plan).casual = 1;
    }),
    ("A113", "one more hired than can be", |plan| {
        two_can_be_hired(plan);
        week(plan).casual = 3;
    }),
    ("A113", "fewer hired than nobody", |plan| {
        two_can_be_hired(plan);
        week(plan).casual = -1;
    }),
    ("A114", "hired for a crew that cannot hire", |plan| {
        week(plan).casual = 1;
    }),
    ("A115", "overtime beyond the hours of a week", |plan| {
        plan.scenario.crews[0].week_hours_most = Some(Fixed(633));
    }),
    ("A115", "overtime in a week that its shifts fill", |plan| {
        plan.scenario.crews[0].week_hours_most = Some(Fixed(500));
    }),
    ("A116", "trays in a closed bed", |plan| {
        let (first, last) = (day("2027-04-16"), day("2027-04-17"));
        plan.scenario.beds[0].closed = vec![DayRange { first, last }];
        plan.scenario.beds[1].closed = vec![DayRange { first, last }];
    }),
    ("A117", "cost of people hired", |plan| {
        plan.cost.casuals = Money::whole(300)
    }),
    ("A118", "cost of changes", |plan| {
        plan.cost.changes = Money { 0: 1 }
    }),
];
