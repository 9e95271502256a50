//! Promise: what is written on the day sheet is typed into the log as it stands, and the rest is planned again from it: day by day the
//! sheet is printed, its rows are ticked and filled, the log closes the day, and the next morning's plan knows what was otherwise.

use sowrota::audit::audit;
use sowrota::calendar::Day;
use sowrota::plan::Plan;
use std::path::Path;
use std::process::Command;

fn run(folder: &Path, arguments: &[&str]) -> String {
    let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap();
    let err = String::from_utf8(ran.stderr).unwrap();
    assert!(
        matches!(ran.status.code(), Some(0 | 3)),
        "{arguments:?}: {err}"
    );
    String::from_utf8(ran.stdout).unwrap()
}

fn plan(folder: &Path) -> Plan {
    sowrota::plan::file::load(&folder.join("v")).unwrap()
}

/// The rows for the log at the end of a day sheet, as they are printed: date and event. A day without work has no sheet, and is closed.
fn rows(folder: &Path, day: Day) -> Vec<String> {
    let said = run(
        folder,
        &["sheets", "v", "--day", &day.to_string(), "--only", "day"],
    );
    if said.contains("nothing to print") {
        return vec!["close".into()];
    }
    let file = folder.join(format!("v/sheets-{day}/day.html"));
    let html = std::fs::read_to_string(file).unwrap();
    let table = html.split("<table class=\"log\">").nth(1).expect("a log");
    let table = table.split("</table>").next().unwrap();
    let codes: Vec<&str> = table
        .split("<code>")
        .skip(1)
        .map(|rest| rest.split("</code>").next().unwrap())
        .collect();
    // Blank rows have a date alone.
    let mut rows = Vec::new();
    let mut codes = codes.into_iter().peekable();
    while let Some(code) = codes.next() {
        if code == day.to_string()
            && let Some(event) = codes.next_if(|next| *next != day.to_string())
        {
            rows.push(event.to_string());
        }
    }
    rows
}

/// The log, with all days up to and with the last row's closed.
struct Log {
    text: String,
}

impl Log {
    /// A day as on its sheet, except for those rows, with their blanks filled.
    fn close(&mut self, day: Day, except: &[(&str, &str)], printed: &[String]) {
        for (begins, blank) in except {
            let row = printed.iter().find(|row| row.starts_with(begins));
            let row = row.unwrap_or_else(|| panic!("{day}: no row `{begins}` in {printed:?}"));
            let filled: String = row
                .split(' ')
                .map(
                    |word| match word.split_once('_').map(|_| word.split_once('=')) {
                        Some(Some((key, value))) if value.contains("__") => {
                            format!("{key}={blank}")
                        }
                        _ => word.to_string(),
                    },
                )
                .collect::<Vec<_>>()
                .join(" ");
            self.text.push_str(&format!("{day},{filled}\n"));
        }
        let close = printed.last().unwrap();
        assert_eq!(close, "close");
        self.text.push_str(&format!("{day},{close}\n"));
    }
}

#[test]
fn a_full_day_goes_from_the_sheet_to_the_log_to_the_next_plan() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
    let words = ["--out", "v", "--moves", "30000", "--relaxations", "0"];
    let first = ["plan", scenario.to_str().unwrap(), "--quiet"];
    run(folder, &[&first[..], &words].concat());
    let begun = plan(folder);
    let missed = begun.runs.iter().find(|run| run.line.is_some()).unwrap();
    let (sown, run_id) = (missed.sow, missed.id.clone());
    let mut log = Log {
        text: "date,event\n".into(),
    };
    let mut day = begun.scenario.horizon.first;
    while day < sown {
        log.close(day, &[], &rows(folder, day));
        day = day.plus(1);
    }
    // The belt tears on the first sowing day: the run is not sown, and the day was warmer than thought.
    let printed = rows(folder, sown);
    let not_sown = format!("not_sown run={run_id}");
    log.close(sown, &[(&not_sown, "")], &printed);
    std::fs::write(folder.join("log.csv"), &log.text).unwrap();
    let morning = sown.plus(1);
    let on = morning.to_string();
    let told = run(
        folder,
        &["replan", "v", "--on", &on, "--log", "log.csv", "--quiet"],
    );
    let now = plan(folder);
    assert_eq!(now.revision, begun.revision + 1, "{told}");
    assert_eq!(now.scenario.horizon.first, morning);
    let found = audit(&now, &now.scenario);
    assert!(found.breaches.is_empty(), "{:?}", found.breaches);
    // Its seed still waits, and is sown on a day to come.
    let kind = |plan: &Plan| -> Vec<Day> {
        let of_kind = plan.runs.iter().filter(|run| run.kind == missed.kind);
        of_kind
            .filter(|run| run.line.is_some())
            .map(|run| run.sow)
            .collect()
    };
    assert!(kind(&begun).contains(&sown));
    assert!(kind(&now).iter().all(|day| *day >= morning));
    let trays = |plan: &Plan| -> i64 {
        let grown: i64 = plan.deliveries.iter().map(|one| one.trays).sum();
        grown + plan.shortfalls.iter().map(|short| short.trays).sum::<i64>()
    };
    assert_eq!(trays(&now), trays(&begun));
    // The next sheet is of the new plan, and says which it replaces.
    let next = run(folder, &["day", "v", &on]);
    let number = format!("Plan {}", now.revision);
    assert!(next.contains(&number), "{next}");
    // And so on: the next day closes on the new plan.
    let mut after = Log {
        text: "date,event\n".into(),
    };
    after.close(morning, &[], &rows(folder, morning));
    std::fs::write(folder.join("log.csv"), &after.text).unwrap();
    let on = morning.plus(1).to_string();
    run(
        folder,
        &["replan", "v", "--on", &on, "--log", "log.csv", "--quiet"],
    );
    assert_eq!(plan(folder).revision, begun.revision + 2);
}

#[test]
fn blanks_left_open_are_refused_with_their_row() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let scenario = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/village");
    let words = ["--out", "v", "--moves", "0", "--relaxations", "0"];
    let first = ["plan", scenario.to_str().unwrap(), "--quiet"];
    run(folder, &[&first[..], &words].concat());
    let begun = plan(folder);
    let mut day = begun.scenario.horizon.first;
    let mut text = "date,event\n".to_string();
    let mut printed = rows(folder, day);
    // The first day whose sheet has blanks, all before it closed.
    while !printed.iter().any(|row| row.contains("__")) {
        text.push_str(&format!("{day},close\n"));
        day = day.plus(1);
        printed = rows(folder, day);
    }
    let open = printed.iter().find(|row| row.contains("__")).unwrap();
    let row = text.lines().count() + 1;
    text.push_str(&format!("{day},{open}\n{day},close\n"));
    std::fs::write(folder.join("log.csv"), text).unwrap();
    let before = std::fs::read(folder.join("v/plan.json")).unwrap();
    let on = day.plus(1).to_string();
    let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(folder)
        .args(["replan", "v", "--on", &on, "--log", "log.csv"])
        .output()
        .unwrap();
    let err = String::from_utf8(ran.stderr).unwrap();
    assert_eq!(ran.status.code(), Some(2), "{err}");
    assert!(err.contains(&format!("row {row}: ")), "{err}");
    assert_eq!(std::fs::read(folder.join("v/plan.json")).unwrap(), before);
}
