//! Promise: sheets, cards, lists, labels and notices of all days add up to the plan: the same trays, kilograms and hours; and no sheet says what
//! has no place on a wall.

#[path = "common/demos.rs"]
mod demos;

use sowrota::calendar::Day;
use sowrota::nursery::Nursery;
use sowrota::plan::Plan;
use sowrota::plan::day::Work;
use sowrota::plan::tasks::TaskGraph;
use sowrota::report::sheets::notices::{self, NoticeKind, When};
use sowrota::report::sheets::words::Words;
use sowrota::report::sheets::{Point, files, sheets};
use sowrota::scenario::HandOver;
use sowrota::solve::{self, Budget, Start, Unwatched};
use sowrota::stores::{What, needs};
use std::collections::BTreeMap;

/// A plan by the list alone: sums need no good one.
fn planned(demo: &str) -> Plan {
    let nursery = Nursery::new(&demos::scenario(demo));
    let budget = Budget {
        moves: 0,
        relaxations: 0,
        seed: 1,
    };
    solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan
}

fn days(plan: &Plan) -> impl Iterator<Item = Day> + use<> {
    plan.scenario.horizon.iter()
}

/// Sheets against runs, deliveries, washing, stores and weeks of people, which were counted by others.
fn adds_up(plan: &Plan) {
    let graph = TaskGraph::new(plan).unwrap();
    let s = &plan.scenario;
    let mut sum: BTreeMap<&str, i64> = BTreeMap::new();
    let mut labels: BTreeMap<Point, i64> = BTreeMap::new();
    let mut hours: BTreeMap<String, i64> = BTreeMap::new();
    let (mut jobs, mut weighed) = (0, 0);
    for day in days(plan) {
        let found = sheets(&graph, day);
        let mut add = |what, n: i64| *sum.entry(what).or_default() += n;
        for card in &found.cards {
            add("sown", card.trays);
            add("trial", card.trial_trays);
            add("thrown", card.thrown_trays);
            add("hopper g", card.seed.dry.0);
        }
        for trip in &found.trips {
            add("trips", trip.trays());
            add("trips kg", trip.kg());
            if let (Some(trays), Some(kg)) = (trip.most_trays, trip.most_kg) {
                assert!(trip.trays() <= trays && trip.kg() <= kg + 1, "{trip:?}");
            }
            add("empties", trip.empties.iter().map(|one| one.trays).sum());
        }
        for label in &found.labels {
            *labels.entry(label.point).or_default() += label.trays;
        }
        for job in found.day.jobs() {
            match job.work {
                Work::Load => {
                    add("loaded", job.trays);
                    weighed += i64::from(job.load_kg.is_some());
                    add("loaded kg", job.load_kg.unwrap_or(0));
                }
                Work::HandOver => add("handed", job.trays),
                Work::Collect => add("fetched", job.trays),
                Work::Wash => add("washed", job.trays),
                Work::Soak => add("soaked g", job.seed.unwrap().dry.0),
                Work::Green => add("laid out", job.trays),
                Work::Harden if job.from_place != job.to_place => add("moved", job.trays),
                _ => {}
            }
        }
        for crew in &found.day.crews {
            let minutes: i64 = crew.jobs.iter().map(|job| job.person_minutes).sum();
            *hours.entry(crew.crew.clone()).or_default() += minutes;
            jobs += crew.jobs.len() as i64;
        }
        // What has no time in a crew's day is in its hours all the same.
        for misfit in &found.day.misfits {
            if let sowrota::plan::day::Misfit::Team { .. } = misfit {
                panic!("{day}: {misfit:?}");
            }
        }
    }
    let of = |what: &str| sum.get(what).copied().unwrap_or(0);
    let on_line = || {
        let runs = plan.runs.iter();
        runs.filter(|run| run.line.is_some() && s.horizon.contains(run.sow))
    };
    assert!(of("sown") > 1_000);
    assert_eq!(of("sown"), on_line().map(|run| run.trays).sum::<i64>());
    assert_eq!(
        of("trial"),
        on_line().map(|run| run.trial_trays).sum::<i64>()
    );
    assert_eq!(
        of("thrown"),
        on_line().map(|run| run.thrown_trays).sum::<i64>()
    );
    let stacked: i64 = on_line()
        .flat_map(|run| &run.stacks)
        .map(|stack| stack.trays)
        .sum();
    assert_eq!(labels[&Point::Stack], stacked);
    assert_eq!(
        labels[&Point::Hopper],
        of("sown") + of("trial") + of("thrown")
    );
    assert_eq!(labels[&Point::BedRow], of("laid out") + of("moved"));

    let field = |id: &str| s.fields.iter().find(|field| field.id == id).unwrap();
    let leaving = |collected: bool, stage: fn(HandOver) -> bool| -> i64 {
        let parts = plan.deliveries.iter().filter(|part| {
            let field = field(&part.field);
            !field.spare
                && field.collected == collected
                && stage(field.stage)
                && s.horizon.contains(part.leaves())
        });
        parts.map(|part| part.trays).sum()
    };
    let trays = |stage: HandOver| stage != HandOver::SoakedSeed;
    let loaded = leaving(false, trays);
    assert_eq!((of("loaded"), of("trips")), (loaded, loaded));
    assert_eq!(labels.get(&Point::Vehicle).copied().unwrap_or(0), loaded);
    let seed = |stage: HandOver| stage == HandOver::SoakedSeed;
    let handed = leaving(true, trays) + leaving(true, seed) + leaving(false, seed);
    assert_eq!(of("handed"), handed);
    assert_eq!(labels[&Point::DropPoint], loaded + handed);
    assert_eq!(of("trips kg"), of("loaded kg"));
    // Each load is weighed to the nearest kilogram: half of one either way.
    let exact = leaving(false, |stage| stage == HandOver::Seedlings) * s.trays.loaded_kg.0;
    assert!((of("loaded kg") * 100 - exact).abs() <= 50 * weighed);
    assert_eq!(of("empties"), of("fetched"));
    assert_eq!(
        of("washed"),
        plan.washing.iter().map(|row| row.trays).sum::<i64>()
    );

    // Seed in tenths of a gram; a run is rounded to the gram.
    let needs = needs(plan).unwrap();
    let seed = needs
        .items
        .iter()
        .filter(|item| matches!(item.what, What::Seed { .. }));
    let soaked: i128 = seed.map(|item| item.set_aside.parts).sum();
    let before: i64 = s.opening.soaked.iter().map(|batch| batch.kg_dry.0).sum();
    assert_eq!(before, 0, "what was soaked before comes out of no store");
    let off = (i128::from(of("soaked g")) * 10 - soaked).abs();
    assert!(off <= 5 * plan.runs.len() as i128, "{off}");

    // Person-minutes are rounded up by job on the sheet and by week in the plan.
    for (crew, minutes) in &hours {
        let weeks = plan.people.iter().filter(|week| week.crew == *crew);
        let (needed, n) = weeks.fold((0, 0), |(sum, n), week| (sum + week.needed_minutes, n + 1));
        assert!(
            *minutes >= needed - n && *minutes <= needed + jobs,
            "{crew}: {minutes}, {needed}"
        );
    }
    notices_add_up(plan, &graph, loaded + handed);
}

