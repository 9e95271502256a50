//! An answer read back: the plan that it says, or what is wrong with it.

use crate::ran;
use sowrota::nursery::{LotId, Nursery, OptionId};
use sowrota::plan::{EndedBy, Plan};
use sowrota::scenario;
use sowrota::solve::decided::option_of;
use sowrota::solve::relax::whole::{Links, Whole};
use sowrota::solve::state::{Ground, State};
use sowrota::solve::{self, Budget, Start, Unwatched, given, names};
use std::fs;
use std::path::Path;

fn village() -> scenario::Scenario {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let read = scenario::read(&home.join("scenarios/village")).unwrap();
    read.scenario.unwrap()
}

/// Lines that take the options of a plan's deliveries, as a solver would put them: not quite whole numbers, zeros, and other columns.
fn answer(ground: &Ground<'_>, plan: &Plan) -> String {
    let nursery = ground.nursery;
    let whole = Whole::new(ground, Links::Both);
    let names = names::columns(ground, whole.program());
    let mut taken = vec![0.0; names.len()];
    for delivery in &plan.deliveries {
        let run = plan.runs.iter().find(|run| run.id == delivery.run).unwrap();
        let lot = nursery.lot_of(&delivery.field, delivery.part).unwrap();
        let option = option_of(nursery, lot, delivery, (run.sow, run.line.as_deref()));
        taken[whole.grow()[option.unwrap().0]] = 0.9999997;
    }
    let lines = names.iter().zip(&taken).enumerate();
    let lines = lines.map(|(at, (name, value))| match at % 3 {
        _ if *value > 0.0 => format!("{name} {value}\n"),
        0 => format!("{name}\t1e-9\n"),
        1 => format!("  {name}   0\n"),
        _ => String::new(),
    });
    format!("# an answer\n\n{}", lines.collect::<String>())
}

/// Exit code, standard output and standard error.
fn model(folder: &Path, answer: &str) -> (i32, String, String) {
    let file = folder.join("answer.txt");
    fs::write(&file, answer).unwrap();
    let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
    let words = ["model", scenario.to_str().unwrap(), "--solution"];
    let files = [file.to_str().unwrap(), "--out", "out"];
    ran::run(folder, &[words, files].concat())
}

#[test]
fn a_plan_written_as_an_answer_comes_back() {
    let scenario = village();
    let nursery = Nursery::new(&scenario);
    let ground = Ground::new(&nursery);
    let budget = Budget {
        moves: 5_000,
        relaxations: 0,
        seed: 1,
    };
    let plan = solve::plan(&nursery, &Start::default(), &budget, &mut Unwatched).plan;
    let folder = tempfile::tempdir().unwrap();
    let (code, out, said) = model(folder.path(), &answer(&ground, &plan));
    assert_eq!((code, said.as_str()), (0, ""), "{out}");
    assert!(out.contains("its decisions were given"), "{out}");
    let back = sowrota::plan::file::load(&folder.path().join("out")).unwrap();
    let audit = sowrota::audit::audit(&back, &scenario);
    assert!(audit.breaches.is_empty(), "{:?}", audit.breaches);
    assert_eq!(back.ended_by, EndedBy::Given);
    let as_found = Plan {
        ended_by: EndedBy::Given,
        bound: None,
        ..plan
    };
    assert!(back == as_found, "another plan came back");
}

/// Text of an answer, the code of its first problem and its line.
#[test]
fn a_bad_answer_gets_a_problem_with_its_line() {
    let scenario = village();
    let nursery = Nursery::new(&scenario);
    let ground = Ground::new(&nursery);
    let whole = Whole::new(&ground, Links::Both);
    let names = names::columns(&ground, whole.program());
    let of_first: Vec<&String> = nursery
        .options_of(LotId(0))
        .map(|id| &names[whole.grow()[id.0]])
        .collect();
    let (one, other) = (of_first[0], of_first[1]);
    let near = format!("{}x", one);
    for (text, code, line, words) in [
        (format!("{one} 1\n{one}\n"), "M001", Some(2), "1 words"),
        (format!("{one} 1 2\n"), "M001", Some(1), "3 words"),
        ("\n# nothing\n".to_string(), "M001", None, "no value"),
        (
            format!("# head\n{near} 1\n"),
            "M002",
            Some(2),
            "did you mean",
        ),
        (
            "gibberish 1\n".to_string(),
            "M002",
            Some(1),
            "no column `gibberish`",
        ),
        (
            format!("{one} one\n"),
            "M003",
            Some(1),
            "`one` is no number",
        ),
        (format!("{one} NaN\n"), "M003", Some(1), "`NaN`"),
        (format!("{one} inf\n"), "M003", Some(1), "`inf`"),
        (format!("{one} 1\n{one} 1\n"), "M004", Some(2), "line 1"),
        (format!("{one} 1\n{other} 0.5\n"), "M005", Some(2), "part 1"),
    ] {
        let read = given::read(&ground, whole.program(), text.as_bytes(), "answer.txt");
        let problems = read.expect_err(&text);
        let first = &problems.0[0];
        assert_eq!((first.code, first.place.line), (code, line), "{first}");
        assert!(first.to_string().contains(words), "{first}");
    }
    let fine = format!("{one} 0.4999\n{other} 0.5001\n");
    let read = given::read(&ground, whole.program(), fine.as_bytes(), "answer.txt").unwrap();
    let second = nursery.options_of(LotId(0)).nth(1);
    assert_eq!(read[0], second);
    let folder = tempfile::tempdir().unwrap();
    let (code, out, said) = model(folder.path(), &format!("{one} one\n"));
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        said.contains("error[M003]") && said.contains("answer.txt:1"),
        "{said}"
    );
}

#[test]
fn an_answer_beyond_limits_is_refused_with_what_is_overfull() {
    let scenario = village();
    let nursery = Nursery::new(&scenario);
    let ground = Ground::new(&nursery);
    // Every lot on the first day on which it can be sown.
    let first = |lot| nursery.options_of(LotId(lot)).next();
    let choice: Vec<Option<OptionId>> = (0..nursery.lots.len()).map(first).collect();
    let over = State::of(&ground, &choice).overfull();
    assert!(!over.is_empty());
    let whole = Whole::new(&ground, Links::Both);
    let names = names::columns(&ground, whole.program());
    let lines = choice.iter().flatten();
    let lines = lines.map(|id| format!("{} 1\n", names[whole.grow()[id.0]]));
    let folder = tempfile::tempdir().unwrap();
    let (code, out, said) = model(folder.path(), &lines.collect::<String>());
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(said.starts_with("error: the answer is no plan"), "{said}");
    for (resource, day, _) in over {
        let label = &ground.books.resources[resource].label;
        if resource == ground.tray_stock {
            assert!(said.contains("clean tray"), "{said}");
        } else {
            let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
            let words = format!("of {label} from {}", nursery.day(day));
            assert!(flat.contains(&words), "{words}\n{said}");
        }
    }
    assert!(!folder.path().join("out").exists(), "half a plan is left");
}
