//! The planner against production smoothing: how many people to have in each period when every change of their number has its price.
//!
//! The mapping. A period is an ISO week with one working day of the line and of its people, a Tuesday. A unit is a tray, and stacking it takes one
//! person's shift of that day. Seedlings are at their best four days after it; made a week earlier means seven days older. Fifty
//! regular people are there in any case; more are hired by the week. All money is taken seven times, so that a day of holding is whole: 20 a period
//! are 20/7 a day. Boats are made in lots of 5. Stock that nobody wants need not be made: idle time costs nothing.

use super::lot_sizing::{first, needs, planned, shop};
use sowrota::calendar::{Day, Weekday};
use sowrota::plan::Plan;
use sowrota::scenario::{CalendarName, Casual, Crew, Per, PieceTask};
use sowrota::units::{Age, Fixed, Money};

/// Demands of the four quarters, 10 on hand taken off the first.
const DEMANDS: [i64; 4] = [30, 60, 75, 25];
const LOT: i64 = 5;
const REGULAR: i64 = 50;
/// A unit above 40 in regular time, and a person hired for a period.
const PERSON: i64 = 450;
const HOLD: i64 = 20;
/// Most people that can be hired.
const MOST: i64 = 100;
/// 40 at 400 and 10 at 450 in each of four quarters: paid to the regular staff in any case, and not counted by the nursery.
const SUNK: i64 = 4 * (40 * 400 + 10 * 450);

/// Tuesday of week 1, 2, …
fn tuesday(week: i64) -> Day {
    first().plus(1 + 7 * (week as i32 - 1))
}

/// The nursery's plan where each person more costs `hire`, each fewer `release`.
fn smoothed(hire: i64, release: i64) -> Plan {
    let mut scenario = shop(4, HOLD);
    scenario.horizon.last = tuesday(4).plus(4);
    let week = [
        Weekday::Monday,
        Weekday::Wednesday,
        Weekday::Thursday,
        Weekday::Friday,
        Weekday::Saturday,
        Weekday::Sunday,
    ];
    scenario.calendars.line.rest_days = week.into();
    // As made in weeks 1 to 4 for week 4.
    scenario.kinds[0].age.oldest = Age::whole(4 + 3 * 7);
    for (week, boats) in (1..).zip(DEMANDS) {
        let mut field = needs(&format!("q{week}"), boats, (1, 1), (boats / LOT) as u32);
        let planted = tuesday(week).plus(4);
        (field.window[0].first, field.window[0].last) = (planted, planted);
        scenario.fields.push(field);
    }
    scenario.crews.push(Crew {
        casual: Some(Casual {
            before: 0,
            most: MOST,
            price_per_day: Money::whole(7 * PERSON),
            hire: Money::whole(7 * hire),
            release: Money::whole(7 * release),
        }),
        week_hours_most: None,
        spans: vec![],
        id: "yard".into(),
        name: "Yard".into(),
        people: REGULAR,
        calendar: CalendarName::Line,
        shift_start_minute: 360,
        shift_hours: Fixed::whole(1),
        overtime_hours: Fixed::ZERO,
        overtime_price_per_h: Money::ZERO,
        rest_day_people: 0,
        rest_day_price_per_h: Money::ZERO,
    });
    // An hour for each tray.
    scenario.work.stack = Some(PieceTask {
        crew: "yard".into(),
        person_minutes: Fixed::whole(6_000),
        per: Per::HundredTrays,
    });
    let plan = planned(&scenario);
    assert_eq!(plan.shortfalls, []);
    plan
}

/// People hired, week by week.
fn hired(plan: &Plan) -> Vec<i64> {
    plan.people.iter().map(|week| week.casual).collect()
}

/// Units made, week by week.
fn made(plan: &Plan) -> Vec<i64> {
    let of_week = |week| {
        let runs = plan.runs.iter().filter(|run| run.sow == tuesday(week));
        runs.map(|run| run.trays).sum()
    };
    (1..=4).map(of_week).collect()
}

/// The least cost of holding, people and changes, by going through the weeks with every number of people hired and every number of lots made so far;
/// with only so many people hired by week where they are given.
fn least(hire: i64, release: i64, people: Option<&[i64]>) -> i64 {
    const NONE: i64 = i64::MAX / 2;
    let lots = (DEMANDS.iter().sum::<i64>() / LOT) as usize;
    // By people hired and lots made so far.
    let mut before = vec![vec![NONE; lots + 1]; MOST as usize + 1];
    before[0][0] = 0;
    let mut wanted = 0;
    for (week, demand) in DEMANDS.into_iter().enumerate() {
        wanted += demand / LOT;
        let mut after = vec![vec![NONE; lots + 1]; MOST as usize + 1];
        for now in 0..=MOST {
            if people.is_some_and(|people| people[week] != now) {
                continue;
            }
            for (then, costs) in before.iter().enumerate() {
                let change = now - then as i64;
                let paid = now * PERSON + hire * change.max(0) + release * (-change).max(0);
                for (made, cost) in costs.iter().enumerate().filter(|(_, cost)| **cost < NONE) {
                    let most = (made + ((REGULAR + now) / LOT) as usize).min(lots);
                    let fewest = (wanted as usize).max(made);
                    let rows = after[now as usize].iter_mut().enumerate();
                    for (in_all, best) in rows.take(most + 1).skip(fewest) {
                        let held = (in_all as i64 - wanted) * LOT * HOLD;
                        *best = (*best).min(cost + paid + held);
                    }
                }
            }
        }
        before = after;
    }
    let all = before.iter().map(|costs| costs[lots]);
    all.min().unwrap()
}

// Source: Winston, Operations Research, the Sailco data with a rate of 50 before, 400 a unit of increase and 500 of decrease, worked out: 94,500 at 55 in
// each quarter. 30 of the 220 made in it are closing stock, held once at 20: 600 that a staff which may be idle need not spend, so 93,900.
#[test]
fn boats_with_costs_of_change() {
    let plan = smoothed(400, 500);
    assert_eq!(least(400, 500, None), 94_500 - 30 * HOLD - SUNK);
    assert_eq!(hired(&plan), [5, 5, 5, 5]);
    assert_eq!(made(&plan), [55, 55, 55, 25]);
    assert_eq!(plan.cost.total, Money::whole(7 * (93_900 - SUNK)));
    assert_eq!(
        (plan.cost.casuals, plan.cost.changes, plan.cost.age),
        (
            Money::whole(7 * 20 * PERSON),
            Money::whole(7 * 5 * 400),
            Money::whole(7 * 45 * HOLD)
        )
    );
}

// Source: the same data; other prices of change, worked out by going through all numbers of people.
#[test]
fn boats_with_other_costs_of_change() {
    let mut seen = Vec::new();
    for (hire, release) in [(0, 0), (100, 100), (0, 1_000), (3_000, 0), (5_000, 5_000)] {
        let plan = smoothed(hire, release);
        let best = least(hire, release, None);
        let label = format!("{hire} {release} {:?} {:?}", hired(&plan), made(&plan));
        assert_eq!(plan.cost.total, Money::whole(7 * best), "{label}");
        // Its people alone lead to that cost too.
        assert_eq!(least(hire, release, Some(&hired(&plan))), best, "{label}");
        seen.push(hired(&plan));
    }
    // Free changes follow the demand, dear ones keep the number level; three answers at least differ.
    assert_eq!(seen[0], [0, 0, 15, 0]);
    seen.sort();
    seen.dedup();
    assert!(seen.len() >= 3, "{seen:?}");
}
