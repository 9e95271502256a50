//! `sowrota roster` prints who is on which shift, week by week, what each person has in all and what nobody fills; the plan
//! does not depend on the people.

mod ran;
mod rostered;

use rostered::cooperative;
use sowrota::calendar::{Day, DayRange};
use sowrota::plan::Plan;
use sowrota::plan::file::save;
use sowrota::plan::roster::Roster;
use sowrota::scenario::{Duty, sha256};
use std::path::Path;
use unicode_width::UnicodeWidthStr;

/// Exit code, standard output and standard error.
fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    ran::run(folder, &[&["roster"], arguments].concat())
}

fn fits(text: &str) {
    let long: Vec<&str> = text.lines().filter(|line| line.width() > 80).collect();
    assert!(long.is_empty(), "{long:#?}");
}

fn plan() -> Plan {
    rostered::plan(&cooperative(), 2_000)
}

#[test]
fn the_whole_roster_of_the_cooperative() {
    let folder = tempfile::tempdir().unwrap();
    save(&plan(), &folder.path().join("plan.json")).unwrap();
    let (code, out, said) = run(folder.path(), &[".", "--out", "roster.json"]);
    assert_eq!((code, said.as_str()), (0, ""));
    fits(&out);
    insta::assert_snapshot!("cooperative", out);

    // One week is that block and the sums.
    let (_, week, _) = run(folder.path(), &[".", "--week", "2027-W19"]);
    assert_eq!(week.matches("\nWeek ").count(), 1);
    assert!(week.contains("Week 2027-W19, 10 May to 16 May"), "{week}");

    let (_, own, _) = run(folder.path(), &[".", "--person", "corvan"]);
    fits(&own);
    insta::assert_snapshot!("one_person", own);
    let (_, free, _) = run(
        folder.path(),
        &[".", "--person", "wenna", "--week", "2027-W14"],
    );
    assert!(free.contains("\nno duties\n"), "{free}");

    // What is printed for machines is what was written; read again, it gives the same sheet.
    let (code, json, _) = run(folder.path(), &[".", "--json"]);
    assert_eq!(code, 0);
    assert_eq!(
        json,
        std::fs::read_to_string(folder.path().join("roster.json")).unwrap()
    );
    let (_, again, _) = run(folder.path(), &[".", "--from", "roster.json"]);
    assert_eq!(again, out);

    // A roster altered by hand is counted again.
    let mut roster: Roster = serde_json::from_str(&json).unwrap();
    let mut duties = roster.duties.iter_mut();
    let on_the_line = duties.find(|duty| duty.crew.as_deref() == Some("line-crew"));
    on_the_line.unwrap().person = "grell".into();
    let text = serde_json::to_string(&roster).unwrap();
    std::fs::write(folder.path().join("altered.json"), text).unwrap();
    let (code, altered, _) = run(folder.path(), &[".", "--from", "altered.json"]);
    assert_eq!(code, 3);
    fits(&altered);
    assert!(
        altered.contains("people do the work that they can do [N004]: `grell`"),
        "{altered}"
    );
}

#[test]
fn what_nobody_fills_is_told_with_its_reason() {
    let mut plan = plan();
    let staff = &mut plan.scenario.staff;
    staff.retain(|one| !["ressik", "corvan", "zanne"].contains(&one.id.as_str()));
    staff.iter_mut().for_each(|one| one.licensed = false);
    plan.scenario_sha256 = sha256(&plan.scenario);
    let folder = tempfile::tempdir().unwrap();
    save(&plan, &folder.path().join("plan.json")).unwrap();
    let (code, out, _) = run(folder.path(), &["plan.json", "--week", "2027-W17"]);
    assert_eq!(code, 3);
    fits(&out);
    insta::assert_snapshot!("short", out);

    // With many reasons the first are told, and all on demand.
    let horizon = plan.scenario.horizon;
    for (person, nth) in plan.scenario.staff.iter_mut().zip(2..) {
        // Others are away on every day.
        let away = |day: &Day| (day.number() * nth) % 11 < 6;
        let days = horizon.iter().filter(away);
        person.away = days
            .map(|day| DayRange {
                first: day,
                last: day,
            })
            .collect();
    }
    save(&plan, &folder.path().join("plan.json")).unwrap();
    let (_, some, _) = run(folder.path(), &["."]);
    let (_, all, _) = run(folder.path(), &[".", "--all"]);
    fits(&all);
    assert!(some.contains("--all tells every one"), "{some}");
    assert!(!all.contains("--all tells"));
    assert!(all.len() > some.len());
}

#[test]
fn arguments_that_cannot_be_used_are_told() {
    let folder = tempfile::tempdir().unwrap();
    save(&plan(), &folder.path().join("plan.json")).unwrap();
    let mut without = plan();
    without.scenario.staff.clear();
    save(&without, &folder.path().join("nobody.json")).unwrap();
    std::fs::write(folder.path().join("odd.json"), "{}").unwrap();
    for (arguments, words) in [
        (
            &["nobody.json"][..],
            "has no `staff`\n  help: list the people",
        ),
        (
            &[".", "--week", "W18"],
            "`W18` is no week: write one like 2027-W18",
        ),
        (
            &[".", "--week", "2027-W40"],
            "2027-W40 lies outside the days planned",
        ),
        (
            &[".", "--person", "me"],
            "there is no person `me` on the staff\n  help: one of orla, besk",
        ),
        (&[".", "--from", "odd.json"], "cannot be read as a roster"),
        (&["odd.json"], "is not a plan"),
    ] {
        let (code, out, said) = run(folder.path(), arguments);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}");
        assert!(said.contains(words), "{said}");
    }
    let (code, _, said) = run(folder.path(), &["nowhere"]);
    assert_eq!(code, 1, "{said}");
}

/// The people by name change nothing of the plan but the scenario in it.
#[test]
fn the_plan_does_not_depend_on_the_staff() {
    let with = cooperative();
    let mut without = with.clone();
    without.staff.clear();
    without.duty = Duty::default();
    assert!(!with.staff.is_empty() && sha256(&with) != sha256(&without));
    let (mut one, other) = (
        rostered::plan(&with, 2_000),
        rostered::plan(&without, 2_000),
    );
    (one.scenario, one.scenario_sha256) = (without, other.scenario_sha256.clone());
    assert_eq!(one, other);
}
