//! Orders of every form, what leaves when and how, and the further limits of line, seed, beds, trays and people: each counted by hand from
//! docs/COUNTING.md, planned where it just fits and where it just does not.

mod one_field;

use one_field::{day, group, grown, nursery, order, pin, plan, spare, vehicle};
use sowrota::plan::Plan;
use sowrota::scenario::*;
use sowrota::units::{Fixed, Money};

/// Field `F1` of 100 trays, altered: trays that leave, in a plan that the audit finds nothing in.
fn trays(alter: impl FnOnce(&mut Scenario)) -> i64 {
    grown(&altered(alter))
}

fn altered(alter: impl FnOnce(&mut Scenario)) -> Plan {
    let mut scenario = nursery(1);
    alter(&mut scenario);
    plan(&scenario)
}

/// Fields that are grown, of `count`.
fn fields_grown(count: usize, alter: impl FnOnce(&mut Scenario)) -> (Vec<String>, Plan) {
    let mut scenario = nursery(count);
    alter(&mut scenario);
    let plan = plan(&scenario);
    let mut grown: Vec<String> = plan
        .deliveries
        .iter()
        .map(|one| one.field.clone())
        .collect();
    grown.sort();
    (grown, plan)
}

#[test]
fn an_order_of_trays_is_not_rounded_and_has_no_margin() {
    let plan = altered(|scenario| {
        let field = &mut scenario.fields[0];
        (field.trays, field.reserve, field.parts) = (Some(7), Fixed(100_000), 2);
    });
    let parts: Vec<_> = plan
        .deliveries
        .iter()
        .map(|one| (one.part, one.trays))
        .collect();
    assert_eq!(parts, [(1, 3), (2, 4)]);
}

#[test]
fn so_many_more_are_sown_as_are_lost() {
    let losses = Losses {
        line: Fixed(10_000),
        stack: Fixed(20_000),
        bed: Fixed(30_000),
    };
    // 100 ÷ (0.99 × 0.98 × 0.97) = 106.3; up to the stack 100 ÷ 0.9702 = 103.1; seed 100.
    let of = |stage, stock| {
        move |scenario: &mut Scenario| {
            scenario.kinds[0].losses = losses;
            scenario.fields[0].stage = stage;
            scenario.trays.stock = stock;
        }
    };
    let seedlings = altered(of(HandOver::Seedlings, 107));
    let one = &seedlings.deliveries[0];
    assert_eq!((one.trays, one.sown()), (100, 107));
    assert_eq!(seedlings.runs[0].trays, 107);
    assert_eq!(trays(of(HandOver::Seedlings, 106)), 0);
    let sprouted = altered(of(HandOver::Sprouted, 104));
    assert_eq!(sprouted.deliveries[0].sown(), 104);
    assert_eq!(trays(of(HandOver::Sprouted, 103)), 0);
    let seed = altered(of(HandOver::SoakedSeed, 1));
    assert_eq!(seed.deliveries[0].sown(), 100);
}

#[test]
fn sprouted_trays_need_no_bed_and_leave_when_their_stack_is_opened() {
    let sprouted = altered(|scenario| {
        scenario.beds[0].area_m2 = Fixed::whole(1);
        scenario.fields[0].stage = HandOver::Sprouted;
    });
    let one = &sprouted.deliveries[0];
    // Two days in the stack before 1 May.
    assert_eq!(sprouted.runs[0].sow, day("2027-04-29"));
    assert_eq!(
        (one.open, one.leaves(), one.day),
        (day("2027-05-01"), day("2027-05-01"), day("2027-05-01"))
    );
    assert_eq!((&one.green_bed, &one.harden_bed), (&None, &None));
    assert_eq!(sprouted.cost.age, Money::whole(0));
    // Seedlings of the same order have no room.
    assert_eq!(
        trays(|scenario| scenario.beds[0].area_m2 = Fixed::whole(1)),
        0
    );
}

