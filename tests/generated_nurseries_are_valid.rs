//! The nurseries that other tests make up are whole: every name leads somewhere, limits stand in
//! the right order, and what is written down loads again unchanged.

mod common;

use common::generate::{MOST_COMBINATIONS, MOST_PAIRS, medium, shuffle_fields, tiny};
use common::orders::{most_ages, part_trays};
use common::places::bed_paths;
use sowrota::scenario::{Per, PieceTask, Scenario, Sown, Stage};
use std::collections::BTreeSet;

fn both() -> impl Iterator<Item = (u64, Scenario)> {
    (0..200).flat_map(|seed| [(seed, tiny(seed)), (seed, medium(seed))])
}

fn ids<'a>(names: impl Iterator<Item = &'a String>) -> BTreeSet<&'a str> {
    let mut seen = BTreeSet::new();
    for name in names {
        assert!(seen.insert(name.as_str()), "`{name}` stands twice");
    }
    seen
}

#[test]
fn every_name_leads_somewhere() {
    for (seed, scenario) in both() {
        let kinds = ids(scenario.kinds.iter().map(|kind| &kind.id));
        let seasons = ids(scenario.seasons.iter().map(|season| &season.id));
        let planters = ids(scenario.planters.iter().map(|planter| &planter.id));
        let crews = ids(scenario.crews.iter().map(|crew| &crew.id));
        let rooms = ids(scenario.germination.iter().map(|room| &room.id));
        ids(scenario.beds.iter().map(|bed| &bed.id));
        ids(scenario.lines.iter().map(|line| &line.id));
        ids(scenario.fields.iter().map(|field| &field.id));
        for field in &scenario.fields {
            assert!(kinds.contains(&field.kind[..]), "seed {seed}");
            assert!(
                field
                    .season
                    .as_ref()
                    .is_none_or(|season| seasons.contains(&season[..]))
            );
            assert!(
                field
                    .planter
                    .as_ref()
                    .is_none_or(|planter| planters.contains(&planter[..]))
            );
        }
        for pair in scenario.lines.iter().flat_map(|line| &line.set_up_pairs) {
            assert!(kinds.contains(&pair.from[..]) && kinds.contains(&pair.to[..]));
        }
        let part_exists = |name: &str, part: u32| {
            let field = scenario.fields.iter().find(|field| field.id == name);
            field.is_some_and(|field| (1..=field.parts).contains(&part))
        };
        for sown in &scenario.opening.sown {
            assert!(part_exists(&sown.field, sown.part), "seed {seed}");
            assert!(rooms.contains(&sown.germination[..]), "seed {seed}");
            let paths = bed_paths(&scenario.beds);
            let path = |(green, harden): &(usize, usize)| {
                scenario.beds[*green].id == sown.green_bed
                    && scenario.beds[*harden].id == sown.harden_bed
            };
            assert!(paths.iter().any(path), "seed {seed}");
        }
        assert!(
            scenario
                .pins
                .iter()
                .all(|pin| part_exists(&pin.field, pin.part)),
            "seed {seed}"
        );
        assert!(
            scenario
                .opening
                .soaked
                .iter()
                .all(|batch| kinds.contains(&batch.kind[..]))
        );
        let work = &scenario.work;
        let teams = [&work.set_up, &work.sow]
            .into_iter()
            .flatten()
            .map(|task| &task.crew);
        let pieces = piece_tasks(&scenario)
            .into_iter()
            .map(|(_, task)| &task.crew);
        assert!(
            teams.chain(pieces).all(|crew| crews.contains(&crew[..])),
            "seed {seed}"
        );
    }
}

fn piece_tasks(scenario: &Scenario) -> Vec<(&'static str, &PieceTask)> {
    let work = &scenario.work;
    [
        ("soak", &work.soak),
        ("drain", &work.drain),
        ("stack", &work.stack),
        ("unstack", &work.unstack),
        ("green", &work.green),
        ("harden", &work.harden),
        ("load", &work.load),
        ("plant", &work.plant),
        ("collect", &work.collect),
        ("wash", &work.wash),
        ("care", &work.care),
    ]
    .into_iter()
    .filter_map(|(name, task)| Some((name, task.as_ref()?)))
    .collect()
}

