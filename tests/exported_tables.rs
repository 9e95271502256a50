//! Promise: the tables of a plan add up to the plan and to what the stores and the second count say, come back through other readers as they
//! were, and names that carry markup, formulas or control characters stay text.

#[path = "common/made_plans.rs"]
mod made_plans;

use calamine::{Data, DataType, Reader, Xlsx};
use made_plans::{HOSTILE, demo, run, with_names};
use sowrota::audit::{Ledger, audit};
use sowrota::disrupt::present;
use sowrota::plan::Plan;
use sowrota::plan::file::save;
use sowrota::plan::tasks::TaskGraph;
use sowrota::report::safe::{clean, unmarked};
use sowrota::report::tables::{Cell, LONGEST, Sheet, csv, gather, xlsx};
use std::collections::BTreeSet;
use std::io::Cursor;

const MADE: &str = "2027-03-20";

fn sheets(plan: &Plan, names: bool) -> Vec<Sheet> {
    gather(&TaskGraph::new(plan).unwrap(), names).unwrap()
}

fn sheet<'a>(sheets: &'a [Sheet], name: &str) -> &'a Sheet {
    sheets.iter().find(|sheet| sheet.name == name).unwrap()
}

/// Rows of CSV through the reader of the `csv` crate, the head first.
fn read(bytes: &[u8]) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(bytes);
    let rows = reader
        .records()
        .map(|row| row.unwrap().iter().map(str::to_string).collect());
    rows.collect()
}

/// The sum of a column as it stands in the CSV, in thousandths.
fn sum(sheets: &[Sheet], name: &str, column: &str) -> i64 {
    let rows = read(&csv(sheet(sheets, name)).unwrap());
    let at = rows[0].iter().position(|name| name == column).unwrap();
    let cells = rows[1..]
        .iter()
        .map(|row| row[at].as_str())
        .filter(|cell| !cell.is_empty());
    let thousandths = cells.map(|cell| {
        let (whole, part) = cell.split_once('.').unwrap_or((cell, ""));
        let part: i64 = format!("{part:0<3}").parse().unwrap();
        whole.parse::<i64>().unwrap() * 1_000 + part
    });
    thousandths.sum()
}

fn book(sheets: &[Sheet]) -> Vec<u8> {
    xlsx(sheets, (sowrota::calendar::Day::parse(MADE).unwrap(), 1)).unwrap()
}

#[test]
fn two_seasons_add_up_to_the_same_trays_kilograms_and_hours() {
    let plan = demo("two-season");
    let sheets = sheets(&plan, true);
    let trays: i64 = plan.deliveries.iter().map(|one| one.trays).sum();
    assert_eq!(sum(&sheets, "deliveries", "trays"), trays * 1_000);
    let sown: i64 = plan.runs.iter().map(|run| run.trays).sum();
    assert_eq!(sum(&sheets, "runs", "trays"), sown * 1_000);
    // What stands in no bed any more at the end: each tray sown left or was lost.
    assert_eq!(sum(&sheets, "deliveries", "sown_trays"), sown * 1_000);
    let each = plan.scenario.trays.loaded_kg;
    assert_eq!(sum(&sheets, "deliveries", "load_kg"), trays * each.0 * 10);
    // Seed by runs, and by what the stores give.
    let needs = sowrota::stores::needs(&plan).unwrap();
    let seed = needs
        .items
        .iter()
        .filter(|item| item.what.unit() == sowrota::stores::Unit::Kilograms);
    let tenths: i128 = seed.map(|item| item.set_aside.parts).sum();
    assert_eq!(
        i128::from(sum(&sheets, "runs", "seed_soaked_kg")) * 10,
        tenths
    );
    // Hours by jobs and by the plan, which rounds once a week and crew where jobs round once each.
    let minutes = sum(&sheets, "work", "person_minutes") / 1_000;
    let needed: i64 = plan.people.iter().map(|week| week.needed_minutes).sum();
    assert_eq!(sum(&sheets, "people", "work_minutes"), needed * 1_000);
    let jobs = i64::try_from(sheet(&sheets, "work").rows.len()).unwrap();
    let weeks = i64::try_from(plan.people.len()).unwrap();
    assert!(
        (-weeks..=jobs).contains(&(minutes - needed)),
        "{minutes}, {needed}, {jobs} jobs"
    );
    // Washed by days of work, and by the plan.
    let work = sheet(&sheets, "work");
    let washed: i128 = work
        .rows
        .iter()
        .filter(|row| row[6] == Cell::text("wash"))
        .map(|row| match row[8] {
            Cell::Number { value, .. } => value,
            _ => 0,
        })
        .sum();
    assert_eq!(
        washed,
        plan.washing.iter().map(|one| i128::from(one.trays)).sum()
    );
    assert_eq!(sum(&sheets, "cost", "amount"), 2 * plan.cost.total.0);
}