#[test]
fn soaked_seed_takes_seed_soaking_and_draining_only() {
    let seed = |grams: i64| {
        move |scenario: &mut Scenario| {
            scenario.fields[0].stage = HandOver::SoakedSeed;
            scenario.fields[0].planter = Some("slow".into());
            scenario.planters.push(Planter {
                id: "slow".into(),
                name: "slow".into(),
                ha_per_day: Fixed(1),
                hours_per_day: Fixed(1),
                move_minutes: Fixed(0),
                whose: Whose::Grower,
            });
            scenario.lines[0].hours_per_day = Fixed(0);
            scenario.lines[0].hopper_g_dry = Fixed(5_000);
            scenario.trays.stock = 0;
            scenario.vehicles = vec![vehicle(0, 1)];
            scenario.seed_stores.push(SeedStore {
                lead_days: 0,
                sample_kg: Fixed(0),
                reserve_share: Fixed(0),
                kind: "a".into(),
                kg_dry: Fixed(grams),
                deliveries: vec![],
            });
        }
    };
    // 100 × 150 g, without what stays in a hopper. 40 °C·d at 20 °C are 2 days, and 1 to sprout.
    let plan = altered(seed(15_000));
    let run = &plan.runs[0];
    assert_eq!((run.line.as_ref(), run.sow), (None, day("2027-05-01")));
    assert_eq!(
        (run.soak, run.drain),
        (Some(day("2027-04-28")), Some(day("2027-04-30")))
    );
    assert_eq!(plan.deliveries[0].germination, None);
    assert_eq!(grown(&plan), 100);
    assert_eq!(trays(seed(14_999)), 0);
}

#[test]
fn trays_wait_at_the_edge_when_all_cannot_leave_on_one_day() {
    let edge = |days: i32| {
        move |scenario: &mut Scenario| {
            scenario.vehicles = vec![vehicle(1, 100)];
            scenario.fields[0].edge_days = days;
            scenario.prices.edge_wait = Fixed::whole(3);
        }
    };
    let (both, plan) = fields_grown(2, edge(1));
    assert_eq!(both, ["F1", "F2"]);
    let of_f1 = plan
        .deliveries
        .iter()
        .find(|one| one.field == "F1")
        .unwrap();
    assert_eq!(
        (of_f1.leaves(), of_f1.day),
        (day("2027-04-30"), day("2027-05-01"))
    );
    // 100 trays for a day.
    assert_eq!(plan.cost.edge, Money::whole(3));
    let (one, plan) = fields_grown(2, edge(0));
    assert_eq!((one.len(), plan.cost.edge), (1, Money::whole(0)));
    // No planting day before: nothing leaves.
    let closed = fields_grown(2, |scenario| {
        edge(1)(scenario);
        let before = order("2027-04-30", "2027-04-30");
        scenario.calendars.planting.closed.push(before);
    });
    assert_eq!(closed.0.len(), 1);
}

#[test]
fn age_goes_on_at_the_edge_by_its_warmth() {
    // Sown 19 April: 2 days at 30 °C, then 20 °C, the last day of twelve at the edge at 30 °C: 0.6 + 9 × 0.2 + 0.3 = 2.7 leaves.
    let oldest = |hundredths: i64| {
        move |scenario: &mut Scenario| {
            let age = &mut scenario.kinds[0].age;
            *age = AgeLimits {
                clock: AgeClock::Leaves,
                youngest: Fixed(100),
                target: Fixed(200),
                oldest: Fixed(hundredths),
            };
            pin(scenario, "F1", 1, "2027-04-19");
            scenario.fields[0].edge_days = 1;
            scenario.edge = Temperature::Own(Fixed::whole(30));
            // On 1 May nothing can be loaded.
            scenario.fields[0].window = vec![order("2027-05-01", "2027-05-01")];
            scenario.vehicles = vec![vehicle(1, 100)];
            let mut other = scenario.fields[0].clone();
            (other.id, other.edge_days) = ("F0".into(), 0);
            other.kind = "b".into();
            scenario.fields.insert(0, other);
            scenario.prices.short_per_tray = Some(Fixed::whole(100));
        }
    };
    let warm = altered(oldest(270));
    let age = |plan: &Plan| {
        let mut all = plan.deliveries.iter();
        all.find(|one| one.field == "F1").map(|one| one.age.0)
    };
    assert_eq!((age(&warm), grown(&warm)), (Some(270), 200));
    assert_eq!(grown(&altered(oldest(269))), 100);
}

