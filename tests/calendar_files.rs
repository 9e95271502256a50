//! Promise: a plan as calendars holds to RFC 5545 byte by byte, is read by another reader, adds up to the plan, keeps the identity of work that
//! moves, cancels what is dropped, and gives a grower nothing of another's.

mod ics_bytes;
#[path = "common/made_plans.rs"]
mod made_plans;

use icalendar::Component as _;
use ics_bytes::{Read, check};
use made_plans::{demo, run, with_names};
use sowrota::plan::Plan;
use sowrota::plan::file::save;
use sowrota::plan::tasks::TaskGraph;
use sowrota::report::calendar_file::{By, files, write};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The files of a plan by name, as bytes.
fn bytes(plan: &Plan, earlier: &[&Plan], by: By) -> BTreeMap<String, Vec<u8>> {
    let graph = TaskGraph::new(plan).unwrap();
    let earlier: Vec<TaskGraph<'_>> = earlier
        .iter()
        .map(|plan| TaskGraph::new(plan).unwrap())
        .collect();
    let files = files(&graph, &earlier, by);
    let count = files.len();
    let bytes: BTreeMap<String, Vec<u8>> = files
        .iter()
        .map(|file| (file.name.clone(), write(file)))
        .collect();
    assert_eq!(bytes.len(), count, "two files share a name");
    bytes
}

/// All events of all files; each file is checked byte by byte and by another reader.
fn events(plan: &Plan, earlier: &[&Plan], by: By) -> Vec<Read> {
    let mut all = Vec::new();
    for (name, bytes) in bytes(plan, earlier, by) {
        let read = check(&bytes).unwrap_or_else(|why| panic!("{name}: {why}"));
        second_reader(&name, &bytes, &read);
        all.extend(read);
    }
    all
}

/// The `icalendar` crate finds the same events with the same text.
fn second_reader(name: &str, bytes: &[u8], read: &[Read]) {
    let text = std::str::from_utf8(bytes).unwrap();
    let calendar: icalendar::Calendar = text.parse().unwrap_or_else(|why| panic!("{name}: {why}"));
    let events: Vec<&icalendar::Event> = calendar
        .components
        .iter()
        .filter_map(|component| component.as_event())
        .collect();
    assert_eq!(events.len(), read.len(), "{name}");
    for (event, read) in events.iter().zip(read) {
        assert_eq!(event.get_uid(), Some(read.uid.as_str()));
        assert_eq!(event.get_summary(), Some(read.summary.as_str()));
        assert_eq!(event.property_value("DTSTART"), Some(read.start.as_str()));
        assert_eq!(event.property_value("DTEND"), read.end.as_deref());
        assert_eq!(event.property_value("STATUS"), Some(read.status.as_str()));
    }
}

fn sum(events: &[Read], work: &str, name: &str) -> i64 {
    let of_work = |event: &&Read| event.uid.starts_with(&format!("{work}/"));
    events
        .iter()
        .filter(of_work)
        .map(|event| event.number(name))
        .sum()
}

