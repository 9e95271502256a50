//! Whatever is altered in a roster, its audit names it by its code; rosters of made-up nurseries break nothing; and no alteration
//! makes the audit panic.

mod common;
mod rostered;

use common::dice::Dice;
use common::whole;
use rostered::{cooperative, person};
use sowrota::audit::duties::{audit, codes::CODES};
use sowrota::calendar::DayRange;
use sowrota::plan::Plan;
use sowrota::plan::roster::{HiredPlaces, Missing, PersonDuty, Roster, Unfilled};
use sowrota::roster::{Budget, Demand, make};
use sowrota::scenario::{NightWatch, Person, Scenario};
use sowrota::units::{Fixed, Hours};
use std::collections::BTreeSet;

fn budget(moves: u64) -> Budget {
    Budget { moves, seed: 1 }
}

fn on<'a>(roster: &'a mut Roster, crew: &str) -> &'a mut PersonDuty {
    let mut duties = roster.duties.iter_mut();
    duties
        .find(|duty| duty.crew.as_deref() == Some(crew))
        .unwrap()
}

type Tampering = (&'static str, &'static str, fn(&mut Roster, &mut Plan));

const TAMPERINGS: &[Tampering] = &[
    ("N001", "another format", |roster, _| {
        roster.format = "sowrota-roster/0".into()
    }),
    ("N001", "another revision", |_, plan| plan.revision += 1),
    ("N001", "another scenario", |roster, _| {
        roster.scenario_sha256 = "0".into()
    }),
    ("N002", "an unknown person", |roster, _| {
        roster.duties[0].person = "nobody".into()
    }),
    ("N002", "an unknown crew", |roster, _| {
        roster.duties[0].crew = Some("kitchen".into())
    }),
    ("N003", "two duties on one day", |roster, _| {
        roster.duties.push(roster.duties[0].clone())
    }),
    ("N004", "somebody who cannot do it", |roster, _| {
        on(roster, "line-crew").person = "grell".into()
    }),
    ("N004", "somebody who does not watch", |_, plan| {
        plan.scenario
            .staff
            .iter_mut()
            .for_each(|one| one.watches = false)
    }),
    ("N005", "away after all", |roster, plan| {
        let duty = &roster.duties[0];
        let staff = plan.scenario.staff.iter_mut();
        for one in staff.filter(|one| one.id == duty.person) {
            one.away.push(DayRange {
                first: duty.day,
                last: duty.day,
            });
        }
    }),
    ("N006", "fewer days in a row", |_, plan| {
        plan.scenario.duty.days_in_a_row_most = 2
    }),
    ("N007", "fewer days a week", |_, plan| {
        plan.scenario.duty.days_a_week_most = 3
    }),
    ("N007", "fewer days a week for one", |_, plan| {
        let tavin = plan.scenario.staff.iter_mut().find(|one| one.id == "tavin");
        tavin.unwrap().days_a_week_most = Some(1)
    }),
    ("N008", "more free days together", |_, plan| {
        plan.scenario.duty.free_days_together = 6
    }),
    ("N009", "more rest", |_, plan| {
        plan.scenario.duty.rest_hours_least = Hours::whole(20)
    }),
    ("N010", "fixed days off", |_, plan| {
        let tavin = plan.scenario.staff.iter_mut().find(|one| one.id == "tavin");
        tavin.unwrap().fixed_days_off = true;
        plan.scenario.duty.days_a_week_most = 5;
    }),
    (
        "N010",
        "fixed days off, more of them together",
        |_, plan| plan.scenario.duty.free_days_together = 5,
    ),
    ("N011", "begins later", |roster, _| {
        roster.duties[0].start_minute += 1
    }),
    ("N011", "ends earlier", |roster, _| {
        roster.duties[0].end_minute -= 1
    }),
    ("N011", "stays though nothing is bought", |roster, _| {
        on(roster, "line-crew").stays = true
    }),
    ("N011", "on a day without work", |roster, plan| {
        roster.duties[0].day = plan.scenario.horizon.last.plus(3)
    }),
    ("N012", "a place left empty", |roster, _| {
        roster.duties.remove(0);
    }),
    ("N012", "listed though filled", |roster, _| {
        let duty = &roster.duties[0];
        roster.unfilled.push(Unfilled {
            day: duty.day,
            crew: duty.crew.clone(),
            missing: Missing::Person,
            places: 1,
            stays: duty.stays,
            reason: "nobody is there".into(),
            help: None,
        });
    }),
    ("N012", "one more watches", |_, plan| {
        let watch = plan.scenario.duty.night_watch.as_mut();
        watch.unwrap().people = 2;
    }),
    ("N013", "late without a mark", |roster, _| {
        let mut duties = roster.duties.iter_mut();
        duties.find(|duty| duty.late).unwrap().late = false;
    }),
    ("N013", "marked though early", |roster, _| {
        let mut duties = roster.duties.iter_mut();
        duties.find(|duty| !duty.late).unwrap().late = true;
    }),
    ("N014", "nobody holds the licence", |_, plan| {
        plan.scenario
            .staff
            .iter_mut()
            .for_each(|one| one.licensed = false)
    }),
    ("N014", "a licence that is there", |roster, _| {
        let duty = on(roster, "yard-crew").clone();
        roster.unfilled.push(Unfilled {
            day: duty.day,
            crew: duty.crew,
            missing: Missing::Licence,
            places: 1,
            stays: false,
            reason: "nobody holds it".into(),
            help: None,
        });
    }),
    ("N015", "somebody hired in no week", |roster, _| {
        let day = roster.duties[0].day;
        roster.hired.push(HiredPlaces {
            day,
            crew: "field-crew".into(),
            people: 7,
            stay: 0,
        });
    }),
    ("N016", "a day too many", |roster, _| {
        roster.people[0].days += 1
    }),
    ("N016", "a weekend day too few", |roster, _| {
        let mut people = roster.people.iter_mut();
        people
            .find(|one| one.weekend_days > 0)
            .unwrap()
            .weekend_days -= 1;
    }),
    ("N016", "a change forgotten", |roster, _| {
        roster.people[2].changes += 1
    }),
    ("N016", "somebody left out", |roster, _| {
        roster.people.pop();
    }),
    ("N016", "somebody twice", |roster, _| {
        roster.people.push(roster.people[0].clone())
    }),
    ("A001", "limits beyond all sense", |_, plan| {
        plan.scenario.duty.rest_hours_least = Fixed(i64::MAX)
    }),
];

