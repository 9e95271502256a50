//! Stores, tank, water, vehicles, moves, turn-round, blocks, harvests, further limits, return curves and rates,
//! each counted by hand from docs/COUNTING.md: under, exactly at and over the limit.

mod small;

use small::{TABLE, codes, count, day, stocked};
use sowrota::audit::{Audit, Breach, Ledger, audit, plan_by_hand};
use sowrota::calendar::DayRange;
use sowrota::nursery::Nursery;
use sowrota::plan::types::{BoughtWhat, Plan};
use sowrota::rules::Supply;
use sowrota::scenario::{CalendarName, CrewSpan, Scenario, TravelGroup, Whose};
use sowrota::solve::state::Ground;
use sowrota::units::{Fixed, Money};

/// The plan counted on the stocked nursery with one thing altered.
fn altered(alter: impl FnOnce(&mut Scenario)) -> Audit {
    let mut scenario = stocked::scenario();
    alter(&mut scenario);
    audit(&stocked::plan(), &scenario)
}

/// Codes and amounts of what the altered nursery breaks.
fn breaches(alter: impl FnOnce(&mut Scenario)) -> Vec<(&'static str, i64)> {
    let found = altered(alter).breaches;
    found.iter().map(|one| (one.code, one.amount)).collect()
}

fn only(alter: impl FnOnce(&mut Scenario)) -> Breach {
    let mut found = altered(alter).breaches;
    assert_eq!(found.len(), 1, "{found:#?}");
    found.remove(0)
}

fn fullest(audit: &Audit, ledger: Ledger, id: &str) -> (String, i64, i64) {
    let of = |one: &&sowrota::audit::Fullest| one.ledger == ledger && one.id == id;
    let one = audit.fullest.iter().find(of).unwrap();
    (one.day.to_string()[5..].to_string(), one.used, one.there)
}

fn by_hand(scenario: &Scenario) -> Plan {
    plan_by_hand(scenario, TABLE.as_bytes(), "by_hand.csv").unwrap()
}

#[test]
fn what_is_just_enough_is_enough() {
    // The same runs and deliveries as without stores.
    let (stocked, bare) = (stocked::plan(), small::plan());
    assert_eq!(stocked.runs, bare.runs);
    assert_eq!(stocked.deliveries, bare.deliveries);
    assert_eq!(count(&stocked).breaches, []);
}

#[test]
fn seed_is_drawn_in_whole_bags_from_the_day_it_soaks() {
    // R004: 213 × 180 g = 38.34 kg are 8 bags of 5 kg, on 7 April: 15 in store and 25 that come on that day.
    // R002 draws on the batch in the tank. R003: 93 × 120 g = 11.16 kg, to the gram, on 9 April.
    let found = altered(|_| ());
    assert_eq!(
        fullest(&found, Ledger::SeedStore, "early"),
        ("04-07".into(), 400_000, 400_000)
    );
    assert_eq!(
        fullest(&found, Ledger::SeedStore, "late"),
        ("04-09".into(), 111_600, 111_600)
    );
    // A gram less, and a day late: until 20 April, named once.
    let one = only(|scenario| scenario.seed_stores[0].kg_dry = Fixed(14_999));
    assert_eq!(
        (one.code, one.day, one.amount),
        ("A078", Some(day("2027-04-07")), 1)
    );
    assert_eq!(
        one.what,
        "seed: 40 kg of `early` are drawn up to 2027-04-07, 39.999 kg have come"
    );
    let late =
        |scenario: &mut Scenario| scenario.seed_stores[0].deliveries[0].day = day("2027-04-08");
    assert_eq!(breaches(late), [("A078", 25_000)]);
    // Without bags 38.34 kg are enough; a kind without a store is not limited.
    let loose = |scenario: &mut Scenario| {
        scenario.kinds[0].bag_kg = None;
        scenario.seed_stores[0].deliveries[0].kg_dry = Fixed(23_340);
        scenario.seed_stores.pop();
    };
    assert_eq!(breaches(loose), []);
    // A store written in two entries is one store.
    let split = |scenario: &mut Scenario| {
        let mut second = scenario.seed_stores[0].clone();
        scenario.seed_stores[0].kg_dry = Fixed::whole(4);
        second.kg_dry = Fixed::whole(11);
        second.deliveries.clear();
        scenario.seed_stores.push(second);
    };
    assert_eq!(breaches(split), []);
    // R002 would draw its 43 × 180 g = 7.74 kg, two bags, on 28 March if nothing soaked yet: 10 kg, which are missing on 7 April.
    let no_batch = |scenario: &mut Scenario| scenario.opening.soaked.clear();
    assert_eq!(breaches(no_batch), [("A024", 4), ("A078", 10_000)]);
}

