//! Words from a scenario made harmless for files that other programs read: control characters, cells that a spreadsheet would take for a
//! formula, names of files.

use sha2::{Digest, Sha256};

/// What stands for a character that no file should hold.
const INSTEAD: char = '\u{fffd}';

/// Longest name of a file that is made from a name, in bytes, without what is added to it.
const NAME_BYTES: usize = 40;

/// `text` without control characters: lines end by `\n`, every other control character, every mark that turns the direction of writing
/// and what XML cannot hold becomes `\u{fffd}`.
pub fn clean(text: &str) -> String {
    let text = text.replace("\r\n", "\n");
    let harmless = |sign: char| match sign {
        '\n' => sign,
        '\r' | '\u{2028}' | '\u{2029}' | '\u{85}' => '\n',
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}' => INSTEAD,
        sign if sign.is_control() => INSTEAD,
        sign => sign,
    };
    text.chars().map(harmless).collect()
}

/// True of text that a spreadsheet may take for a formula when it reads a table, and of text that begins with the mark against it.
///
/// Source: OWASP, "CSV Injection" (cells that begin with `=`, `+`, `-`, `@`, tab or carriage return); spaces before them and their wide
/// forms are ours.
fn needs_mark(text: &str) -> bool {
    let first = text.trim_start().chars().next();
    let first_of_all = text.chars().next();
    let risky = |sign: char| "=+-@＝＋－＠".contains(sign);
    first.is_some_and(risky)
        || first_of_all.is_some_and(|sign| matches!(sign, '\'' | '\t' | '\r' | '\n'))
}

/// A cell of words for CSV: an apostrophe stands before what a spreadsheet may take for a formula, and before an apostrophe; so
/// [`unmarked`] gives back what was there.
pub fn marked(text: &str) -> String {
    if needs_mark(text) {
        format!("'{text}")
    } else {
        text.to_string()
    }
}

/// The words of a cell that [`marked`] wrote.
pub fn unmarked(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

/// A short mark that belongs to `text` alone: the first `signs` hexadecimal digits of its SHA-256.
pub fn mark_of(text: &str, signs: usize) -> String {
    let digest = Sha256::digest(text.as_bytes());
    let digits: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    digits.chars().take(signs).collect()
}

/// Names of files for `names`, in their order: small letters, digits, `-`, `_` and `.` only; a mark is added where something was lost or two
/// would be the same.
pub fn file_names(names: &[&str]) -> Vec<String> {
    let plain: Vec<(String, bool)> = names.iter().map(|name| plain(name)).collect();
    // Where something was lost a mark is added anyway: only whole names can be the same.
    let same = |slug: &str| {
        let whole = plain.iter().filter(|(other, lost)| !lost && other == slug);
        whole.count() > 1
    };
    names
        .iter()
        .zip(&plain)
        .map(
            |(name, (slug, lost))| match (*lost || same(slug), slug.is_empty()) {
                (false, _) => slug.clone(),
                (true, true) => mark_of(name, 8),
                (true, false) => format!("{slug}-{}", mark_of(name, 8)),
            },
        )
        .collect()
}

/// The name in plain signs, and whether something was lost.
fn plain(name: &str) -> (String, bool) {
    let mut slug = String::new();
    let mut lost = false;
    for sign in name.chars() {
        match sign.to_ascii_lowercase() {
            sign @ ('a'..='z' | '0'..='9' | '-' | '_' | '.') => slug.push(sign),
            ' ' => slug.push('-'),
            _ => lost = true,
        }
        if slug.len() >= NAME_BYTES {
            lost = true;
            break;
        }
    }
    let trimmed = slug.trim_matches(['.', '-']).to_string();
    lost |= trimmed.len() != slug.len() || trimmed.is_empty();
    (trimmed, lost)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_marked_comes_back() {
        for text in [
            "=1+1", "+1", "-1", "@a", "\tx", "'quoted", "''", "plain", "", " =1", "＝1", "a=b",
        ] {
            assert_eq!(unmarked(&marked(text)), text);
        }
        assert_eq!(marked("=1+1"), "'=1+1");
        assert_eq!(marked("plain = 1"), "plain = 1");
    }

    #[test]
    fn control_characters_go_and_lines_stay() {
        assert_eq!(
            clean("a\r\nb\rc\u{7}d\u{202e}e\0"),
            "a\nb\nc\u{fffd}d\u{fffd}e\u{fffd}"
        );
    }

    #[test]
    fn no_two_names_share_a_file() {
        let names = [
            "A B",
            "A-B",
            "Orsa",
            "../Orsa",
            "苗",
            "",
            "a/b",
            "ab",
            &"x".repeat(300),
        ];
        let files = file_names(&names);
        let mut seen = std::collections::BTreeSet::new();
        for file in &files {
            assert!(seen.insert(file.clone()), "{files:?}");
            assert!(!file.is_empty() && file.len() <= 60 && !file.starts_with('.'));
            assert!(
                file.bytes()
                    .all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b))
            );
        }
        assert_eq!(files[2], "orsa");
    }
}