#[test]
fn a_run_has_its_least_trays() {
    let least =
        |trays: i64| move |scenario: &mut Scenario| scenario.kinds[0].least_run_trays = trays;
    assert_eq!(trays(least(100)), 100);
    assert_eq!(trays(least(101)), 0);
    // Two fields share a run, or none is grown.
    let (both, plan) = fields_grown(2, least(200));
    assert_eq!((both.len(), plan.runs.len()), (2, 1));
    assert_eq!(fields_grown(2, least(201)).0.len(), 0);
}

/// `F1` of kind `a` and `F2` of kind `b`, both to be sown on 19 April.
fn two_kinds(alter: impl FnOnce(&mut Scenario)) -> (Vec<String>, Plan) {
    fields_grown(2, |scenario| {
        scenario.fields[1].kind = "b".into();
        pin(scenario, "F1", 1, "2027-04-19");
        pin(scenario, "F2", 1, "2027-04-19");
        alter(scenario);
    })
}

fn order_of_kinds(plan: &Plan) -> Vec<(&str, i64)> {
    let mut runs: Vec<_> = plan.runs.iter().collect();
    runs.sort_by_key(|run| run.place_in_day);
    runs.iter()
        .map(|run| (run.kind.as_str(), run.thrown_trays))
        .collect()
}

#[test]
fn nothing_is_sown_after_what_is_the_last_of_its_day() {
    let (both, plan) = two_kinds(|scenario| scenario.kinds[0].last_of_day = true);
    assert_eq!(both.len(), 2);
    assert_eq!(order_of_kinds(&plan), [("b", 0), ("a", 0)]);
    let (one, _) = two_kinds(|scenario| {
        scenario
            .kinds
            .iter_mut()
            .for_each(|kind| kind.last_of_day = true);
    });
    assert_eq!(one.len(), 1);
}

/// A pair of kinds on the line.
fn pair(from: &str, to: &str, throw_out_trays: i64, never: bool) -> SetUpPair {
    SetUpPair {
        from: from.into(),
        to: to.into(),
        minutes: Fixed(0),
        throw_out_trays,
        never,
    }
}

#[test]
fn what_may_never_follow_does_not() {
    let (both, plan) = two_kinds(|scenario| {
        scenario.lines[0].set_up_pairs = vec![pair("a", "b", 0, true)];
    });
    assert_eq!(both.len(), 2);
    assert_eq!(order_of_kinds(&plan), [("b", 0), ("a", 0)]);
    let (one, _) = two_kinds(|scenario| {
        scenario.lines[0].set_up_pairs = vec![pair("a", "b", 0, true), pair("b", "a", 0, true)];
    });
    assert_eq!(one.len(), 1);
}

#[test]
fn trays_thrown_out_take_time_and_seed() {
    let throw = |hours: i64, grams: i64| {
        move |scenario: &mut Scenario| {
            scenario.lines[0].hours_per_day = Fixed(hours);
            scenario.lines[0].set_up_pairs =
                vec![pair("a", "b", 5, false), pair("b", "a", 8, false)];
            scenario.seed_stores.push(SeedStore {
                lead_days: 0,
                sample_kg: Fixed(0),
                reserve_share: Fixed(0),
                kind: "b".into(),
                kg_dry: Fixed(grams),
                deliveries: vec![],
            });
        }
    };
    // 205 trays × 10 s = 2 050 s: 0.57 h are 2 052 s. Seed for 105 trays of 150 g.
    let (both, plan) = two_kinds(throw(57, 15_750));
    assert_eq!(both.len(), 2);
    assert_eq!(order_of_kinds(&plan), [("a", 0), ("b", 5)]);
    assert_eq!(two_kinds(throw(56, 15_750)).0.len(), 1);
    assert_eq!(two_kinds(throw(57, 15_749)).0, ["F1"]);
}

#[test]
fn seed_stays_in_the_hopper() {
    let store = |grams: i64| {
        move |scenario: &mut Scenario| {
            scenario.lines[0].hopper_g_dry = Fixed::whole(500);
            scenario.seed_stores.push(SeedStore {
                lead_days: 0,
                sample_kg: Fixed(0),
                reserve_share: Fixed(0),
                kind: "a".into(),
                kg_dry: Fixed(grams),
                deliveries: vec![],
            });
        }
    };
    assert_eq!(trays(store(15_500)), 100);
    assert_eq!(trays(store(15_499)), 0);
}