#[test]
fn limits_stand_in_the_right_order() {
    for (seed, scenario) in both() {
        let horizon = scenario.horizon;
        for kind in &scenario.kinds {
            let age = kind.age;
            assert!(
                age.youngest <= age.target && age.target <= age.oldest,
                "seed {seed}"
            );
        }
        assert!(
            scenario.fields.is_sorted_by(|a, b| a.id < b.id),
            "seed {seed}"
        );
        for field in &scenario.fields {
            assert!(
                field.window.is_sorted_by(|a, b| a.last < b.first),
                "seed {seed}"
            );
            let season = scenario
                .seasons
                .iter()
                .find(|s| Some(&s.id) == field.season.as_ref());
            for span in &field.window {
                let inside = |outer: sowrota::calendar::DayRange| {
                    outer.contains(span.first) && outer.contains(span.last)
                };
                assert!(inside(horizon), "seed {seed} {} {span} {horizon}", field.id);
                assert!(
                    season.is_none_or(|season| inside(season.span)),
                    "seed {seed} {span}"
                );
            }
            assert!(
                (1..=field.parts).all(|part| part_trays(field, part) > 0),
                "seed {seed}"
            );
            let open = |day| {
                field.window.iter().any(|span| span.contains(day))
                    && !field.closed.iter().any(|span| span.contains(day))
            };
            assert!(field.preferred.is_none_or(open), "seed {seed} {}", field.id);
            for pin in scenario.pins.iter().filter(|pin| pin.field == field.id) {
                assert!(pin.sow.is_some() || pin.plant.is_some(), "seed {seed}");
                assert!(pin.plant.is_none_or(open), "seed {seed} {pin:?}");
                assert!(
                    pin.sow.is_none_or(|day| horizon.contains(day)),
                    "seed {seed} {pin:?}"
                );
                let stands = |sown: &Sown| sown.field == pin.field && sown.part == pin.part;
                let stands = scenario.opening.sown.iter().any(stands);
                assert!(pin.sow.is_none() || !stands, "seed {seed} {pin:?}");
            }
        }
        assert!(
            scenario
                .weather
                .windows(2)
                .all(|two| two[1].date.since(two[0].date) == 1)
        );
        assert!(
            scenario.weather.iter().all(|day| day.min_c <= day.max_c),
            "seed {seed}"
        );
        assert_eq!(
            scenario.weather.last().map(|day| day.date),
            Some(horizon.last)
        );
        let takes = |stage| scenario.beds.iter().any(|bed| bed.stages.contains(&stage));
        assert!(takes(Stage::Green) && takes(Stage::Harden), "seed {seed}");
        for (name, task) in piece_tasks(&scenario) {
            let allowed = match name {
                "wash" => task.per == Per::HundredTrays,
                "soak" | "drain" => task.per != Per::SquareMetre,
                _ => true,
            };
            assert!(allowed, "seed {seed}: {name} by {:?}", task.per);
        }
        let opening = &scenario.opening;
        assert!(
            opening.sown.iter().all(|sown| sown.sown < horizon.first),
            "seed {seed}"
        );
        assert!(
            opening
                .soaked
                .iter()
                .all(|batch| batch.soaked < horizon.first),
            "seed {seed}"
        );
        let begins = scenario.weather[0].date;
        assert!(
            opening.sown.iter().all(|sown| begins <= sown.sown),
            "seed {seed}"
        );
        assert!(
            opening
                .trays_out
                .iter()
                .all(|out| horizon.contains(out.back)),
            "seed {seed}"
        );
        assert!(clean_at_first(&scenario) >= 0, "seed {seed}");
    }
}

/// Clean trays on the first morning, all stacks taken as still standing.
fn clean_at_first(scenario: &Scenario) -> i64 {
    let opening = &scenario.opening;
    let away: i64 = opening.trays_out.iter().map(|out| out.trays).sum();
    let sown: i64 = opening
        .sown
        .iter()
        .map(|sown| {
            let room = scenario
                .germination
                .iter()
                .find(|room| room.id == sown.germination);
            let room = room.expect("names are tested above");
            let stacks = sowrota::units::div_up(sown.trays, room.height);
            sown.trays + stacks * (room.lid_trays + room.base_trays)
        })
        .sum();
    scenario.trays.stock - opening.dirty_trays - away - sown
}