fn untouched() -> (Roster, Plan) {
    let plan = rostered::plan(&cooperative(), 2_000);
    let roster = make(&plan, &budget(3_000)).unwrap();
    (roster, plan)
}

#[test]
fn every_alteration_is_named_by_its_code() {
    let (roster, plan) = untouched();
    assert_eq!(audit(&roster, &plan), []);
    let mut missed = Vec::new();
    for (code, name, tamper) in TAMPERINGS {
        let (mut roster, mut plan) = (roster.clone(), plan.clone());
        tamper(&mut roster, &mut plan);
        let found = audit(&roster, &plan);
        if !found.iter().any(|breach| breach.code == *code) {
            missed.push(format!("{code} {name}: {found:#?}"));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    let tried: BTreeSet<&str> = TAMPERINGS.iter().map(|(code, ..)| *code).collect();
    let without: Vec<_> = CODES
        .iter()
        .filter(|(code, _)| !tried.contains(code))
        .collect();
    assert!(without.is_empty(), "codes without a case: {without:?}");
}

#[test]
fn a_roster_is_read_back_as_it_was_written() {
    let (roster, _) = untouched();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("roster.json");
    sowrota::plan::roster::save(&roster, &path).unwrap();
    assert_eq!(sowrota::plan::roster::load(&path).unwrap(), roster);
}

/// Numbers and days beyond all sense are breaches, not the end of the program.
#[test]
fn no_alteration_makes_the_audit_panic() {
    let (roster, plan) = untouched();
    let numbers = [i64::MAX, i64::MIN, -1, 0];
    for number in numbers {
        for (at, days) in [(0, 60_000), (5, -12_000), (9, 0)] {
            let mut altered = roster.clone();
            let duty = &mut altered.duties[at];
            (duty.start_minute, duty.end_minute) = (number, number);
            duty.day = duty.day.plus(days);
            altered.people[at].days = number;
            altered.unfilled.push(Unfilled {
                day: altered.duties[at].day,
                crew: None,
                missing: Missing::Person,
                places: number,
                stays: true,
                reason: String::new(),
                help: None,
            });
            altered.unfilled.extend_from_within(..);
            altered.hired.push(HiredPlaces {
                day: plan.scenario.horizon.last,
                crew: String::new(),
                people: number,
                stay: number,
            });
            altered.hired.extend_from_within(..);
            assert!(!audit(&altered, &plan).is_empty());
        }
        let mut other = plan.clone();
        other.scenario.duty.night_watch.as_mut().unwrap().people = number;
        other.scenario.duty.days_a_week_most = number;
        other.bought.iter_mut().for_each(|one| one.minutes = number);
        audit(&roster, &other);
        // What cannot be worked with is an error, not a panic.
        let _ = make(&other, &budget(10));
    }
}

/// A staff by chance: about as many as the crews have, some for two crews.
fn with_staff(mut scenario: Scenario, dice: &mut Dice) -> Scenario {
    let crews: Vec<String> = scenario.crews.iter().map(|crew| crew.id.clone()).collect();
    let horizon = scenario.horizon;
    for crew in &scenario.crews {
        let people = crew.people + dice.between(-1, 2);
        for _ in 0..people {
            let id = format!("p{}", scenario.staff.len());
            let other = dice.pick(&crews).clone();
            let mut one: Person = person(&id, &[&crew.id]);
            if other != crew.id && dice.chance(40) {
                one.crews.push(other);
            }
            one.licensed = dice.chance(25);
            one.watches = dice.chance(40);
            one.fixed_days_off = dice.chance(15);
            if dice.chance(30) {
                let first = horizon.first.plus(dice.days(0, horizon.days() as i32 - 1));
                let last = first.plus(dice.days(0, 4));
                one.away.push(DayRange { first, last });
            }
            if dice.chance(20) {
                one.days_a_week_most = Some(dice.between(2, 5));
            }
            scenario.staff.push(one);
        }
    }
    let duty = &mut scenario.duty;
    duty.days_in_a_row_most = dice.between(3, 7);
    duty.days_a_week_most = dice.between(4, 7);
    duty.free_days_together = dice.between(0, 2);
    duty.rest_hours_least = Fixed(dice.between(800, 1_500));
    duty.late_from_minute = dice.between(840, 1_200);
    if dice.chance(60) {
        duty.night_watch = Some(NightWatch {
            people: dice.between(1, 2),
            start_minute: dice.between(1_080, 1_320),
            hours: Fixed(dice.between(600, 1_100)),
            stacks: dice.chance(70),
            below_c: dice.chance(60).then_some(Fixed(dice.between(0, 1_200))),
        });
    }
    scenario
}

#[test]
fn rosters_of_made_up_nurseries_break_nothing() {
    let mut seen = [0usize; 7];
    for seed in 0..120 {
        let scenario = with_staff(whole::medium(5_000 + seed), &mut Dice::new(seed));
        let plan = rostered::plan(&scenario, 300);
        let roster = make(&plan, &budget(400)).unwrap();
        let breaches = audit(&roster, &plan);
        assert!(breaches.is_empty(), "seed {seed}: {breaches:#?}");
        assert_eq!(make(&plan, &budget(400)).unwrap(), roster, "seed {seed}");
        let of = |missing| roster.unfilled.iter().any(|one| one.missing == missing);
        let calendars = &scenario.calendars;
        let day_off = |duty: &PersonDuty| {
            let crew = scenario
                .crews
                .iter()
                .find(|crew| Some(&crew.id) == duty.crew.as_ref());
            crew.is_some_and(|crew| !calendars.get(crew.calendar).works(duty.day))
        };
        for (at, is) in [
            of(Missing::Person),
            of(Missing::Licence),
            !Demand::of(&plan).unwrap().licences.is_empty(),
            !roster.hired.is_empty(),
            roster.duties.iter().any(|duty| duty.stays),
            roster.duties.iter().any(day_off),
            roster.duties.iter().any(|duty| duty.crew.is_none()),
        ]
        .into_iter()
        .enumerate()
        {
            seen[at] += usize::from(is);
        }
    }
    assert!(seen.iter().all(|count| *count >= 3), "{seen:?}");
}
