//! The house keeps its order: arrows between rooms go downward only, solvers stay in their room,
//! and only the command line prints, reads a clock or ends the program. DEVELOPERS.md has the map.

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms, top to bottom. A room may use those below it, never one above.
const ROOMS: [&str; 20] = [
    "cli",
    "report",
    "disrupt",
    "explain",
    "solve",
    "rules",
    "stores",
    "audit",
    "roster",
    "plan",
    "nursery",
    "growth",
    "trial",
    "quantities",
    "lifting",
    "scenario",
    "problems",
    "calendar",
    "files",
    "units",
];

/// Rooms that may not be used although they lie below: the audit counts on its own; what is bought and who does the work follow from
/// the plan alone.
const KEPT_APART: [(&str, &[&str]); 3] = [
    ("audit", &["nursery", "rules", "solve", "roster"]),
    ("stores", &["audit", "nursery", "growth", "roster"]),
    ("roster", &["nursery", "growth"]),
];

/// Crates that only `solve` may name.
const SOLVERS: [&str; 4] = ["good_lp", "clarabel", "microlp", "highs"];

/// What only `cli` and `main.rs` may do.
const OUTSIDE_WORLD: [&str; 10] = [
    "std::time",
    "SystemTime",
    "Instant",
    "process::exit",
    "println!",
    "eprintln!",
    "print!",
    "eprint!",
    "dbg!",
    "std::env",
];

const MOST_LINES: usize = 800;

#[test]
fn arrows_go_downward_only() {
    let mut faults = Vec::new();
    for file in sources() {
        faults.extend(faults_of(
            &name_of(&file),
            &fs::read_to_string(&file).unwrap(),
        ));
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn every_file_says_what_it_is_for_and_is_of_readable_size() {
    let files = sources();
    assert!(files.len() > 10, "only {} files found", files.len());
    for file in files {
        let (name, text) = (name_of(&file), fs::read_to_string(&file).unwrap());
        assert!(
            text.starts_with("//! "),
            "{name} does not begin with what it is for (`//! …`)"
        );
        let lines = text.lines().count();
        assert!(
            lines < MOST_LINES,
            "{name} has {lines} lines: split it by noun"
        );
    }
}

#[test]
fn planted_faults_are_caught() {
    let planted = [
        (
            "src/growth/leaf.rs",
            "use crate::solve::Budget;",
            "`solve` stands above `growth`",
        ),
        (
            "src/units.rs",
            "use crate::{calendar::Day, files};",
            "`calendar` stands above `units`",
        ),
        (
            "src/units.rs",
            "use crate::{\n    files::read,\n};",
            "`files` stands above `units`",
        ),
        (
            "src/plan/types.rs",
            "fn f() { crate::rules::list() }",
            "`rules` stands above `plan`",
        ),
        (
            "src/plan/deep/er.rs",
            "use super::super::super::cli;",
            "`cli` stands above `plan`",
        ),
        (
            "src/rules/line.rs",
            "use super::super::{plan, solve::Dive};",
            "`solve` stands above",
        ),
        (
            "src/audit/walk.rs",
            "use crate::nursery::Lot;",
            "`audit` is kept apart from `nursery`",
        ),
        ("src/shed/mod.rs", "", "`shed` is not in the list of rooms"),
        (
            "src/rules/mod.rs",
            "use crate::barn::Door;",
            "`barn` is not in the list of rooms",
        ),
        (
            "src/explain/why.rs",
            "use good_lp::Expression;",
            "only `solve` may name `good_lp`",
        ),
        (
            "src/solve/dive.rs",
            "let now = std::time::Instant::now();",
            "`std::time`",
        ),
        ("src/audit/mod.rs", "println!(\"{x}\");", "`println!`"),
        ("src/files.rs", "std::process::exit(1)", "`process::exit`"),
        (
            "src/files.rs",
            "let quote = '\"'; use crate::cli::Exit; let q = '\"';",
            "`cli` stands",
        ),
        (
            "src/files.rs",
            "fn f<'a>(x: &'a str) { crate::cli::run(x) }",
            "`cli` stands above",
        ),
    ];
    for (file, text, expected) in planted {
        let faults = faults_of(file, text);
        assert!(
            faults.iter().any(|fault| fault.contains(expected)),
            "{text}: {faults:?}"
        );
    }
}

#[test]
fn honest_code_is_left_alone() {
    let honest = [
        (
            "src/solve/relax.rs",
            "use crate::{rules::Rule, units};\nuse good_lp::variable;",
        ),
        (
            "src/audit/walk.rs",
            "use crate::plan::Plan;\nuse crate::growth;",
        ),
        (
            "src/growth/mod.rs",
            "// as crate::solve does\n/// [`crate::cli`]\nfn f() {}",
        ),
        (
            "src/growth/mod.rs",
            "/* use crate::cli; */ const A: &str = \"println! crate::cli \\\" \";",
        ),
        (
            "src/growth/mod.rs",
            "const A: &str = r#\"a \" crate::cli::run\"#;",
        ),
        (
            "src/scenario/keys/kind.rs",
            "use super::super::types::Kind;\nuse super::super::Field;",
        ),
        (
            "src/cli/mod.rs",
            "println!(\"{:?}\", std::time::Instant::now());",
        ),
        (
            "src/main.rs",
            "fn main() { std::process::exit(sowrota::cli::run(std::env::args_os())) }",
        ),
        (
            "src/units.rs",
            "fn f() {}\n#[cfg(test)]\nmod tests {\n    use crate::cli::run;\n}",
        ),
        (
            "src/rules/line.rs",
            "struct Sprint; fn blueprint() {} // good_lp",
        ),
    ];
    for (file, text) in honest {
        assert_eq!(faults_of(file, text), Vec::<String>::new(), "{text}");
    }
}

fn sources() -> Vec<PathBuf> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|end| end == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut found,
    );
    found.sort();
    found
}