/// The trays of every evening against the second count's fullest day, and against what a morning later on finds.
#[test]
fn trays_balance_as_the_second_count_and_the_mornings_have_them() {
    for name in ["village", "two-season"] {
        let plan = demo(name);
        let days = sowrota::stores::tray_days::tray_days(&plan).unwrap();
        let stock = plan.scenario.trays.stock;
        let found = audit(&plan, &plan.scenario);
        let fullest = found
            .fullest
            .iter()
            .find(|one| one.ledger == Ledger::TraysInUse)
            .unwrap();
        // The audit looks before the day's washing, which changes nothing of what is clean.
        let (_, on) = days.iter().find(|(day, _)| *day == fullest.day).unwrap();
        assert_eq!(stock - on.clean, fullest.used, "{name}");
        for (day, evening) in days.iter().step_by(9) {
            if *day == plan.scenario.horizon.last {
                continue;
            }
            let morning = present(&plan, day.plus(1)).unwrap().scenario;
            let all = [
                evening.clean,
                evening.standing,
                evening.around,
                evening.dirty,
                evening.drying,
                evening.away,
            ];
            assert!(
                all.iter().all(|trays| *trays >= 0),
                "{name} {day}: {evening:?}"
            );
            assert_eq!(all.iter().sum::<i64>(), stock);
            let standing: i64 = morning.opening.sown.iter().map(|sown| sown.trays).sum();
            let trial: i64 = plan
                .runs
                .iter()
                .filter(|run| {
                    let open = run.stacks.first().map(|stack| stack.open);
                    run.sow <= *day && open.is_some_and(|open| open > *day)
                })
                .map(|run| run.trial_trays)
                .sum();
            assert_eq!(evening.standing, standing + trial, "{name} {day}");
            // What comes home in the night is dirty in the morning.
            let out: i64 = morning.opening.trays_out.iter().map(|out| out.trays).sum();
            let drying: i64 = morning.opening.drying.iter().map(|one| one.trays).sum();
            let lost = stock - morning.trays.stock;
            let away = evening.away + evening.drying + evening.dirty + trial;
            assert_eq!(
                away,
                morning.opening.dirty_trays + out + drying + lost,
                "{name} {day}"
            );
        }
    }
}

#[test]
fn csv_and_workbook_hold_the_same() {
    let plan = demo("village");
    let sheets = sheets(&plan, true);
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(book(&sheets))).unwrap();
    assert_eq!(
        book.sheet_names(),
        sheets.iter().map(|sheet| sheet.name).collect::<Vec<_>>()
    );
    for one in &sheets {
        let rows = read(&csv(one).unwrap());
        let range = book.worksheet_range(one.name).unwrap();
        assert_eq!(rows.len(), one.rows.len() + 1);
        for (at, cells) in one.rows.iter().enumerate() {
            for (column, cell) in cells.iter().enumerate() {
                let there = range.get_value((at as u32 + 1, column as u32));
                let text = &rows[at + 1][column];
                match cell {
                    Cell::Empty => assert!(there.is_none_or(DataType::is_empty) && text.is_empty()),
                    Cell::Text(words) => {
                        assert_eq!(unmarked(text), words);
                        assert_eq!(
                            there.and_then(|cell| cell.as_string()).unwrap_or_default(),
                            *words
                        );
                    }
                    Cell::Number { value, places } => {
                        let wanted = *value as f64 / 10f64.powi(*places as i32);
                        assert_eq!(text.parse::<f64>().unwrap(), wanted);
                        assert_eq!(there.unwrap().as_f64(), Some(wanted));
                    }
                    Cell::Day(day) => {
                        assert_eq!(text, &day.to_string());
                        let Some(Data::DateTime(found)) = there else {
                            panic!("{there:?}")
                        };
                        let epoch = sowrota::calendar::Day::parse("1999-12-31").unwrap();
                        // 1999-12-31 is day 36,525 of a workbook.
                        assert_eq!(found.as_f64(), f64::from(36_525 + day.since(epoch)));
                    }
                }
            }
        }
    }
}