#[test]
fn the_tank_holds_what_soaks_at_once() {
    // R004's 40 kg on [7, 12) April and R003's 11.16 kg on [9, 12); R002's batch is not counted.
    let found = altered(|_| ());
    assert_eq!(
        fullest(&found, Ledger::Tank, "tank"),
        ("04-09".into(), 511_600, 511_600)
    );
    let tight = altered(|scenario| scenario.tank.as_mut().unwrap().kg_dry = Fixed(51_159));
    let days: Vec<_> = tight
        .breaches
        .iter()
        .map(|one| (one.code, one.day))
        .collect();
    let of = |text| ("A093", Some(day(text)));
    assert_eq!(days, [of("2027-04-09"), of("2027-04-10"), of("2027-04-11")]);
    assert_eq!(
        tight.breaches[0].what,
        "tank: 51.16 kg of dry seed soak on 2027-04-09, 51.159 kg fit"
    );
}

#[test]
fn soil_is_drawn_by_mix_and_depth() {
    // Bed soil 25 mm, 0.58 × 0.28 × 25 = 4.06 L a tray. 3 April: 43 trays, 174.58 L; 13 April: 306 more, 1 242.36 L:
    // together 1 416.94 L, of 200 and 1 216.94 that come on that day.
    let found = altered(|_| ());
    let litre = 1_000_000;
    assert_eq!(
        fullest(&found, Ledger::SoilStore, "loam"),
        ("04-13".into(), 1_416_940_000, 1_416_940_000)
    );
    // Cover soil 7 mm: 1.1368 L × 349 = 396.7432 L.
    assert_eq!(
        fullest(&found, Ledger::SoilStore, "sand"),
        ("04-13".into(), 396_743_200, 396_750_000)
    );
    let short = only(|scenario| scenario.soil_stores[0].litres = Fixed(19_999));
    assert_eq!((short.code, short.amount), ("A079", 10));
    assert_eq!(
        short.what,
        "soil: 1416.94 L of `loam` are drawn up to 2027-04-13, 1416.93 L have come"
    );
    // 396.74 L lack 3.2 mL.
    let sand = |scenario: &mut Scenario| scenario.soil_stores[1].litres = Fixed(39_674);
    assert_eq!(breaches(sand), [("A079", 4)]);
    // Both from one store: 1 813.6832 L. From none: nothing.
    let one_mix = altered(|scenario| {
        scenario.soil_stores[0].litres = Fixed::whole(1_000);
        scenario.kinds[0].cover_soil = Some("loam".into());
        scenario.kinds[1].cover_soil = Some("loam".into());
    });
    assert_eq!(one_mix.breaches, []);
    let loam = fullest(&one_mix, Ledger::SoilStore, "loam");
    assert_eq!(loam.1, 1_813_683_200);
    assert_eq!(loam.2, (1_000 * litre) + 1_216_940_000);
    let bare = altered(|scenario| {
        scenario.soil_stores[0].litres = Fixed::ZERO;
        scenario.soil_stores[0].deliveries.clear();
        scenario
            .kinds
            .iter_mut()
            .for_each(|kind| kind.bed_soil = None);
    });
    assert_eq!(bare.breaches, []);
}

