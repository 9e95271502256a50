//! The words of all sheets and notices: one plain table, `key = text`, with the English one in the program.
//!
//! Another language is a table with the same keys; each text has the same `{blanks}` as the English one. `sowrota sheets --print-words`
//! prints the table to begin from.

use crate::calendar::Day;
use std::collections::{BTreeMap, BTreeSet};

/// The English table.
pub const ENGLISH: &str = include_str!("words.txt");

/// Texts by key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    texts: BTreeMap<String, String>,
}

/// What is wrong with a table of words, line by line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.join("\n"))]
pub struct WordsError(pub Vec<String>);

/// Fills a text of the table: `say!(words, "key", trays = 612)`.
macro_rules! say {
    ($words:expr, $key:expr $(, $name:ident = $value:expr)* $(,)?) => {
        $words.fill($key, &[$((stringify!($name), ($value).to_string())),*])
    };
}
pub(crate) use say;

impl Words {
    /// The English words.
    pub fn english() -> Words {
        Words {
            texts: table(ENGLISH).0,
        }
    }

    /// The words of another table, which must hold what the English one holds.
    ///
    /// # Errors
    /// [`WordsError`]: every line that is no `key = text`, and every key that is missing, doubled, unknown, empty or has other blanks.
    pub fn read(text: &str) -> Result<Words, WordsError> {
        let (texts, mut faults) = table(text);
        let english = table(ENGLISH).0;
        for (key, text) in &texts {
            let Some(own) = english.get(key) else {
                let keys: Vec<&str> = english.keys().map(String::as_str).collect();
                let near = nearest(key, &keys)
                    .map_or(String::new(), |near| format!("; perhaps `{near}` is meant"));
                faults.push(format!("`{key}` is no key of the table{near}"));
                continue;
            };
            if text.is_empty() {
                faults.push(format!("`{key}` has no text"));
            }
            match (blanks(own), blanks(text)) {
                (_, Err(why)) => faults.push(format!("`{key}`: {why}")),
                (Ok(own), Ok(found)) if own != found => faults.push(format!(
                    "`{key}` has the blanks {}; it needs {}",
                    listed(&found),
                    listed(&own)
                )),
                _ => {}
            }
        }
        let missing = english.keys().filter(|key| !texts.contains_key(*key));
        faults.extend(missing.map(|key| format!("`{key}` is missing")));
        if faults.is_empty() {
            Ok(Words { texts })
        } else {
            Err(WordsError(faults))
        }
    }

    /// The text of a key with its blanks filled; `say!` is shorter. A key that is not there gives itself in brackets.
    pub fn fill(&self, key: &str, with: &[(&str, String)]) -> String {
        let Some(text) = self.texts.get(key) else {
            return format!("[{key}]");
        };
        // One pass, so that a name that looks like a blank stays as it is.
        let mut out = String::with_capacity(text.len());
        let mut rest = text.as_str();
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let Some((name, tail)) = after.split_once('}') else {
                rest = after;
                break;
            };
            if let Some((_, value)) = with.iter().find(|(known, _)| *known == name) {
                out.push_str(value);
            }
            rest = tail;
        }
        out + rest
    }

    /// The text of a key without blanks.
    pub fn get(&self, key: &str) -> String {
        self.fill(key, &[])
    }

    /// "1 tray", "612 trays": the text of `key.one` or `key.more` with its number.
    pub fn count(&self, key: &str, n: i64) -> String {
        let form = if n == 1 { "one" } else { "more" };
        say!(self, &format!("{key}.{form}"), n = n)
    }

    /// "612 trays".
    pub fn trays(&self, n: i64) -> String {
        self.count("trays", n)
    }

    /// "Thu 13 May".
    pub fn day(&self, day: Day) -> String {
        self.spoken("date.short", "weekday.short", day)
    }

    /// "Thursday 13 May 2027".
    pub fn long_day(&self, day: Day) -> String {
        self.spoken("date.long", "weekday", day)
    }

    /// "13 May", or "13–15 May" when the days lie in one month.
    pub fn days(&self, first: Day, last: Day) -> String {
        let ((_, m1, d1), (_, m2, d2)) = (first.ymd(), last.ymd());
        let month = |m: u32| self.get(&format!("month.{m}"));
        if first == last {
            say!(self, "date.one", day = d1, month = month(m1))
        } else if m1 == m2 {
            say!(self, "date.span", first = d1, last = d2, month = month(m1))
        } else {
            let (first, last) = (
                say!(self, "date.one", day = d1, month = month(m1)),
                say!(self, "date.one", day = d2, month = month(m2)),
            );
            say!(self, "date.two", first = first, last = last)
        }
    }

    fn spoken(&self, key: &str, weekday: &str, day: Day) -> String {
        let (year, month, number) = day.ymd();
        let weekday = self.get(&format!("{weekday}.{}", day.weekday() as u8 + 1));
        let month = self.get(&format!("month.{month}"));
        self.fill(
            key,
            &[
                ("weekday", weekday),
                ("day", number.to_string()),
                ("month", month),
                ("year", year.to_string()),
            ],
        )
    }
}