/// Markup, formulas, control characters, commas, quotes, lines, length: what went in comes out as text.
#[test]
fn hostile_names_stay_text() {
    let plan = with_names();
    let sheets = sheets(&plan, true);
    let long = plan
        .scenario
        .fields
        .iter()
        .map(|field| &field.grower)
        .max_by_key(|name| name.len())
        .unwrap();
    let names: Vec<&str> = HOSTILE.iter().copied().chain([long.as_str()]).collect();
    // Every name in one table, and those of the plan.
    let mut table = Sheet::new("names", &["name", "after"]);
    table.rows = names
        .iter()
        .map(|name| vec![Cell::text(*name), Cell::whole(1)])
        .collect();
    let rows = read(&csv(&table).unwrap());
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(book(std::slice::from_ref(&table)))).unwrap();
    let range = book.worksheet_range("names").unwrap();
    let formulas = book.worksheet_formula("names").unwrap();
    assert_eq!(
        formulas
            .used_cells()
            .filter(|(_, _, text)| !text.is_empty())
            .count(),
        0
    );
    for (at, name) in names.iter().enumerate() {
        let wanted = clean(name);
        let cell = &rows[at + 1];
        assert_eq!(
            (unmarked(&cell[0]), cell[1].as_str()),
            (wanted.as_str(), "1"),
            "{name:?}"
        );
        let start = cell[0].trim_start().chars().next().unwrap();
        assert!(
            !"=+-@＝＋－＠".contains(start) && !cell[0].starts_with(['\t', '\r']),
            "{name:?}"
        );
        assert!(
            cell[0]
                .chars()
                .all(|sign| sign == '\n' || !sign.is_control())
        );
        let there = range
            .get_value((at as u32 + 1, 0))
            .and_then(|cell| cell.as_string())
            .unwrap();
        if wanted.encode_utf16().count() <= LONGEST {
            assert_eq!(there, wanted, "{name:?}");
        } else {
            assert!(there.ends_with('…') && wanted.starts_with(there.trim_end_matches('…')));
            assert!(there.encode_utf16().count() <= LONGEST);
        }
    }
    for one in &sheets {
        let rows = read(&csv(one).unwrap());
        assert!(rows.iter().all(|row| row.len() == one.columns.len()));
    }
    self::book(&sheets);
}

#[test]
fn without_names_neither_grower_nor_money_is_there() {
    let plan = demo("cooperative");
    let fields = plan.scenario.fields.iter().filter(|field| !field.spare);
    let growers: BTreeSet<&str> = fields.map(|field| field.grower.as_str()).collect();
    // One of them has given a kind its name.
    let kinds = &plan.scenario.kinds;
    assert!(kinds.iter().any(|kind| {
        let mut growers = growers.iter();
        growers.any(|grower| kind.name.contains(*grower))
    }));
    let (with, without) = (sheets(&plan, true), sheets(&plan, false));
    let all = |sheets: &[Sheet]| -> String {
        let texts = sheets
            .iter()
            .map(|sheet| String::from_utf8(csv(sheet).unwrap()).unwrap());
        texts.collect()
    };
    let (with, text) = (all(&with), all(&without));
    for grower in &growers {
        assert!(
            with.contains(*grower) && !text.contains(*grower),
            "{grower}"
        );
    }
    // And in the files that the command writes.
    let folder = tempfile::tempdir().unwrap();
    save(&plan, &folder.path().join("plan.json")).unwrap();
    let (code, _, errors) = run([
        "export".into(),
        folder.path().to_path_buf(),
        "--to".into(),
        folder.path().join("tables"),
        "--without-names".into(),
    ]);
    assert_eq!((code, errors.as_str()), (0, ""));
    for entry in std::fs::read_dir(folder.path().join("tables")).unwrap() {
        let path = entry.unwrap().path();
        let file = std::fs::read_to_string(&path).unwrap();
        for grower in &growers {
            assert!(!file.contains(*grower), "{grower} in {}", path.display());
        }
    }
    assert!(with.contains(&plan.scenario.currency) && !text.contains(&plan.scenario.currency));
    let names: Vec<&str> = without.iter().map(|sheet| sheet.name).collect();
    assert_eq!(
        names,
        [
            "runs",
            "deliveries",
            "work",
            "people",
            "stores",
            "trays",
            "short"
        ]
    );
}

#[test]
fn the_command_gives_the_same_bytes_each_time() {
    let folder = tempfile::tempdir().unwrap();
    save(&demo("village"), &folder.path().join("plan.json")).unwrap();
    for kind in [&["--xlsx"][..], &[][..]] {
        for to in ["a", "b"] {
            let mut args = vec![
                "export".into(),
                folder.path().to_path_buf(),
                "--to".into(),
                folder.path().join(to),
            ];
            args.extend(kind.iter().map(Into::into));
            let (code, _, errors) = run(args);
            assert_eq!((code, errors.as_str()), (0, ""));
            // Another second for whoever would read a clock.
            std::thread::sleep(std::time::Duration::from_millis(1_100));
        }
    }
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder.path().join("a")).unwrap() {
        let name = entry.unwrap().file_name();
        let read = |to: &str| std::fs::read(folder.path().join(to).join(&name)).unwrap();
        assert_eq!(read("a"), read("b"), "{name:?}");
        names.push(name);
    }
    assert_eq!(names.len(), 9);
    // Where a folder should be, a file stands: nothing is written, and it is said.
    let (code, _, errors) = run([
        "export".into(),
        folder.path().to_path_buf(),
        "--to".into(),
        folder.path().join("plan.json"),
    ]);
    assert_eq!(code, 1);
    assert!(errors.contains("cannot write"), "{errors}");
}