#[test]
fn water_for_the_line_and_the_beds() {
    // 13 April: 306 trays × 1.2 L on the line; 60 of F3 and 40 of F4 in beds × 0.5 L: 367.2 + 50 L.
    let found = altered(|_| ());
    assert_eq!(
        fullest(&found, Ledger::Water, "water"),
        ("04-13".into(), 41_720, 41_720)
    );
    let dry = only(|scenario| scenario.water.as_mut().unwrap().litres_per_day = Fixed(41_719));
    assert_eq!(
        (dry.code, dry.day, dry.amount),
        ("A092", Some(day("2027-04-13")), 10)
    );
    assert_eq!(
        dry.what,
        "water: 417.2 L are needed on 2027-04-13, 367.2 L of it on the line; there are 417.19 L"
    );
    // At 2 L a tray the beds are fullest from 16 to 18 April: 400 × 2 L; 60 of them leave on Monday 19 April.
    let beds = altered(|scenario| {
        let water = scenario.water.as_mut().unwrap();
        (water.litres_per_day, water.care_l_per_tray) = (Fixed::whole(799), Fixed::whole(2));
    });
    let days: Vec<_> = beds.breaches.iter().map(|one| one.day.unwrap()).collect();
    assert_eq!(days, ["2027-04-16", "2027-04-17", "2027-04-18"].map(day));
}

#[test]
fn vehicles_bring_what_fits_by_place_and_weight() {
    // Cart: 200 kg ÷ 7.5 are 26 trays, of 30 places, twice; lorry: 397.5 ÷ 7.5 are 53 of 80 places.
    let found = altered(|_| ());
    assert_eq!(
        fullest(&found, Ledger::Vehicles, "vehicles"),
        ("05-03".into(), 105, 105)
    );
    // A tenth of a kilogram less is a tray less, for both parts of F1.
    let light = |scenario: &mut Scenario| scenario.vehicles[1].kg_per_trip = Fixed(3_974);
    assert_eq!(breaches(light), [("A094", 1), ("A094", 1)]);
    let narrow = altered(|scenario| scenario.vehicles[1].trays_per_trip = 52);
    assert_eq!(
        narrow.breaches[0].what,
        "vehicles: 105 trays leave on 2027-05-03, all vehicles bring 104"
    );
    // What the grower fetches takes no vehicle; without vehicles nothing limits.
    let fetched = altered(|scenario| {
        scenario.vehicles[1].trays_per_trip = 38;
        scenario.fields[0].collected = true;
    });
    // F2's 90 are then the most, of 52 + 38.
    assert_eq!(
        fullest(&fetched, Ledger::Vehicles, "vehicles"),
        ("04-27".into(), 90, 90)
    );
    let codes: Vec<_> = fetched.breaches.iter().map(|one| one.code).collect();
    assert!(!codes.contains(&"A094"), "{codes:?}");
    assert_eq!(breaches(|scenario| scenario.vehicles.clear()), []);
    // Seedlings without weight take only their places: 60 + 80.
    let weightless = altered(|scenario| scenario.trays.loaded_kg = Fixed::ZERO);
    assert_eq!(fullest(&weightless, Ledger::Vehicles, "vehicles").2, 140);
}