#[test]
fn the_line_has_other_hours_on_some_days() {
    let hours = |hundredths: i64, last: &'static str| {
        move |scenario: &mut Scenario| {
            pin(scenario, "F1", 1, "2027-04-19");
            scenario.lines[0].spans = vec![LineSpan {
                days: order("2027-04-10", last),
                hours_per_day: Fixed(hundredths),
            }];
        }
    };
    // 100 trays × 10 s: 0.28 h are 1 008 s, 0.27 h 972 s.
    assert_eq!(trays(hours(28, "2027-04-19")), 100);
    assert_eq!(trays(hours(27, "2027-04-19")), 0);
    assert_eq!(trays(hours(27, "2027-04-18")), 100);
}

#[test]
fn a_part_takes_whole_rows() {
    // 100 trays take 2 rows of 60: 24 m² are 120 trays, 23.9 m² are 119 and one whole row.
    let rows = |tenths: i64| {
        move |scenario: &mut Scenario| {
            scenario.beds[0].row_trays = Some(60);
            scenario.beds[0].area_m2 = Fixed(tenths * 10);
        }
    };
    let alone = altered(rows(240));
    assert_eq!(
        (grown(&alone), &alone.deliveries[0].green_rows[..]),
        (100, &[1, 2][..])
    );
    assert_eq!(trays(rows(239)), 0);
    let (both, plan) = fields_grown(2, rows(480));
    let mut taken: Vec<u32> = plan
        .deliveries
        .iter()
        .flat_map(|one| one.green_rows.clone())
        .collect();
    taken.sort_unstable();
    assert_eq!((both.len(), &taken[..]), (2, &[1, 2, 3, 4][..]));
    // 200 trays would fit on the floor, but not in its three rows.
    assert_eq!(fields_grown(2, rows(460)).0.len(), 1);
}

#[test]
fn trays_rest_longer_on_some_days() {
    // All trays come back on 16 April and are washed; sown on the 19th.
    let dry = |dry_days: i32| {
        move |scenario: &mut Scenario| {
            pin(scenario, "F1", 1, "2027-04-19");
            scenario.trays.stock = 100;
            scenario.opening.trays_out = vec![TraysOut {
                trays: 100,
                back: day("2027-04-16"),
                grower: None,
                field: None,
                since: None,
                due: None,
            }];
            scenario.trays.dry_spans = vec![DrySpan {
                days: order("2027-04-16", "2027-04-19"),
                dry_days,
            }];
        }
    };
    assert_eq!(trays(dry(3)), 100);
    assert_eq!(trays(dry(4)), 0);
}

#[test]
fn a_crew_has_other_people_and_shifts_on_some_days() {
    let crew = |people: Option<i64>, hours: Option<i64>| {
        move |scenario: &mut Scenario| {
            pin(scenario, "F1", 1, "2027-04-19");
            scenario.work.sow = Some(TeamTask {
                crew: "all".into(),
                team: 1,
            });
            scenario.crews[0].spans = vec![CrewSpan {
                days: order("2027-04-19", "2027-04-19"),
                people,
                shift_start_minute: Some(300),
                shift_hours: hours.map(Fixed),
            }];
        }
    };
    // 1 000 s of one person, as above.
    assert_eq!(trays(crew(None, Some(28))), 100);
    assert_eq!(trays(crew(None, Some(27))), 0);
    assert_eq!(trays(crew(Some(2), Some(14))), 100);
    assert_eq!(trays(crew(Some(0), None)), 0);
}

#[test]
fn some_kinds_want_more_care() {
    // An hour a day by 100 trays, twice; 1 L a tray, twice and a half.
    let care = |hours: i64| {
        move |scenario: &mut Scenario| {
            scenario.kinds[0].care_times = Fixed(200);
            scenario.crews[0].shift_hours = Fixed(hours);
            scenario.work.care = Some(PieceTask {
                crew: "all".into(),
                person_minutes: Fixed::whole(60),
                per: Per::HundredTrays,
            });
        }
    };
    assert_eq!(trays(care(200)), 100);
    assert_eq!(trays(care(199)), 0);
    let water = |hundredths: i64| {
        move |scenario: &mut Scenario| {
            scenario.kinds[0].care_times = Fixed(250);
            scenario.water = Some(Water {
                litres_per_day: Fixed(hundredths),
                care_l_per_tray: Fixed::whole(1),
            });
        }
    };
    assert_eq!(trays(water(25_000)), 100);
    assert_eq!(trays(water(24_999)), 0);
}