#[test]
fn tiny_nurseries_are_small_enough_to_try_every_plan() {
    for seed in 0..200 {
        let scenario = tiny(seed);
        let ways =
            scenario.lines.len() * scenario.germination.len() * bed_paths(&scenario.beds).len();
        let mut combinations = 1;
        for field in &scenario.fields {
            let kind = scenario
                .kinds
                .iter()
                .find(|kind| kind.id == field.kind)
                .unwrap();
            let days: usize = field.window.iter().map(|span| span.days()).sum();
            let pairs = days as i64 * most_ages(kind);
            assert!(
                (1..=MOST_PAIRS).contains(&pairs),
                "seed {seed}: {pairs} pairs"
            );
            combinations *= (pairs * ways as i64 + 1).pow(field.parts);
        }
        let lots: u32 = scenario.fields.iter().map(|field| field.parts).sum();
        assert!((1..=4).contains(&lots), "seed {seed}: {lots} lots");
        assert!(scenario.horizon.days() <= 40, "seed {seed}");
        assert!(
            combinations <= MOST_COMBINATIONS,
            "seed {seed}: {combinations}"
        );
    }
}

#[test]
fn all_features_come_up() {
    let tiny: Vec<Scenario> = (0..200).map(tiny).collect();
    let medium: Vec<Scenario> = (0..200).map(medium).collect();
    type Feature = (&'static str, fn(&Scenario) -> bool);
    let has: [Feature; 12] = [
        ("opening.sown", |s| !s.opening.sown.is_empty()),
        ("opening.soaked", |s| !s.opening.soaked.is_empty()),
        ("trays out", |s| !s.opening.trays_out.is_empty()),
        ("pins", |s| !s.pins.is_empty()),
        ("parts", |s| s.fields.iter().any(|field| field.parts > 1)),
        ("two lines", |s| s.lines.len() == 2),
        ("two rooms", |s| s.germination.len() == 2),
        ("beds by stage", |s| {
            s.beds.iter().any(|bed| bed.stages.len() == 1)
        }),
        ("rest days", |s| !s.calendars.beds.rest_days.is_empty()),
        ("gap in a window", |s| {
            s.fields.iter().any(|field| field.window.len() > 1)
        }),
        ("planters", |s| {
            s.fields.iter().any(|field| field.planter.is_some())
        }),
        ("short price left out", |s| {
            s.prices.short_per_tray.is_none()
        }),
    ];
    for (name, has) in has {
        for (size, scenarios) in [("tiny", &tiny), ("medium", &medium)] {
            let count = scenarios.iter().filter(|scenario| has(scenario)).count();
            assert!(
                (5..=195).contains(&count),
                "{name}: {count} of 200 {size} nurseries"
            );
        }
    }
    assert!(medium.iter().any(|scenario| scenario.seasons.len() == 2));
}

#[test]
fn what_is_written_loads_again_unchanged() {
    for (seed, scenario) in both() {
        let text = serde_json::to_string(&scenario).unwrap();
        let again: Scenario = serde_json::from_str(&text).unwrap();
        assert_eq!(again, scenario, "seed {seed}");
        assert_eq!(serde_json::to_string(&again).unwrap(), text, "seed {seed}");
    }
}

#[test]
fn the_same_seed_gives_the_same_nursery_and_shuffling_loses_no_field() {
    let mut moved = 0;
    for seed in 0..50 {
        let scenario = medium(seed);
        assert_eq!(medium(seed), scenario);
        let mut other = shuffle_fields(&scenario, seed);
        moved += usize::from(other.fields != scenario.fields);
        other.fields.sort_by(|a, b| a.id.cmp(&b.id));
        assert_eq!(other, scenario);
    }
    assert!(moved > 40, "only {moved} of 50 were moved");
}