#[test]
fn the_planting_machine_plants_and_moves() {
    // 0.5 ha × 10 h ÷ 0.75 ha = 6 h 40 min, and 200 min to bring it: 10 h.
    let found = altered(|_| ());
    assert_eq!(
        fullest(&found, Ledger::PlantingMachine, "ours"),
        ("05-03".into(), 36_000_000, 36_000_000)
    );
    let slow = altered(|scenario| scenario.planters[0].move_minutes = Fixed(20_100));
    let late: Vec<_> = slow
        .breaches
        .iter()
        .map(|one| (one.code, one.amount))
        .collect();
    assert_eq!(late, [("A075", 60_000), ("A075", 60_000)]);
    assert_eq!(
        slow.breaches[0].what,
        "planting: `ours` needs 10.02 h on 2027-05-03, 3.35 h of it for moves; 10 h fit"
    );
    // Rounded down by part: 5 000 m² at 0.7 ha a day are 25 714 285.7 ms.
    let seventh = altered(|scenario| {
        scenario.planters[0].ha_per_day = Fixed(7_000);
        scenario.planters[0].move_minutes = Fixed::ZERO;
    });
    assert_eq!(
        fullest(&seventh, Ledger::PlantingMachine, "ours").1,
        25_714_285
    );
    // Fewer hours for the same hectares: faster, so that only the moves are too long. 8 h: 5 h 20 min and 200 min.
    let short_day = |scenario: &mut Scenario| scenario.planters[0].hours_per_day = Fixed::whole(8);
    assert_eq!(
        breaches(short_day),
        [("A075", 40 * 60_000), ("A075", 40 * 60_000)]
    );
    // A machine that plants nothing is past its day with any field.
    let idle = altered(|scenario| scenario.planters[1].ha_per_day = Fixed::ZERO);
    assert_eq!(idle.breaches[0].code, "A075");
}

/// What the machine `ours` is there for on 3 May, and by how much it is beyond: by the audit, whose count of what there is the planner shares.
fn there(alter: impl Fn(&mut Scenario)) -> (i64, i64) {
    let found = altered(&alter);
    let (at, _, there) = fullest(&found, Ledger::PlantingMachine, "ours");
    assert_eq!(at, "05-03");
    let mut scenario = stocked::scenario();
    alter(&mut scenario);
    let nursery = Nursery::new(&scenario);
    let ground = Ground::new(&nursery);
    let label = "planting machine `ours`";
    let mut resources = ground.books.resources.iter();
    let machine = resources.find(|one| one.label == label).unwrap();
    let Supply::Daily { there: planned, .. } = &machine.supply else {
        panic!("{label}");
    };
    let third = day("2027-05-03").since(nursery.first);
    assert_eq!(planned[third as usize], there);
    let mut breaches = found.breaches.iter();
    let beyond = breaches.find(|one| one.code == "A075" && one.day == Some(day("2027-05-03")));
    (there, beyond.map_or(0, |one| one.amount))
}