#[test]
fn an_agent_is_there_before_seed_is_put_to_soak() {
    // 15 kg × 4 mL; for 19 April seed soaks on the 16th.
    let agent = |ml: i64, later: i64, text: &'static str| {
        move |scenario: &mut Scenario| {
            pin(scenario, "F1", 1, "2027-04-19");
            scenario.kinds[0].treatment = Some(Treatment {
                agent: "dressing".into(),
                ml_per_kg: Fixed::whole(4),
            });
            scenario.agents = vec![AgentStore {
                lead_days: 0,
                lot_ml: None,
                id: "dressing".into(),
                name: "Dressing".into(),
                ml: Fixed(ml),
                deliveries: vec![AgentDelivery {
                    day: day(text),
                    ml: Fixed(later),
                }],
            }];
        }
    };
    assert_eq!(trays(agent(20, 40, "2027-04-16")), 100);
    assert_eq!(trays(agent(20, 39, "2027-04-16")), 0);
    assert_eq!(trays(agent(20, 40, "2027-04-17")), 0);
    // Another agent is not counted.
    let other = |scenario: &mut Scenario| {
        agent(0, 1, "2027-04-16")(scenario);
        scenario.agents[0].id = "other".into();
    };
    assert_eq!(trays(other), 100);
}

#[test]
fn a_move_between_beds_has_its_price() {
    let moves = |scenario: &mut Scenario| {
        let mut second = scenario.beds[0].clone();
        second.id = "second".into();
        (scenario.beds[0].stages, second.stages) = (vec![Stage::Green], vec![Stage::Harden]);
        scenario.beds.push(second);
        scenario.prices.bed_move = Fixed(7_500);
        scenario.kinds[0].losses.bed = Fixed(60_000);
    };
    // 100 ÷ 0.94 = 106.4: 107 trays are moved, at 7.5 by 100.
    assert_eq!(altered(moves).cost.moves, Money { 0: 8_025 });
    let stays = |scenario: &mut Scenario| scenario.prices.bed_move = Fixed(7_500);
    assert_eq!(altered(stays).cost.moves, Money::whole(0));
}

#[test]
fn each_further_run_of_a_field_has_its_price() {
    let split = |second: &'static str| {
        move |scenario: &mut Scenario| {
            scenario.fields[0].parts = 2;
            pin(scenario, "F1", 1, "2027-04-19");
            pin(scenario, "F1", 2, second);
            scenario.prices.split_run = Fixed::whole(6);
        }
    };
    assert_eq!(altered(split("2027-04-20")).cost.splits, Money::whole(6));
    assert_eq!(altered(split("2027-04-19")).cost.splits, Money::whole(0));
}

#[test]
fn round_trips_take_the_vehicles_day() {
    let trip = |minutes: i64, of_f1: i64| {
        move |scenario: &mut Scenario| {
            scenario.vehicles = vec![vehicle(4, 50)];
            scenario.vehicles[0].hours_per_day = Fixed::whole(4);
            scenario.travel_groups = vec![group("far", minutes)];
            scenario.fields[0].travel_group = Some("far".into());
            scenario.fields[0].trays = Some(of_f1);
        }
    };
    // Twice 120 min in 4 h: 100 trays, and no more; once 121 min.
    assert_eq!(trays(trip(120, 100)), 100);
    assert_eq!(trays(trip(120, 101)), 0);
    assert_eq!(trays(trip(121, 51)), 0);
    assert_eq!(trays(trip(121, 50)), 50);
    // `F2` is in no group: 4 trips of 50, so that its 100 take half the day.
    assert_eq!(fields_grown(2, trip(120, 50)).0.len(), 2);
    assert_eq!(fields_grown(2, trip(120, 51)).0, ["F2"]);
    // Fetched: no vehicle.
    let fetched = fields_grown(2, |scenario| {
        trip(120, 51)(scenario);
        scenario.fields[0].collected = true;
    });
    assert_eq!(fetched.0.len(), 2);
}