/// The lines of a table, and those that are none.
fn table(text: &str) -> (BTreeMap<String, String>, Vec<String>) {
    let mut texts = BTreeMap::new();
    let mut faults = Vec::new();
    for (at, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let Some((key, text)) = line.split_once('=') else {
            faults.push(format!(
                "line {} is not written as `key = text`: `{}`",
                at + 1,
                crate::report::text::cut(line, 40)
            ));
            continue;
        };
        let (key, text) = (key.trim().to_string(), text.trim().to_string());
        if texts.contains_key(&key) {
            faults.push(format!("line {}: `{key}` stands twice", at + 1));
            continue;
        }
        texts.insert(key, text);
    }
    (texts, faults)
}

/// The blanks of a text, `{trays}`.
fn blanks(text: &str) -> Result<BTreeSet<&str>, String> {
    let mut found = BTreeSet::new();
    let mut rest = text;
    while let Some((_, after)) = rest.split_once('{') {
        let (name, tail) = after
            .split_once('}')
            .ok_or("a `{` is not closed by `}`".to_string())?;
        found.insert(name);
        rest = tail;
    }
    Ok(found)
}

fn listed(blanks: &BTreeSet<&str>) -> String {
    if blanks.is_empty() {
        return "none".into();
    }
    let each: Vec<String> = blanks.iter().map(|name| format!("{{{name}}}")).collect();
    each.join(" ")
}

/// The key that is written most alike.
fn nearest<'a>(key: &str, keys: &[&'a str]) -> Option<&'a str> {
    let far = |other: &&str| strsim::levenshtein(key, other);
    let best = keys.iter().copied().min_by_key(|other| far(other))?;
    (far(&best) <= 3).then_some(best)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_english_table_reads_as_its_own_translation() {
        assert_eq!(Words::read(ENGLISH), Ok(Words::english()));
    }

    #[test]
    fn every_fault_of_a_table_is_named() {
        let mut text = ENGLISH.replace("trays.more = {n} trays", "trays.more = trays {m");
        text = text.replace("trays.one = {n} tray\n", "tray.one = {n} tray\n");
        text = text.replace("date.one = {day} {month}", "date.one = {day}");
        text.push_str("date.span = a\nnothing here\n");
        let WordsError(faults) = Words::read(&text).unwrap_err();
        for part in [
            "`date.span` stands twice",
            "is not written as `key = text`: `nothing here`",
            "`tray.one` is no key of the table; perhaps `trays.one` is meant",
            "`trays.one` is missing",
            "`date.one` has the blanks {day}; it needs {day} {month}",
            "`trays.more`: a `{` is not closed by `}`",
        ] {
            assert!(
                faults.iter().any(|fault| fault.contains(part)),
                "{part}: {faults:#?}"
            );
        }
        assert_eq!(faults.len(), 6, "{faults:#?}");
    }

    #[test]
    fn a_name_that_looks_like_a_blank_stays() {
        let words = Words::english();
        let text = say!(words, "date.two", first = "{last}", last = "b");
        assert_eq!(text, "{last} – b");
        assert_eq!(words.trays(1), "1 tray");
        let day = |text: &str| Day::parse(text).unwrap();
        assert_eq!(words.long_day(day("2027-05-08")), "Saturday 8 May 2027");
        assert_eq!(
            words.days(day("2027-05-12"), day("2027-05-14")),
            "12–14 May"
        );
        assert_eq!(
            words.days(day("2027-04-30"), day("2027-05-02")),
            "30 Apr – 2 May"
        );
    }

    /// Keys that are put together from pieces: weekdays, months, counts, names of sorts.
    const PUT_TOGETHER: [&str; 9] = [
        "weekday.", "month.", "trays.", "stacks.", "people.", "sheet.", "label.", "notice.",
        "name.",
    ];

    #[test]
    fn every_key_is_in_the_table_and_every_text_is_used() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/report/sheets");
        let mut sources = String::new();
        for room in ["", "draw", "gather", "notices"] {
            for entry in std::fs::read_dir(folder.join(room)).unwrap() {
                let path = entry.unwrap().path();
                if path.extension().is_some_and(|end| end == "rs") && !path.ends_with("words.rs") {
                    sources.push_str(&std::fs::read_to_string(path).unwrap());
                }
            }
        }
        let texts = table(ENGLISH).0;
        let quoted: BTreeSet<&str> = sources.split('"').collect();
        let is_key = |text: &&&str| {
            let plain = |c: char| c.is_ascii_lowercase() || c == '_' || c == '.';
            let pieces: Vec<&str> = text.split('.').collect();
            text.chars().all(plain) && pieces.len() == 2 && pieces.iter().all(|p| !p.is_empty())
        };
        let files = |text: &&&str| text.ends_with(".css") || text.ends_with(".txt");
        let wrong: Vec<&&str> = quoted
            .iter()
            .filter(|text| is_key(text) && !files(text) && !texts.contains_key(**text))
            .collect();
        assert_eq!(wrong, Vec::<&&str>::new());
        let together = |key: &str| PUT_TOGETHER.iter().any(|start| key.starts_with(start));
        let own = |key: &str| key.starts_with("date.");
        let unused: Vec<&String> = texts
            .keys()
            .filter(|key| !quoted.contains(key.as_str()) && !together(key) && !own(key))
            .collect();
        assert_eq!(unused, Vec::<&String>::new());
    }
}
