//! Promise: the books hold what logs say was done and nothing planned; a row's number stays whatever is written later; a broken row is named;
//! and `replan` reads the same logs.

#[path = "common/made_plans.rs"]
mod made_plans;

use made_plans::{demo, run};
use sowrota::calendar::Day;
use sowrota::disrupt::books::{Books, books};
use sowrota::disrupt::log::{self, LogError};
use sowrota::report::books::sheets;
use sowrota::report::tables::csv;
use std::collections::BTreeMap;

const LOG: &str = "\
date,event
2027-05-17,delivered field=V02 trays=260 kg=1948.5 signed=J.K note=017
2027-05-17,delivered field=V03 part=2 trays=90 signed=Orsa lifted=true
2027-05-17,hours person=corvan task=load hours=3.5
2027-05-17,rain days=2027-05-18/2027-05-19
2027-05-17,order field=V05 trays=380
2027-05-17,close
2027-05-18,seed_in kind=mirel kg=200
2027-05-18,seed_out kind=mirel kg=45.15 for=soak
2027-05-18,trays_back field=V02 trays=180
2027-05-18,washed on=2027-05-18 trays=170
2027-05-18,trays_lost trays=4
2027-05-18,trays_bought trays=100 on=2027-05-18
2027-05-18,hours person=corvan task=wash hours=2.25
2027-05-18,close
2027-05-19,delivered field=V04 trays=100 signed=A
";

fn read(log: &str) -> Books {
    books(&[("log.csv".into(), log.as_bytes().to_vec())]).unwrap()
}

/// Rows by number, as they stand in the tables.
fn table(books: &Books) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    for sheet in sheets(books).iter().filter(|sheet| sheet.name != "balance") {
        let text = String::from_utf8(csv(sheet).unwrap()).unwrap();
        for line in text.lines().skip(1) {
            let (number, rest) = line.split_once(',').unwrap();
            let before = all.insert(number.to_string(), format!("{}: {rest}", sheet.name));
            assert_eq!(before, None, "{number} stands twice");
        }
    }
    all
}

#[test]
fn rows_of_closed_days_stand_in_their_tables_and_add_up() {
    let books = read(LOG);
    let rows: Vec<String> = table(&books)
        .into_iter()
        .map(|(number, row)| format!("{number} {row}"))
        .collect();
    let wanted = [
        "2027-05-17/delivered/V02/1/017 deliveries: 2027-05-17,V02,1,260,1948.5,J.K,no,017",
        "2027-05-17/delivered/V03/2 deliveries: 2027-05-17,V03,2,90,,Orsa,yes,",
        "2027-05-17/hours/corvan/load hours: 2027-05-17,corvan,load,3.5,",
        "2027-05-17/order/field=V05/trays=380 orders: 2027-05-17,order,V05,,,380",
        "2027-05-18/hours/corvan/wash hours: 2027-05-18,corvan,wash,2.25,",
        "2027-05-18/seed_in/mirel seed: 2027-05-18,in,mirel,,200,",
        "2027-05-18/seed_out/mirel/soak seed: 2027-05-18,out,mirel,soak,45.15,",
        "2027-05-18/trays_back/V02 trays: 2027-05-18,back,V02,180,",
        "2027-05-18/trays_bought/on=2027-05-18/trays=100 trays: 2027-05-18,bought,,100,",
        "2027-05-18/trays_lost/trays=4 trays: 2027-05-18,lost,,4,",
        "2027-05-18/washed/on=2027-05-18/trays=170 trays: 2027-05-18,washed,,170,",
    ];
    assert_eq!(rows, wanted);
    // The day that is not closed is not known.
    assert_eq!(books.open, [(Day::parse("2027-05-19").unwrap(), 1)]);
    let balance = String::from_utf8(csv(&sheets(&books)[5]).unwrap()).unwrap();
    let wanted = "what,of,unit,came,went,left\r\nhours,corvan,h,5.75,0,5.75\r\nseed,mirel,kg,200,45.15,154.85\r\n\
        trays owned,,trays,100,4,96\r\ntrays with growers,V02,trays,260,180,80\r\n";
    assert_eq!(balance, wanted);
}

/// Rows put in anywhere, in any order, and a second log before the first: what was there keeps its number and its words.
#[test]
fn a_number_stays_whatever_is_written_later() {
    let before = table(&read(LOG));
    let lines: Vec<&str> = LOG.lines().collect();
    for at in 1..=lines.len() {
        let date = lines
            .get(at)
            .or(lines.last())
            .unwrap()
            .split(',')
            .next()
            .unwrap();
        for row in [
            "hours person=new task=wash hours=1",
            "delivered field=V01 trays=5 signed=X",
            "seed_out kind=aaa kg=1 for=sold",
        ] {
            let mut more: Vec<String> = lines.iter().map(|line| line.to_string()).collect();
            more.insert(at, format!("{date},{row}"));
            let after = table(&read(&more.join("\n")));
            for (number, row) in &before {
                assert_eq!(after.get(number), Some(row), "after {row} at {at}");
            }
        }
    }
    let earlier = "date,event\n2027-05-17,trays_bought trays=7 on=2027-05-17\n2027-05-17,close\n";
    let two = books(&[("a".into(), earlier.into()), ("b".into(), LOG.into())]).unwrap();
    let after = table(&two);
    assert!(
        before
            .iter()
            .all(|(number, row)| after.get(number) == Some(row))
            && after.len() == before.len() + 1
    );
}