fn notices_add_up(plan: &Plan, graph: &TaskGraph<'_>, leaving: i64) {
    let mut sum: BTreeMap<NoticeKind, i64> = BTreeMap::new();
    let horizon = plan.scenario.horizon;
    let only = &NoticeKind::ALL[1..];
    for ahead in -8..=horizon.last.since(horizon.first) {
        for notice in notices::notices(graph, horizon.first.plus(ahead), only) {
            let of = notice.items.iter().map(|item| item.trays);
            *sum.entry(notice.kind).or_default() += of.sum::<i64>();
            for item in &notice.items {
                let part = plan.deliveries.iter().find(|part| {
                    item.field.starts_with(&part.field)
                        && part.leaves() == item.leaves
                        && part.run == item.run
                });
                let promised = part.unwrap().promised;
                assert_eq!(
                    matches!(item.comes, When::Told(_)),
                    promised == Some(part.unwrap().day)
                );
            }
        }
    }
    for kind in [NoticeKind::Week, NoticeKind::Tomorrow, NoticeKind::Delivery] {
        assert_eq!(sum[&kind], leaving, "{kind:?}");
    }
    let confirmed = notices::notices(graph, horizon.first, &[NoticeKind::Confirmation]);
    let trays = confirmed
        .iter()
        .flat_map(|notice| &notice.items)
        .map(|item| item.trays);
    assert_eq!(trays.sum::<i64>(), leaving);
    let short = confirmed
        .iter()
        .flat_map(|notice| &notice.short)
        .map(|short| short.trays);
    assert_eq!(short.sum::<i64>(), plan.cost.trays_short);
}