#[test]
fn a_planting_machine_works_while_its_crew_is_there() {
    const HOUR: i64 = 3_600_000;
    // Needs 10 h, and so much is the crew's day: 8 h and 2 h of overtime.
    assert_eq!(there(|_| ()), (10 * HOUR, 0));
    let overtime = |scenario: &mut Scenario, hundredths| {
        for crew in &mut scenario.crews {
            crew.overtime_hours = Fixed(hundredths);
        }
    };
    assert_eq!(there(|scenario| overtime(scenario, 201)), (10 * HOUR, 0));
    let short = there(|scenario| overtime(scenario, 199));
    assert_eq!(short, (10 * HOUR - 36_000, 36_000));
    // Another shift on the third, not on the fourth.
    let shift = there(|scenario| {
        for crew in &mut scenario.crews {
            crew.spans = vec![CrewSpan {
                days: DayRange {
                    first: day("2027-05-03"),
                    last: day("2027-05-03"),
                },
                people: None,
                shift_start_minute: None,
                shift_hours: Some(Fixed::whole(7)),
            }];
        }
    });
    assert_eq!(shift, (9 * HOUR, HOUR));
    // The first trays are half of the round trip on their way, while the machine moves for 200 min.
    let way = |scenario: &mut Scenario, minutes: &[i64]| {
        let ids = ["near", "far"];
        for (id, minutes) in ids.iter().zip(minutes) {
            scenario.travel_groups.push(TravelGroup {
                id: id.to_string(),
                name: id.to_string(),
                round_trip_minutes: Fixed::whole(*minutes),
            });
        }
        let ours = scenario.planters[0].id.clone();
        let fields = scenario.fields.iter_mut();
        for field in fields.filter(|field| field.planter.as_ref() == Some(&ours)) {
            field.travel_group = Some(ids[minutes.len() - 1].into());
        }
    };
    assert_eq!(there(|scenario| way(scenario, &[400])), (10 * HOUR, 0));
    let far = (10 * HOUR - 30_000, 30_000);
    assert_eq!(there(|scenario| way(scenario, &[401])), far);
    assert_eq!(there(|scenario| way(scenario, &[10, 401])), far);
    // A way on which none of its fields lies does not count.
    let other = there(|scenario| {
        way(scenario, &[401, 10]);
    });
    assert_eq!(other, (10 * HOUR, 0));
    let collected = there(|scenario| {
        way(scenario, &[401]);
        for field in &mut scenario.fields {
            field.collected = true;
        }
    });
    assert_eq!(collected, (10 * HOUR, 0));
    // On a day off of its crew: who is called in has the shift of the day, and without anybody it stands.
    let off = |scenario: &mut Scenario, people| {
        for crew in &mut scenario.crews {
            crew.calendar = CalendarName::Line;
            crew.rest_day_people = people;
        }
        let third = DayRange {
            first: day("2027-05-03"),
            last: day("2027-05-03"),
        };
        scenario.calendars.line.closed.push(third);
    };
    assert_eq!(there(|scenario| off(scenario, 1)), (8 * HOUR, 2 * HOUR));
    assert_eq!(there(|scenario| off(scenario, 0)), (0, 10 * HOUR));
    // A grower's machine has its own hours, and so has one that nobody is counted for.
    let lent = there(|scenario| {
        overtime(scenario, 0);
        scenario.planters[0].whose = Whose::Grower;
    });
    assert_eq!(lent, (10 * HOUR, 0));
    let nobody = there(|scenario| {
        overtime(scenario, 0);
        scenario.work.plant = None;
    });
    assert_eq!(nobody, (10 * HOUR, 0));
}

#[test]
fn floor_is_cleared_before_it_is_taken() {
    // House: F4's 40 leave on 10 April, and with 6 days the floor is clear on the 16th; 90 of F2 and 105 of F1 on the 16th, of 200.
    let found = altered(|_| ());
    assert_eq!(
        fullest(&found, Ledger::BedFloor, "house"),
        ("04-16".into(), 195, 200)
    );
    let one = only(|scenario| scenario.beds[0].turn_round_days = 7);
    assert_eq!(
        (one.code, one.day, one.amount),
        ("A077", Some(day("2027-04-16")), 35)
    );
    assert_eq!(
        one.what,
        "floor: bed `house` holds 195 trays on 2027-04-16, and the floor of 40 more is being cleared; 200 fit"
    );
    // Trays that stay in one bed leave it once: 105 in the tunnel until 4 May, then its floor until the 9th.
    let tunnel = altered(|scenario| {
        scenario.beds[2].turn_round_days = 5;
        scenario.beds[2].area_m2 = Fixed::whole(21);
    });
    assert_eq!(tunnel.breaches, []);
    let alone = altered(|scenario| scenario.beds[2].area_m2 = Fixed::whole(20));
    assert!(alone.breaches.iter().all(|one| one.code == "A064"));
    // 16 April to 3 May.
    assert_eq!(alone.breaches.len(), 18);
    let both = altered(|scenario| {
        scenario.beds[2].turn_round_days = 5;
        scenario.beds[2].area_m2 = Fixed::whole(20);
    });
    let cleared = both.breaches.iter().filter(|one| one.code == "A077");
    assert_eq!(cleared.count(), 5);
    // By hand: the first part of F1 finds no room in the house any more, and takes the tunnel too.
    let mut scenario = stocked::scenario();
    scenario.beds[0].turn_round_days = 7;
    let plan = by_hand(&scenario);
    let mut beds = plan.deliveries.iter().filter(|one| one.field == "F1");
    assert!(beds.all(|one| one.green_bed.as_deref() == Some("tunnel")));
    // In the tunnel they are 3 × 30 + 17 × 20 = 430 °C·d old: 4.3 leaves.
    assert_eq!(codes(&plan), ["A054"]);
}

