//! `sowrota sheets` and `sowrota notices`: what they write, what they refuse, and that names do no harm.

#[path = "common/small_plan.rs"]
mod small_plan;

use small_plan::plan;
use sowrota::plan::Plan;
use sowrota::plan::file::save;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Exit code, standard output and errors of the program.
fn sowrota(arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sowrota"));
    let ended = command.args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        ended.status.code().unwrap(),
        text(ended.stdout),
        text(ended.stderr),
    )
}

fn saved(plan: &Plan) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    save(plan, &folder.path().join("plan.json")).unwrap();
    let path = folder.path().to_str().unwrap().to_string();
    (folder, path)
}

fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let named = entries.map(|path| {
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        (name, std::fs::read_to_string(&path).unwrap())
    });
    named.collect()
}

/// Sow day of the first run, and the day on which the first part leaves.
fn days(plan: &Plan) -> (String, String) {
    let sown = plan.runs.iter().find(|run| run.line.is_some()).unwrap().sow;
    let leaves = plan
        .deliveries
        .iter()
        .map(|part| part.leaves())
        .min()
        .unwrap();
    (sown.to_string(), leaves.to_string())
}

#[test]
fn a_day_is_written_whole_and_the_same_each_time() {
    let (folder, path) = saved(&plan());
    let (sown, _) = days(&plan());
    let (code, out, errors) = sowrota(&["sheets", &path, "--day", &sown]);
    assert_eq!((code, errors.as_str()), (0, ""));
    let here = folder.path().join(format!("sheets-{sown}"));
    let first = files(&here);
    for kind in ["day", "line", "map", "labels", "night"] {
        assert!(first.contains_key(&format!("{kind}.html")), "{out}");
        assert!(out.contains(&format!("{kind}.html")), "{out}");
    }
    sowrota(&["sheets", &path, "--day", &sown]);
    assert_eq!(files(&here), first);
    // Asked for one, the folder holds that one: nothing older lies beside it.
    let (code, _, _) = sowrota(&["sheets", &path, "--day", &sown, "--only", "line"]);
    let one = files(&here);
    assert_eq!(
        (code, one.keys().map(String::as_str).collect::<Vec<_>>()),
        (0, vec!["line.html"])
    );
    assert_eq!(one["line.html"], first["line.html"]);
    // Nothing but the plan and the folder is left.
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn what_is_no_sheet_is_never_thrown_away() {
    let (folder, path) = saved(&plan());
    let (sown, _) = days(&plan());
    let here = folder.path().join(format!("sheets-{sown}"));
    std::fs::create_dir(&here).unwrap();
    std::fs::write(here.join("notes.txt"), "mine").unwrap();
    let (code, out, errors) = sowrota(&["sheets", &path, "--day", &sown]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        errors.contains("holds `notes.txt`, which is no sheet"),
        "{errors}"
    );
    assert_eq!(files(&here)["notes.txt"], "mine");
}

#[test]
fn wrong_days_and_kinds_are_refused() {
    let (_folder, path) = saved(&plan());
    for (arguments, part) in [
        (
            ["--day", "2031-01-01", "--only", "day"],
            "lies outside the days planned",
        ),
        (["--day", "1.5.2027", "--only", "day"], "write 2027-05-01"),
        (
            ["--day", "2027-05-01", "--only", "wall"],
            "there is no kind `wall`\n  help: one of day, line",
        ),
    ] {
        let (code, out, errors) =
            sowrota(&[&["sheets", path.as_str()], arguments.as_slice()].concat());
        assert_eq!((code, out.as_str()), (2, ""));
        assert!(errors.contains(part), "{errors}");
    }
    let (code, _, errors) = sowrota(&["notices", &path, "--day", "2031-01-01"]);
    assert!(
        code == 2 && errors.contains("lies after the days planned"),
        "{errors}"
    );
}

#[test]
fn another_language_is_one_table_and_what_is_wrong_with_it_is_said() {
    let (folder, path) = saved(&plan());
    let (sown, _) = days(&plan());
    let (code, table, _) = sowrota(&["sheets", "--print-words"]);
    assert_eq!(code, 0);
    let file = folder.path().join("words.txt");
    let words = file.to_str().unwrap();
    let arguments = ["sheets", path.as_str(), "--day", &sown, "--words", words];
    // Every text with a mark: whatever on the day sheet and the card comes from the table has it.
    let marked: String = table
        .lines()
        .map(|line| {
            if line.contains(" = ") {
                format!("{line}¤\n")
            } else {
                format!("{line}\n")
            }
        })
        .collect();
    std::fs::write(&file, marked).unwrap();
    let (code, _, errors) = sowrota(&arguments);
    assert_eq!((code, errors.as_str()), (0, ""));
    let written = files(&folder.path().join(format!("sheets-{sown}")));
    for (name, page) in &written {
        for cell in page.split("<h2>").skip(1) {
            assert!(
                cell.split("</h2>").next().unwrap().contains('¤'),
                "{name}: {cell}"
            );
        }
        for row in page.split("<div class=\"first\">").skip(1) {
            let text = row.split("</div>").next().unwrap();
            let named = ["Willow", "house", "room", "yard", "Warm"];
            let is_name = named.iter().any(|name| text.contains(name)) || !text.contains(' ');
            assert!(text.contains('¤') || is_name, "{name}: {text}");
        }
    }
    std::fs::write(
        &file,
        table
            .replace("work.sow = SOW", "work.sew = SOW")
            .replace("{trays}", "{trey}"),
    )
    .unwrap();
    let (code, out, errors) = sowrota(&arguments);
    assert_eq!((code, out.as_str()), (2, ""));
    for part in [
        "`work.sew` is no key of the table; perhaps `work.sow` is meant",
        "`work.sow` is missing",
        "it needs {kg} {trays}",
        "--print-words",
    ] {
        assert!(errors.contains(part), "{part}: {errors}");
    }
}

/// Names of growers, kinds and places that carry markup, formulas and characters that nobody sees.
#[test]
fn names_do_no_harm() {
    const BAD: &str = "<script>alert(1)</script>\"'&\u{7}\u{202e}=1+1{trays}";
    let mut plan = plan();
    let s = &mut plan.scenario;
    s.name = BAD.into();
    s.fields
        .iter_mut()
        .for_each(|field| field.grower = BAD.into());
    s.growers.clear();
    s.kinds.iter_mut().for_each(|kind| kind.name = BAD.into());
    s.beds.iter_mut().for_each(|bed| bed.name = BAD.into());
    s.germination
        .iter_mut()
        .for_each(|place| place.name = BAD.into());
    s.crews.iter_mut().for_each(|crew| crew.name = BAD.into());
    s.lines.iter_mut().for_each(|line| line.name = BAD.into());
    let (folder, path) = saved(&plan);
    let (sown, leaves) = days(&plan);
    let mut pages = Vec::new();
    for day in [&sown, &leaves] {
        for command in ["sheets", "notices"] {
            let (code, _, errors) = sowrota(&[command, &path, "--day", day]);
            assert_eq!((code, errors.as_str()), (0, ""));
            let here = folder.path().join(format!("{command}-{day}"));
            pages.extend(files(&here).into_values());
        }
    }
    assert!(pages.len() > 8, "{}", pages.len());
    for page in &pages {
        assert!(!page.contains("<script") && page.contains("&lt;script&gt;alert(1)"));
        assert!(page.contains("=1+1{trays}"), "a name is not filled in");
        let seen = |c: char| c == '\n' || !(c.is_control() || c == '\u{202e}');
        assert!(page.chars().all(seen));
        // Every `<` begins a tag of ours, every tag ends.
        assert_eq!(page.matches('<').count(), page.matches('>').count());
    }
}

#[test]
fn growers_can_be_left_out_of_the_sheets_and_never_meet_in_a_notice() {
    let mut plan = plan();
    let names = ["Aldermoor", "Birchlow", "Cresswater"];
    let fields = plan.scenario.fields.iter_mut();
    fields
        .enumerate()
        .for_each(|(at, field)| field.grower = names[at % 3].into());
    plan.scenario.growers.clear();
    plan.deliveries
        .iter_mut()
        .for_each(|part| part.promised = None);
    plan.scenario.kinds[0].name = "Birchlow's own seed".into();
    let (folder, path) = saved(&plan);
    let first = plan.scenario.horizon.first.to_string();
    for day in plan.scenario.horizon.iter() {
        let day = day.to_string();
        sowrota(&["sheets", &path, "--day", &day, "--without-names"]);
        let here = folder.path().join(format!("sheets-{day}"));
        for (file, page) in if here.exists() {
            files(&here)
        } else {
            BTreeMap::new()
        } {
            assert!(
                names.iter().all(|name| !page.contains(name)),
                "{day} {file}"
            );
        }
    }
    plan.scenario.kinds[0].name = "Early White".into();
    save(&plan, &folder.path().join("plan.json")).unwrap();
    let (code, _, _) = sowrota(&["notices", &path, "--day", &first]);
    assert_eq!(code, 0);
    let letters = files(&folder.path().join(format!("notices-{first}")));
    let growers: std::collections::BTreeSet<&str> = plan
        .scenario
        .fields
        .iter()
        .map(|field| field.grower.as_str())
        .collect();
    assert_eq!(letters.len(), growers.len());
    for (file, page) in &letters {
        let own = file.trim_end_matches(".html");
        for name in &growers {
            assert_eq!(page.contains(name), own == *name, "{file}: {name}");
        }
        // Nothing was told: no day is said as settled.
        assert!(page.contains(" it about "), "{page}");
        assert!(
            !page.contains(" it Wed") && !page.contains(" it Thu"),
            "{page}"
        );
    }
}
