//! The README shows what the program prints: its tour is walked in an empty folder, command by command, and what each prints is
//! compared with the block below it.
//!
//! A line `…` in the README stands for lines left out. Of a block with several commands the last one's output is shown.

use std::fs;
use std::path::Path;
use std::process::Command;

/// How the README runs the program.
const PROGRAM: &str = "cargo run --release --";

/// Commands that are shown and not run here, with the reason.
const NOT_RUN: [(&str, &str); 1] = [(
    "balance scenarios/cooperative",
    "plans a large nursery three times, which takes minutes",
)];

/// Scenarios that the tour reads.
const SCENARIOS: [&str; 1] = ["village"];

/// A block of commands and what is printed below it.
struct Step {
    commands: Vec<String>,
    shown: String,
}

/// Blocks of commands that a block of text follows directly.
fn steps(page: &str) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut before: Option<String> = None;
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        let Some(kind) = line.strip_prefix("```") else {
            if !line.trim().is_empty() {
                before = None;
            }
            continue;
        };
        let inside: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
        match (kind, before.take()) {
            ("sh", _) => before = Some(inside.join("\n")),
            ("text", Some(commands)) => steps.push(Step {
                commands: commands
                    .replace("\\\n", " ")
                    .lines()
                    .map(str::to_owned)
                    .collect(),
                shown: inside.join("\n"),
            }),
            _ => {}
        }
    }
    steps
}

/// The words of a command, those in double quotes together.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (at, part) in command.split('"').enumerate() {
        if at % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// What is shown and not printed, in words; none when all is as shown.
fn difference(shown: &str, printed: &str) -> Option<String> {
    let printed: Vec<&str> = printed.trim_end().lines().collect();
    let shown: Vec<&str> = shown.trim_end().lines().collect();
    let mut chunks: Vec<&[&str]> = shown.split(|line| line.trim() == "…").collect();
    let open = chunks.len() > 1 && chunks.last().is_some_and(|chunk| chunk.is_empty());
    if open {
        chunks.pop();
    }
    let mut at = 0;
    for (number, chunk) in chunks.iter().enumerate() {
        let last = number + 1 == chunks.len() && !open;
        let fits = |from: usize| printed.get(from..from + chunk.len()) == Some(*chunk);
        let found = if number == 0 {
            Some(0)
        } else if last {
            printed
                .len()
                .checked_sub(chunk.len())
                .filter(|from| *from >= at)
        } else {
            (at..printed.len()).find(|from| fits(*from))
        };
        match found.filter(|from| fits(*from)) {
            Some(from) => at = from + chunk.len(),
            None => {
                let from = found.unwrap_or(at);
                let other = |offset: &usize| chunk.get(*offset) != printed.get(from + offset);
                let offset = (0..chunk.len()).find(other).unwrap_or(0);
                return Some(format!(
                    "shown:   {}\nprinted: {}",
                    chunk.get(offset).unwrap_or(&""),
                    printed.get(from + offset).unwrap_or(&"(nothing)")
                ));
            }
        }
    }
    let rest = printed.get(at).filter(|_| !open)?;
    Some(format!("shown:   (nothing)\nprinted: {rest}"))
}

#[test]
fn each_command_of_the_tour_prints_what_the_readme_shows() {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().unwrap();
    for name in SCENARIOS {
        let (from, to) = (
            home.join("scenarios").join(name),
            folder.path().join("scenarios").join(name),
        );
        fs::create_dir_all(&to).unwrap();
        for entry in fs::read_dir(from).unwrap() {
            let entry = entry.unwrap();
            fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        }
    }
    let page = fs::read_to_string(home.join("README.md")).unwrap();
    let steps = steps(&page);
    assert!(steps.len() >= 7, "only {} steps found", steps.len());
    let (mut faults, mut skipped) = (Vec::new(), Vec::new());
    for step in steps {
        let mut printed = String::new();
        let mut run = true;
        for command in &step.commands {
            let command = command
                .strip_prefix(PROGRAM)
                .unwrap_or_else(|| panic!("`{command}` does not begin with `{PROGRAM}`"))
                .trim();
            if NOT_RUN.iter().any(|(name, _)| *name == command) {
                skipped.push(command.to_owned());
                run = false;
                continue;
            }
            let ran = Command::new(env!("CARGO_BIN_EXE_sowrota"))
                .current_dir(folder.path())
                .args(words(command))
                .output()
                .unwrap();
            let code = ran.status.code().unwrap();
            let said = String::from_utf8_lossy(&ran.stderr);
            assert!(
                code == 0 || code == 3,
                "`{command}` ended with {code}: {said}"
            );
            printed = String::from_utf8(ran.stdout).unwrap();
        }
        if let Some(difference) = difference(&step.shown, &printed).filter(|_| run) {
            faults.push(format!("{}\n{difference}", step.commands.join("\n")));
        }
    }
    let listed: Vec<&str> = NOT_RUN.iter().map(|(name, _)| *name).collect();
    assert_eq!(skipped, listed, "commands not run and not shown either");
    assert!(faults.is_empty(), "\n{}", faults.join("\n\n"));
}

#[test]
fn planted_differences_are_found() {
    let printed = "one\ntwo\nthree\nfour\nfive\n";
    for shown in [
        "one\ntwo\nthree\nfour\nfive",
        "one\n…",
        "one\n…\nthree\n…\nfive",
        "…\nfive",
        "one\n…\nfour\nfive",
        "one\n…\none\n…".trim_end_matches("one\n…"),
    ] {
        assert_eq!(difference(shown, printed), None, "{shown}");
    }
    for (shown, words) in [
        ("one\ntwo", "printed: three"),
        ("two\n…", "shown:   two\nprinted: one"),
        ("one\n…\nfour", "shown:   four\nprinted: five"),
        ("one\n…\nsix\n…", "shown:   six"),
        ("one\n…\nfour\n…\ntwo\n…", "shown:   two"),
        (
            "one\ntwo\nthree\nfour\nfive\nsix",
            "shown:   six\nprinted: (nothing)",
        ),
    ] {
        let found = difference(shown, printed).unwrap_or_default();
        assert!(found.contains(words), "{shown}: {found}");
    }
}