#[test]
fn a_field_is_planted_when_it_can_be() {
    // F2 on 27 April, 2 days after the water of 25 April.
    let of = |first, last| {
        move |scenario: &mut Scenario| {
            (scenario.blocks[0].first_days, scenario.blocks[0].last_days) = (first, last);
        }
    };
    assert_eq!(breaches(of(0, 2)), []);
    assert_eq!(breaches(of(0, 1)), [("A043", 1)]);
    let early = only(of(4, 9));
    assert_eq!((early.code, early.amount), ("A043", 2));
    assert_eq!(
        early.what,
        "field `F2`, part 1 is planted on 2027-04-27; water comes to block `low` on 2027-04-25, so it may be from 2027-04-29 to 2027-05-04"
    );
    // F1 on 3 and 4 May, 5 and 6 days after the harvest of 28 April.
    let one = only(|scenario| scenario.fields[0].harvest_first_days = 6);
    assert_eq!((one.code, one.amount), ("A044", 1));
    assert_eq!(
        one.what,
        "field `F1`, part 1 is planted on 2027-05-03; the crop before is off on 2027-04-28, so it may be from 2027-05-04 on"
    );
    let one = only(|scenario| scenario.fields[0].harvest_last_days = Some(5));
    assert_eq!((one.code, one.day), ("A044", Some(day("2027-05-04"))));
    let open_end = |scenario: &mut Scenario| scenario.fields[0].harvest_last_days = None;
    assert_eq!(breaches(open_end), []);
    // Not ready: both parts, whatever the day.
    let unready = altered(|scenario| scenario.fields[0].ready = false);
    let what: Vec<_> = unready
        .breaches
        .iter()
        .map(|one| (one.code, one.what.as_str()))
        .collect();
    assert_eq!(
        what,
        [
            (
                "A042",
                "field `F1`, part 1 is planted on 2027-05-03, but the field is not ready"
            ),
            (
                "A042",
                "field `F1`, part 2 is planted on 2027-05-04, but the field is not ready"
            ),
        ]
    );
    // Without a window the block alone decides.
    assert_eq!(breaches(|scenario| scenario.fields[1].window.clear()), []);
}

#[test]
fn further_limits_hold_on_their_own_clocks() {
    // Early, by the kind's clock 20 or 21 days old: F1's first part has 3 days at 30, 4 at 25, 13 at 20 °C, the second 3 at 30 and
    // 18 at 20: both 450 °C·d, 4.5 leaves; so have F3 and F4. Late, by leaves 3.2: 14 days.
    let of = |youngest, oldest| {
        move |scenario: &mut Scenario| {
            let limit = &mut scenario.kinds[0].limits[0];
            (limit.youngest, limit.oldest) = (Some(Fixed(youngest)), Some(Fixed(oldest)));
        }
    };
    assert_eq!(breaches(of(449, 451)), []);
    assert_eq!(breaches(of(451, 500)), [("A054", 1); 4]);
    let old = altered(of(0, 440));
    assert_eq!(
        old.breaches[0].what,
        "field `F3`, part 1 is 4.5 leaves old on 2027-04-19, a further limit allows at most 4.4"
    );
    assert_eq!(old.breaches.len(), 4);
    let late = only(|scenario| scenario.kinds[1].limits[0].youngest = Some(Fixed(1_450)));
    assert_eq!(
        late.what,
        "field `F2`, part 1 is 14 days old on 2027-04-27, a further limit wants at least 14.5"
    );
    // A limit that needs weather where none is known.
    let blind = altered(|scenario| {
        scenario.kinds[0].limits[0].clock = sowrota::scenario::AgeClock::Thermal;
        scenario.kinds[0].growth.method = sowrota::scenario::Method::SingleSine;
        scenario.beds[1].temperature = sowrota::scenario::Temperature::Outdoors {
            night_plus_c: Fixed::ZERO,
            day_plus_c: Fixed::ZERO,
        };
    });
    let what = "field `F1`, part 1: no temperature is known for `yard` on 2027-04-20";
    assert!(
        blind
            .breaches
            .iter()
            .any(|one| one.code == "A034" && one.what == what)
    );
}