#[test]
fn two_seasons_add_up_to_the_same_trays_kilograms_and_hours() {
    let plan = demo("two-season");
    for by in [By::Season, By::Crew] {
        let events = events(&plan, &[], by);
        let sown: i64 = plan.runs.iter().map(|run| run.trays).sum();
        let delivered: i64 = plan.deliveries.iter().map(|one| one.trays).sum();
        assert_eq!(sum(&events, "sow", "TRAYS"), sown);
        assert_eq!(sum(&events, "plant", "TRAYS"), delivered);
        let opened: i64 = plan
            .runs
            .iter()
            .flat_map(|run| &run.stacks)
            .map(|stack| stack.trays)
            .sum();
        assert_eq!(sum(&events, "open", "TRAYS"), opened);
        // Kilograms: what the stores give, counted by another part of the program.
        let needs = sowrota::stores::needs(&plan).unwrap();
        let seed = needs
            .items
            .iter()
            .filter(|item| item.what.unit() == sowrota::stores::Unit::Kilograms);
        let tenths: i128 = seed.map(|item| item.set_aside.parts).sum();
        assert_eq!(i128::from(sum(&events, "soak", "SEED-GRAMS")) * 10, tenths);
        // Hours: the plan rounds once a week and crew, the sheet once a job; washing and care are not in a calendar.
        let graph = TaskGraph::new(&plan).unwrap();
        let (mut jobs, mut elsewhere) = (0, 0);
        for day in plan.scenario.horizon.iter() {
            for job in sowrota::plan::day::day_plan(&graph, day).jobs() {
                jobs += 1;
                if job.tasks.is_empty() || job.work == sowrota::plan::day::Work::Wash {
                    elsewhere += job.person_minutes;
                }
            }
        }
        let minutes: i64 = events
            .iter()
            .map(|event| event.number("PERSON-MINUTES"))
            .sum();
        let needed: i64 = plan.people.iter().map(|week| week.needed_minutes).sum();
        let weeks = i64::try_from(plan.people.len()).unwrap();
        let apart = minutes + elsewhere - needed;
        assert!(
            (-weeks..=jobs).contains(&apart),
            "{minutes} + {elsewhere}, {needed}, {jobs} jobs"
        );
        assert!(minutes > 10 * jobs, "{minutes}");
    }
}

#[test]
fn work_by_the_clock_has_its_time_and_the_rest_its_day() {
    let plan = demo("village");
    let events = events(&plan, &[], By::Season);
    let (timed, days): (Vec<&Read>, Vec<&Read>) = events.iter().partition(|event| !event.all_day);
    assert!(!timed.is_empty() && !days.is_empty());
    for event in days {
        let day = |text: &str| {
            let iso = format!("{}-{}-{}", &text[..4], &text[4..6], &text[6..]);
            sowrota::calendar::Day::parse(&iso).unwrap()
        };
        assert_eq!(
            day(event.end.as_ref().unwrap()).since(day(&event.start)),
            1,
            "{event:?}"
        );
    }
    for event in timed {
        // Local time on every clock, to five minutes.
        assert!(
            !event.start.ends_with('Z') && event.start[12..].starts_with(['0', '5']),
            "{event:?}"
        );
    }
}

#[test]
fn a_grower_gets_nothing_of_another() {
    let plan = demo("two-season");
    let graph = TaskGraph::new(&plan).unwrap();
    let growers: BTreeSet<&str> = plan
        .scenario
        .fields
        .iter()
        .map(|field| field.grower.as_str())
        .collect();
    let files = files(&graph, &[], By::Grower);
    assert_eq!(files.len(), growers.len());
    for file in &files {
        let owner = file.owner.clone().unwrap();
        let text = String::from_utf8(write(file)).unwrap().replace("\r\n ", "");
        for field in &plan.scenario.fields {
            let mine = field.grower == owner;
            let named = text.contains(&format!("/{}/", field.id));
            assert_eq!(named, mine, "{owner}: {}", field.id);
        }
        let others = growers
            .iter()
            .filter(|other| **other != owner && !owner.contains(**other));
        for other in others {
            assert!(!text.contains(other), "{owner}: {other}");
        }
        let money = format!(" {}", plan.scenario.currency);
        assert!(!text.contains(&money));
    }
    let trays: i64 = events(&plan, &[], By::Grower)
        .iter()
        .filter(|event| event.uid.starts_with("grower-plant/"))
        .map(|event| event.number("TRAYS"))
        .sum();
    assert_eq!(
        trays,
        plan.deliveries.iter().map(|one| one.trays).sum::<i64>()
    );
}