#[test]
fn broken_rows_are_named() {
    for (row, why) in [
        ("delivered field=V02 trays=260", "missing field `signed`"),
        (
            "delivered field=V02 trays=0 signed=A",
            "0 trays are not between 1 and 1,000,000",
        ),
        (
            "delivered field=V02 trays=1 kg=0 signed=A",
            "`kg` is not above 0",
        ),
        ("delivered field=V02 trays=1.5 signed=A", "invalid type"),
        (
            "delivered field=V02 trays=1 signed=A colour=red",
            "unknown field `colour`",
        ),
        (
            "hours person=a task=b hours=25",
            "25 hours are not above 0 and at most 24",
        ),
        ("hours person=a task=b hours=-1", "-1 hours are not above 0"),
        ("hours person=a task=b/c hours=1", "`b/c` is not a word"),
        ("seed_out kind=mirel kg=5", "missing field `for`"),
        ("seed_in kind=mirel kg=1.2345", "more than 3 decimals"),
        ("trays_back field=V02 trays=many", "invalid type"),
        ("trays_back V02", "is not written as key=value"),
        ("frobnicate", "there is no event"),
    ] {
        let log = format!("date,event\n2027-05-17,{row}\n2027-05-17,close\n");
        let faults = books(&[("l".into(), log.into())]).unwrap_err();
        let text = faults[0].1.to_string();
        assert!(
            text.starts_with("row 2: ") && text.contains(why),
            "{row}: {text}"
        );
    }
    let twice = "date,event\n2027-05-17,hours person=a task=b hours=1\n2027-05-17,hours person=a task=b hours=2\n";
    let faults = books(&[("l".into(), twice.into())]).unwrap_err();
    assert!(
        faults[0]
            .1
            .to_string()
            .contains("row 3: the same is said in row 2"),
        "{faults:?}"
    );
    // In another log it is said where.
    let faults = books(&[("l".into(), LOG.into()), ("m".into(), LOG.into())]).unwrap_err();
    assert!(
        faults[0].0 == "m" && faults[0].1.to_string().contains("of `l`"),
        "{faults:?}"
    );
}

/// The log of a replan may hold them: they change nothing, and what they name must be there.
#[test]
fn a_replan_passes_them_over() {
    let plan = demo("village");
    let first = plan.scenario.horizon.first;
    let field = &plan.deliveries[0].field;
    let of = |row: &str| format!("date,event\n{first},{row}\n{first},close\n");
    let read = |row: &str| log::read(of(row).as_bytes(), &plan, first.plus(1));
    let row = format!("delivered field={field} trays=5 signed=A");
    assert_eq!(read(&row).unwrap().events, []);
    assert_eq!(
        read("hours person=anyone task=wash hours=2")
            .unwrap()
            .events,
        []
    );
    for (row, why) in [
        (
            "delivered field=nowhere trays=5 signed=A",
            "there is no field `nowhere`",
        ),
        ("seed_in kind=none kg=5", "there is no kind `none`"),
        ("seed_in kg=5", "missing field `kind`"),
    ] {
        let Err(LogError::Rows(rows)) = read(row) else {
            panic!("{row}")
        };
        assert!(rows[0].0 == 2 && rows[0].1.contains(why), "{rows:?}");
    }
}

#[test]
fn the_command_writes_tables_or_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.csv");
    std::fs::write(&log, LOG).unwrap();
    let to = |name: &str| folder.path().join(name);
    for name in ["a", "b"] {
        for kind in [None, Some("--xlsx")] {
            let args = ["books".into(), log.clone(), "--to".into(), to(name)];
            let (code, out, errors) = run(args.into_iter().chain(kind.map(Into::into)));
            assert_eq!(code, 0, "{errors}");
            assert!(out.ends_with("15 rows in 6 tables\n"), "{out}");
            assert_eq!(errors, "2027-05-19 is not closed: 1 row left out\n");
        }
    }
    for name in ["books.xlsx", "books-hours.csv", "books-balance.csv"] {
        let read = |folder: &str| std::fs::read(to(folder).join(name)).unwrap();
        assert_eq!(read("a"), read("b"));
    }
    // Into the folder of a plan's tables go names of their own.
    for entry in std::fs::read_dir(to("a")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.starts_with("books"), "{name}");
    }
    std::fs::write(&log, "date,event\n2027-05-17,hours person=a\n").unwrap();
    let (code, _, errors) = run(["books".into(), log, "--to".into(), to("c")]);
    assert_eq!(code, 2);
    assert!(
        errors.contains("log.csv`: row 2: missing field"),
        "{errors}"
    );
    assert!(!to("c").exists());
}