#[test]
fn trays_come_back_by_the_curve_or_never_leave() {
    let plan = stocked::plan();
    let washing: Vec<_> = plan
        .washing
        .iter()
        .map(|one| (one.day.to_string(), one.trays))
        .collect();
    let washing: Vec<_> = washing
        .iter()
        .map(|(day, trays)| (&day[5..], *trays))
        .collect();
    let expected = [
        ("04-01", 30),
        ("04-06", 3),
        ("04-10", 50),
        ("04-15", 3),
        ("04-16", 3),
        ("04-24", 58), // F3 of Sil, who has no curve: 60 − ceil(1.2) after 5 days
        ("04-26", 20), // F4 of Ode, planted 23 April: half of 40 after 3 days
        ("04-28", 90), // F2, planted 27 April, lifted: all, none lost
        ("05-01", 18), // F4: floor(40 × 0.95) = 38 by 8 days; 2 never come
        ("05-06", 52), // first part of F1, planted 3 May: floor(52.5)
        ("05-07", 52), // second part
        ("05-11", 47), // floor(99.75) = 99 by 8 days
        ("05-12", 47),
    ];
    assert_eq!(washing, expected);
    // A grower from whom nothing comes back.
    let mut scenario = stocked::scenario();
    let washed = |scenario: &Scenario| -> i64 {
        by_hand(scenario).washing.iter().map(|one| one.trays).sum()
    };
    scenario.growers[0].returns.truncate(1);
    scenario.growers[0].returns[0].share = Fixed(0);
    assert_eq!(washed(&scenario), 30 + 3 + 50 + 3 + 3 + 58 + 90);
    // One who is named without a curve loses 2 in a hundred like all others: 40 − 1, and twice 105 − 3.
    scenario.growers[0].returns.clear();
    assert_eq!(washed(&scenario), 237 + 39 + 204);
}

#[test]
fn collected_fields_take_no_loading_and_lifted_mats_no_collecting() {
    let week = |plan: &Plan, week: &str| {
        let mut people = plan.people.iter();
        let one = people.find(|one| one.crew == "bed_team" && one.week.to_string() == week);
        one.unwrap().needed_minutes
    };
    // 26 April to 2 May: care 18 + 6 × 12.6, loading F2 13.5, washing 39 trays 4.68, collecting F4 4: 115.78 min.
    let mut scenario = small::scenario();
    assert_eq!(week(&by_hand(&scenario), "2027-W17"), 116);
    // Without loading F2: 102.28.
    scenario.fields[1].collected = true;
    assert_eq!(week(&by_hand(&scenario), "2027-W17"), 103);
    // 3 to 9 May: care 6.3, loading 31.5, planting 60, collecting F2 9 and the first part of F1 10.5, washing 188 22.56: 139.86.
    let mut scenario = small::scenario();
    assert_eq!(week(&by_hand(&scenario), "2027-W18"), 140);
    // F2 lifted: 9 of collecting and 88 trays of washing less; they are washed in the week before, 90 of them.
    scenario.fields[1].lifted = true;
    let plan = by_hand(&scenario);
    assert_eq!(
        (week(&plan, "2027-W17"), week(&plan, "2027-W18")),
        (127, 121)
    );
    assert_eq!(count(&plan).breaches, []);
}