#[test]
fn what_moves_keeps_its_identity_and_what_is_dropped_is_cancelled() {
    let first = demo("village");
    let mut second = first.clone();
    second.revision = 2;
    // One part is planted a day later, another is not grown any more.
    let moved = second
        .deliveries
        .iter()
        .position(|one| one.day.plus(1) <= second.scenario.horizon.last)
        .unwrap();
    second.deliveries[moved].day = second.deliveries[moved].day.plus(1);
    let dropped = second.deliveries.pop().unwrap();
    assert!(moved < second.deliveries.len());
    let (before, after) = (
        events(&first, &[], By::Grower),
        events(&second, &[&first], By::Grower),
    );
    let of = |events: &[Read], field: &str, part: u32| -> Read {
        let named = |event: &&Read| {
            event.uid.starts_with("grower-plant/")
                && event.uid.contains(&format!("/{field}/{part}@"))
        };
        events.iter().find(named).unwrap().clone()
    };
    let one = &second.deliveries[moved];
    let (old, new) = (
        of(&before, &one.field, one.part),
        of(&after, &one.field, one.part),
    );
    assert_eq!(old.uid, new.uid);
    assert!(old.start < new.start && old.sequence < new.sequence);
    let (old, new) = (
        of(&before, &dropped.field, dropped.part),
        of(&after, &dropped.field, dropped.part),
    );
    assert_eq!((new.status.as_str(), new.start), ("CANCELLED", old.start));
    assert!(old.sequence < new.sequence && old.status != "CANCELLED");
    let gone = after.iter().filter(|event| event.status == "CANCELLED");
    // Planting and the empty trays.
    assert_eq!(gone.count(), 2);
    // No date in any identity.
    let days: Vec<&str> = before.iter().map(|event| &event.start[4..8]).collect();
    for event in &before {
        assert!(
            days.iter()
                .all(|day| !event.uid.split('@').next().unwrap().contains(day)),
            "{}",
            event.uid
        );
    }
}

/// What lies before the first day of the later plan is done, not cancelled.
#[test]
fn what_is_done_is_not_cancelled() {
    let first = demo("village");
    let on = first.deliveries.first().unwrap().day.plus(1);
    let now = sowrota::disrupt::present(&first, on).unwrap();
    let mut second = sowrota::disrupt::what_if::as_decided(&now);
    second.revision = 2;
    for by in [By::Season, By::Crew, By::Grower] {
        let after = events(&second, &[&first], by);
        let gone: Vec<&Read> = after
            .iter()
            .filter(|event| event.status == "CANCELLED")
            .collect();
        assert_eq!(gone, Vec::<&Read>::new());
        assert!(after.iter().any(|event| event.uid.contains("plant/")));
    }
}

#[test]
fn hostile_names_stay_text() {
    let plan = with_names();
    let fields = plan.deliveries.len();
    let events = events(&plan, &[], By::Grower);
    let planted = events
        .iter()
        .filter(|event| event.uid.starts_with("grower-plant/"));
    assert_eq!(planted.count(), fields);
    self::events(&plan, &[], By::Season);
    self::events(&plan, &[], By::Crew);
}

#[test]
fn the_command_writes_whole_files_and_the_same_bytes_each_time() {
    let folder = tempfile::tempdir().unwrap();
    let plan = demo("village");
    save(&plan, &folder.path().join("plan.json")).unwrap();
    let to = |name: &str| folder.path().join(name);
    let args = |to: &Path| {
        [
            "calendar".into(),
            folder.path().into(),
            "--by".into(),
            "grower".into(),
            "--to".into(),
            to.to_path_buf(),
        ]
    };
    let (code, out, errors) = run(args(&to("a")));
    assert_eq!((code, errors.as_str()), (0, ""));
    assert_eq!(out.lines().count(), 7);
    run(args(&to("b")));
    let read = |folder: &Path| -> BTreeMap<String, Vec<u8>> {
        let entries = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path());
        entries
            .map(|path| {
                (
                    path.file_name().unwrap().to_string_lossy().into_owned(),
                    std::fs::read(&path).unwrap(),
                )
            })
            .collect()
    };
    assert_eq!(read(&to("a")), read(&to("b")));
    let (code, _, errors) = run(args(&to("a"))
        .into_iter()
        .chain(["--only".into(), "nobody".into()]));
    assert_eq!(code, 2);
    assert!(
        errors.contains("nothing in the plan is for `nobody`") && errors.contains("help:"),
        "{errors}"
    );
    // An earlier plan is one with a lower number.
    let plan = folder.path().to_path_buf();
    let (code, _, errors) = run(args(&to("a")).into_iter().chain(["--earlier".into(), plan]));
    assert_eq!(code, 2);
    assert!(
        errors.contains("name a plan with a lower number"),
        "{errors}"
    );
}