#[test]
fn all_days_of_the_two_seasons_add_up_to_the_plan() {
    adds_up(&planned("two-season"));
}

#[test]
fn all_days_of_the_cooperative_add_up_to_the_plan() {
    adds_up(&planned("cooperative"));
}

/// What never hangs on a wall, in lower case.
const NEVER: [&str; 22] = [
    "bound",
    "gap",
    "solver",
    "second",
    "seconds",
    "cost",
    "costs",
    "wage",
    "wages",
    "debt",
    "price",
    "money",
    "optimal",
    "sha256",
    "telephone",
    "talers",
    "shortfall",
    "objective",
    "penalty",
    "budget",
    "overdue",
    "owes",
];

/// Words of a page as they are read, without its markup and style.
fn read(page: &str) -> String {
    let body = page.split("<body>").nth(1).unwrap();
    let mut text = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            c if !inside => text.push(c),
            _ => {}
        }
    }
    text
}

#[test]
fn no_sheet_of_any_demo_says_what_has_no_place_on_a_wall() {
    let words = Words::english();
    let mut pages = 0;
    for demo in [
        "village",
        "overfull",
        "two-season",
        "three-years",
        "cooperative",
    ] {
        let plan = planned(demo);
        let graph = TaskGraph::new(&plan).unwrap();
        for day in days(&plan) {
            for file in files(&sheets(&graph, day), &words, &[]) {
                pages += 1;
                let page = &file.text;
                let at = format!("{demo}, {day}, {}", file.name);
                for part in [
                    "<script", "http", "src=", "url(", "@import", "color: r", "rgb", "NaN",
                ] {
                    assert!(!page.contains(part), "{at}: {part}");
                }
                let text = read(page);
                assert!(
                    !text.contains('[') && !text.contains('{'),
                    "{at}: a word is missing"
                );
                for word in text.split(|c: char| !c.is_alphanumeric()) {
                    let plain = word.to_lowercase();
                    assert!(!NEVER.contains(&plain.as_str()), "{at}: {word}");
                    let hash = word.len() >= 12 && word.chars().all(|c| c.is_ascii_hexdigit());
                    assert!(!hash, "{at}: {word}");
                }
                decimals(&text, &at);
                // The plan's number stands on every sheet: two versions of a day can be told apart.
                assert!(text.contains(&format!("Plan {}", plan.revision)), "{at}");
            }
        }
    }
    assert!(pages > 500, "{pages}");
}

/// The only decimals are hectares, as growers say them, and seed that is weighed out; and the log's own.
fn decimals(text: &str, at: &str) {
    let words: Vec<&str> = text.split_whitespace().collect();
    for pair in words.windows(2) {
        let word = pair[0].trim_matches(|c: char| !c.is_ascii_digit());
        let is_decimal = word.split_once('.').is_some_and(|(whole, part)| {
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
            digits(whole) && digits(part)
        });
        let said_so = pair[1].starts_with("ha") || pair[1].starts_with("kg");
        assert!(!is_decimal || said_so, "{at}: {} {}", pair[0], pair[1]);
    }
}

#[test]
fn every_row_for_the_log_is_read_by_the_log() {
    let plan = planned("cooperative");
    let graph = TaskGraph::new(&plan).unwrap();
    let (mut rows, mut kinds) = (0, std::collections::BTreeSet::new());
    for day in days(&plan) {
        for line in sheets(&graph, day).log {
            let event = line.event.replace("0.____", "0.6").replace("____", "12");
            let table = format!("date,event\n{day},{event}\n{day},close\n");
            // Other days are not closed; the row itself is read.
            let read = sowrota::disrupt::log::read(table.as_bytes(), &plan, day.plus(1));
            if let Err(error) = read {
                let open = matches!(error, sowrota::disrupt::log::LogError::Open(_));
                assert!(open, "{event}: {error}");
            }
            rows += 1;
            kinds.insert(line.key);
        }
    }
    assert!(rows > 200 && kinds.len() == 7, "{rows} {kinds:?}");
}