#[test]
fn a_kind_has_its_own_rate_on_the_line() {
    // Late at 500 trays/h × 0.8: 9 000 ms a tray. 213 × 11 250 + 93 × 9 000 and 30 min of set-up.
    let plan = stocked::plan();
    let found = count(&plan);
    assert_eq!(
        fullest(&found, Ledger::LineHours, "a"),
        ("04-13".into(), 5_033_250, 7_200_000)
    );
    // The team of 4 sows 3 233.25 s, 2 set up 1 800 s, stacking 1 800 s: 18 333 s, 3 933 s beyond the shift.
    let mut bought = plan.bought.iter();
    let overtime = bought.find(|one| one.what == BoughtWhat::Overtime);
    assert_eq!(overtime.unwrap().minutes, 66);
    // 5 033 250 ms are 1.398125 h.
    assert_eq!(
        breaches(|scenario| scenario.lines[0].hours_per_day = Fixed(140)),
        []
    );
    let tight = |scenario: &mut Scenario| scenario.lines[0].hours_per_day = Fixed(139);
    assert_eq!(breaches(tight), [("A060", 29_250)]);
}

#[test]
fn the_price_of_a_tray_short_follows_days_and_limits() {
    let price = |alter: &dyn Fn(&mut Scenario)| {
        let mut scenario = small::scenario();
        scenario.prices.short_per_tray = None;
        scenario.prices.set_up = Money::ZERO;
        // A day off the preferred one costs 0.5 a tray, a day older than 20 costs 3.
        scenario.prices.off_preferred = Money::whole(50);
        scenario.kinds[0].cost_older = Money::whole(300);
        alter(&mut scenario);
        by_hand(&scenario).cost.short_per_tray
    };
    // F1 on 10 May, 7 days off, at 24 days: 3.5 + 12.
    assert_eq!(price(&|_| ()), Money::whole(155));
    // On 3 or 4 May: 0.5 + 12.
    let harvest = |scenario: &mut Scenario| {
        let field = &mut scenario.fields[0];
        field.harvest_before = Some(day("2027-04-28"));
        (field.harvest_first_days, field.harvest_last_days) = (5, Some(6));
    };
    assert_eq!(price(&harvest), Money::whole(125));
    // No window, water on 1 May and 15 days: 16 May, 13 days off.
    let block = |last_days| {
        move |scenario: &mut Scenario| {
            let (id, water) = ("low".to_string(), day("2027-05-01"));
            scenario.fields[0].block = Some(id.clone());
            scenario.fields[0].window.clear();
            scenario.blocks.push(sowrota::scenario::Block {
                id,
                water,
                first_days: 0,
                last_days,
            });
        }
    };
    assert_eq!(price(&block(15)), Money::whole(185));
    assert_eq!(price(&block(1)), Money::whole(125));
    // F1 is not ready: F3 and F4 have no preferred day.
    assert_eq!(
        price(&|scenario| scenario.fields[0].ready = false),
        Money::whole(120)
    );
    // At most 22 days: 18 April, 22 days before the 10 May, is a Sunday; so on 9 May, 6 + 3.
    let limit = |clock, youngest, oldest| {
        move |scenario: &mut Scenario| {
            scenario.kinds[0].limits = vec![sowrota::scenario::AgeLimit {
                clock,
                youngest,
                oldest,
            }];
        }
    };
    let days = sowrota::scenario::AgeClock::Days;
    let at_most = limit(days, None, Some(Fixed::whole(22)));
    assert_eq!(price(&at_most), Money::whole(90));
    // At least 24.01 days: nothing is legal, for early; F2's leaves cost at most 1 × 3 ÷ 100 a tray: 0.3, so 1.
    let at_least = limit(days, Some(Fixed(2_401)), None);
    assert_eq!(price(&at_least), Money::whole(1));
    // At most 4.3 leaves: 3 days at 30 °C and 17 at 20 °C, 20 days and no older; 18 days on 10 May cost 3.5 and 2 × 0.02.
    let leaves = sowrota::scenario::AgeClock::Leaves;
    let young = limit(leaves, None, Some(Fixed(430)));
    assert_eq!(price(&young), Money::whole(36));
}