/// Room for 100 trays: `F1` wants 60, `F2` 100.
fn scarce(alter: impl FnOnce(&mut Scenario)) -> (Vec<String>, Option<Money>) {
    let (grown, plan) = fields_grown(2, |scenario| {
        scenario.beds[0].area_m2 = Fixed::whole(20);
        scenario.fields[0].trays = Some(60);
        alter(scenario);
    });
    (grown, plan.cost.shortage)
}

#[test]
fn a_shortage_falls_where_the_rule_says() {
    let (plain, short) = scarce(|_| ());
    assert_eq!(plain, ["F2"]);
    // 60 trays at 100.
    assert!(
        short.is_none_or(|money| money == Money::whole(6_000)),
        "{short:?}"
    );
    // Ordered first, `F1` weighs twice: 12 000 against 10 000 for `F2`.
    let by_date = |first: &'static str, second: &'static str| {
        move |scenario: &mut Scenario| {
            scenario.sharing = Sharing::OrderDate;
            scenario.fields[0].ordered = Some(day(first));
            scenario.fields[1].ordered = Some(day(second));
        }
    };
    let (grown, short) = scarce(by_date("2027-01-10", "2027-01-11"));
    assert_eq!(
        (grown, short),
        (vec!["F1".into()], Some(Money::whole(10_000)))
    );
    assert_eq!(scarce(by_date("2027-01-11", "2027-01-10")).0, ["F2"]);
    // On one day all weigh the same; without a day comes after all with one.
    assert_eq!(scarce(by_date("2027-01-10", "2027-01-10")).0, ["F2"]);
    let undated = |scenario: &mut Scenario| {
        by_date("2027-01-10", "2027-01-10")(scenario);
        scenario.fields[1].ordered = None;
    };
    assert_eq!(scarce(undated).0, ["F1"]);
    let members = |id: &'static str| {
        move |scenario: &mut Scenario| {
            scenario.sharing = Sharing::MembersFirst;
            scenario.growers.push(Grower {
                id: id.into(),
                member: true,
                returns: vec![],
            });
        }
    };
    assert_eq!(scarce(members("G1")).0, ["F1"]);
    assert_eq!(scarce(members("G2")).0, ["F2"]);
}

#[test]
fn growers_give_up_the_same_share() {
    // Two growers with two fields of 100 each, and room for two: one of each.
    let (grown, plan) = fields_grown(4, |scenario| {
        scenario.beds[0].area_m2 = Fixed::whole(40);
        scenario.sharing = Sharing::InProportion;
        for (at, field) in scenario.fields.iter_mut().enumerate() {
            field.grower = ["G1", "G1", "G2", "G2"][at].into();
        }
    });
    let of_first = grown
        .iter()
        .filter(|id| ["F1", "F2"].contains(&id.as_str()));
    assert_eq!((of_first.count(), grown.len()), (1, 2));
    // By grower 20 trays each at 1, 1.1, 1.2, 1.3 and 1.4: 120; together 240 at 100.
    assert_eq!(plan.cost.shortage, Some(Money::whole(24_000)));
}

#[test]
fn spare_trays_come_after_orders_and_leave_nothing_behind() {
    let (grown, short) = scarce(|scenario| {
        let spare = spare(100);
        scenario.fields.remove(1);
        scenario.fields.push(spare);
    });
    // 60 of `F1` weigh 6 000, 100 spare ones at half 5 000.
    assert_eq!(
        (grown, short),
        (vec!["F1".into()], Some(Money::whole(5_000)))
    );
    // No vehicle is needed, and every tray is at home again.
    let (both, plan) = fields_grown(1, |scenario| {
        scenario.fields.push(spare(40));
        scenario.vehicles = vec![vehicle(1, 100)];
        scenario.trays.loss = Fixed(500_000);
    });
    assert_eq!(both.len(), 2);
    let washed: i64 = plan.washing.iter().map(|one| one.trays).sum();
    assert_eq!(washed, 40 + 50);
}