/// `src/plan/types.rs`, with `/` on every system.
fn name_of(file: &Path) -> String {
    let inside = file.strip_prefix(env!("CARGO_MANIFEST_DIR")).unwrap();
    let parts = inside
        .components()
        .map(|part| part.as_os_str().to_string_lossy());
    parts.collect::<Vec<_>>().join("/")
}

/// What is wrong in one file, unit tests at its end left out.
fn faults_of(file: &str, text: &str) -> Vec<String> {
    let path = file.trim_start_matches("src/").trim_end_matches(".rs");
    let mut modules: Vec<&str> = path.split('/').collect();
    if modules.last() == Some(&"mod") {
        modules.pop();
    }
    let room = modules[0];
    let code = code_of(before_tests(text));
    let mut faults = Vec::new();
    if room == "main" || room == "lib" {
        return faults;
    }
    let Some(height) = ROOMS.iter().position(|name| *name == room) else {
        return vec![format!(
            "{file}: `{room}` is not in the list of rooms: say where it stands"
        )];
    };
    for used in rooms_used(&code, modules.len()) {
        match ROOMS.iter().position(|name| *name == used) {
            None => faults.push(format!("{file}: `{used}` is not in the list of rooms")),
            Some(other) if other < height => {
                faults.push(format!("{file}: `{used}` stands above `{room}`"));
            }
            Some(_) => {}
        }
        let apart = KEPT_APART.iter().find(|(name, _)| *name == room);
        if apart.is_some_and(|(_, others)| others.contains(&&used[..])) {
            faults.push(format!("{file}: `{room}` is kept apart from `{used}`"));
        }
    }
    for solver in SOLVERS
        .iter()
        .filter(|name| room != "solve" && has_word(&code, name))
    {
        faults.push(format!("{file}: only `solve` may name `{solver}`"));
    }
    for word in OUTSIDE_WORLD
        .iter()
        .filter(|word| room != "cli" && has_word(&code, word))
    {
        faults.push(format!("{file}: `{word}` belongs to `cli` alone"));
    }
    faults
}

fn before_tests(text: &str) -> &str {
    text.find("#[cfg(test)]\nmod tests {")
        .map_or(text, |at| &text[..at])
}

/// The text without comments and without what stands between quotes.
fn code_of(text: &str) -> String {
    let mut code = String::new();
    let mut rest = text;
    while let Some(next) = rest.chars().next() {
        let skip = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |at| at + 2)
        } else if let Some(length) = quoted(rest, &code) {
            length
        } else {
            code.push(next);
            rest = &rest[next.len_utf8()..];
            continue;
        };
        code.push(' ');
        rest = &rest[skip..];
    }
    code
}

/// Length of the text, raw text or single sign in quotes that `rest` begins with.
fn quoted(rest: &str, before: &str) -> Option<usize> {
    if let Some(raw) = rest.strip_prefix('r') {
        let hashes = raw.len() - raw.trim_start_matches('#').len();
        if raw[hashes..].starts_with('"') && !before.ends_with(is_word) {
            let close = format!("\"{}", "#".repeat(hashes));
            let inside = &raw[hashes + 1..];
            let length = inside
                .find(&close)
                .map_or(inside.len(), |at| at + close.len());
            return Some(1 + hashes + 1 + length);
        }
        return None;
    }
    let quote = rest
        .chars()
        .next()
        .filter(|sign| matches!(sign, '"' | '\''))?;
    // `'a` alone is a lifetime.
    let mut signs = rest.char_indices().skip(1);
    if quote == '\'' && !rest.starts_with("'\\") && rest.chars().nth(2) != Some('\'') {
        return None;
    }
    while let Some((at, sign)) = signs.next() {
        match sign {
            '\\' => {
                signs.next();
            }
            sign if sign == quote => return Some(at + 1),
            _ => {}
        }
    }
    Some(rest.len())
}

fn is_word(sign: char) -> bool {
    sign.is_alphanumeric() || sign == '_'
}

fn has_word(code: &str, word: &str) -> bool {
    code.match_indices(word).any(|(at, _)| {
        let after = &code[at + word.len()..];
        !code[..at].ends_with(is_word) && (word.ends_with('!') || !after.starts_with(is_word))
    })
}

/// The first names of all paths from the crate's root, in a file `depth` modules deep.
fn rooms_used(code: &str, depth: usize) -> Vec<String> {
    let mut used = Vec::new();
    for root in ["crate::".to_owned(), "super::".repeat(depth)] {
        for (at, _) in code.match_indices(&root) {
            if !code[..at].ends_with(is_word) && !code[..at].ends_with("::") {
                first_names(&code[at + root.len()..], &mut used);
            }
        }
    }
    used
}

/// `a::b` gives `a`; `{a::{b, c}, d}` gives `a` and `d`.
fn first_names(path: &str, used: &mut Vec<String>) {
    let name = |text: &str| {
        text.chars()
            .take_while(|sign| is_word(*sign))
            .collect::<String>()
    };
    let Some(list) = path.strip_prefix('{') else {
        used.push(name(path));
        return;
    };
    let mut nested = 0;
    let mut start = true;
    for (at, sign) in list.char_indices() {
        match sign {
            '{' => nested += 1,
            '}' if nested == 0 => return,
            '}' => nested -= 1,
            ',' if nested == 0 => start = true,
            sign if start && is_word(sign) => {
                used.push(name(&list[at..]));
                start = false;
            }
            _ => {}
        }
    }
}
