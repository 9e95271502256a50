//! Problems gathered with their places while the files of one scenario are read.

use super::codes;
use super::tree::Spot;
use crate::problems::{Place, Problem, Problems, Severity};
use std::collections::{BTreeMap, BTreeSet};

/// Most problems listed; a file that has more is not a scenario.
const MOST_LISTED: usize = 500;

/// One file of the scenario.
struct Source {
    name: String,
    text: String,
    /// Bytes at which lines begin.
    starts: Vec<usize>,
}

/// A place in one of the files.
#[derive(Clone, Copy, Debug)]
pub struct At {
    /// Which file, in the order in which they were opened.
    pub source: usize,
    /// Where in it; none: the file as a whole.
    pub spot: Option<Spot>,
}

/// What is read so far: files, problems, and where each key stands.
#[derive(Default)]
pub struct Gather {
    sources: Vec<Source>,
    found: Vec<(usize, Problem)>,
    left_out: usize,
    /// Whether one of those is an error.
    error_left_out: bool,
    /// Path → place, and the name shown for it: the path in JSON, the column in a table.
    places: BTreeMap<String, (At, String)>,
    /// Paths whose values are stand-ins, because what was written is a problem already.
    bad: BTreeSet<String>,
}

/// A problem to be filled in further; see [`Gather::error`].
pub struct Draft<'a>(Option<&'a mut Problem>);

impl Draft<'_> {
    /// Says what was expected.
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        if let Some(problem) = self.0.as_mut() {
            problem.expected = Some(expected.into());
        }
        self
    }

    /// Says what to do.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        if let Some(problem) = self.0.as_mut() {
            problem.help = Some(help.into());
        }
        self
    }
}

impl Gather {
    /// Adds a file; returns its number.
    pub fn open(&mut self, name: &str, text: String) -> usize {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = std::iter::once(0)
            .chain(breaks.map(|(at, _)| at + 1))
            .collect();
        self.sources.push(Source {
            name: name.to_owned(),
            text,
            starts,
        });
        self.sources.len() - 1
    }

    fn place(&self, at: At, field: Option<&str>) -> Place {
        let source = &self.sources[at.source];
        let (line, column) = match at.spot {
            None => (None, None),
            Some(Spot::Line(line)) => (Some(line), None),
            Some(Spot::Byte(byte)) => {
                let line = source.starts.partition_point(|start| *start <= byte);
                let before = source.text.get(source.starts[line - 1]..byte).unwrap_or("");
                (Some(line), Some(before.chars().count() + 1))
            }
        };
        Place {
            file: source.name.clone(),
            line,
            column,
            field: field.map(str::to_owned),
        }
    }

    /// Adds a problem.
    pub fn add(
        &mut self,
        severity: Severity,
        code: &'static str,
        at: At,
        field: Option<&str>,
        message: impl Into<String>,
    ) -> Draft<'_> {
        if self.is_full() {
            self.left_out += 1;
            self.error_left_out |= severity == Severity::Error;
            return Draft(None);
        }
        let place = self.place(at, field);
        let problem = Problem {
            severity,
            code,
            place,
            message: message.into(),
            expected: None,
            help: None,
        };
        self.found.push((at.source, problem));
        Draft(self.found.last_mut().map(|(_, problem)| problem))
    }

    /// Adds an error.
    pub fn error(
        &mut self,
        code: &'static str,
        at: At,
        field: Option<&str>,
        message: impl Into<String>,
    ) -> Draft<'_> {
        self.add(Severity::Error, code, at, field, message)
    }

    /// Remembers where a key stands.
    pub fn stands(&mut self, path: &str, at: At, shown: &str) {
        self.places.insert(path.to_owned(), (at, shown.to_owned()));
    }

    /// True when something is written at that path.
    pub fn written(&self, path: &str) -> bool {
        self.places.contains_key(path)
    }

    /// Marks what stands at a path as a stand-in: problems that follow from it are not told.
    pub fn mark_bad(&mut self, path: &str) {
        self.bad.insert(path.to_owned());
    }

    /// True when the value at `path`, anything inside it or anything around it is a stand-in.
    pub fn is_bad(&self, path: &str) -> bool {
        if !self.bad.is_empty() {
            let within = |inner: &str, outer: &str| {
                inner
                    .strip_prefix(outer)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
            };
            let inside = self
                .bad
                .range(path.to_owned()..)
                .take_while(|bad| bad.starts_with(path));
            if inside.into_iter().any(|bad| within(bad, path)) {
                return true;
            }
        }
        let mut around = path;
        loop {
            if self.bad.contains(around) {
                return true;
            }
            match around.rfind(['.', '[']) {
                Some(end) => around = &around[..end],
                None => return false,
            }
        }
    }

    /// Adds a problem about values at these paths, unless one of them is a stand-in. The first path gives the place.
    pub fn flag(
        &mut self,
        severity: Severity,
        code: &'static str,
        paths: &[&str],
        message: impl Into<String>,
    ) -> Draft<'_> {
        if paths.iter().any(|path| self.is_bad(path)) {
            return Draft(None);
        }
        let path = paths.first().copied().unwrap_or("");
        let (at, shown) = self.find(path);
        self.add(severity, code, at, Some(&shown), message)
    }

    /// Where a path stands, or what is around it when the key itself was not written.
    fn find(&self, path: &str) -> (At, String) {
        let mut around = path;
        loop {
            if let Some((at, shown)) = self.places.get(around) {
                let in_table = matches!(at.spot, Some(Spot::Line(_)));
                let name = match path.rfind('.') {
                    Some(dot) if in_table && around.len() < path.len() => {
                        path[dot + 1..].to_owned()
                    }
                    _ if around.len() == path.len() => shown.clone(),
                    _ => path.to_owned(),
                };
                return (*at, name);
            }
            match around.rfind(['.', '[']) {
                Some(end) => around = &around[..end],
                None => {
                    return (
                        At {
                            source: 0,
                            spot: None,
                        },
                        path.to_owned(),
                    );
                }
            }
        }
    }

    /// True when no more problems are listed.
    pub fn is_full(&self) -> bool {
        self.found.len() >= MOST_LISTED
    }

    /// True when there is an error so far.
    pub fn any_error(&self) -> bool {
        let error = |(_, problem): &(usize, Problem)| problem.severity == Severity::Error;
        self.error_left_out || self.found.iter().any(error)
    }

    /// All problems, by file and line.
    pub fn finish(mut self) -> Problems {
        self.found.sort_by_key(|(source, problem)| {
            (
                *source,
                problem.place.line.unwrap_or(0),
                problem.place.column.unwrap_or(0),
            )
        });
        let mut problems: Vec<Problem> =
            self.found.into_iter().map(|(_, problem)| problem).collect();
        if self.left_out > 0 {
            problems.push(Problem {
                severity: if self.error_left_out {
                    Severity::Error
                } else {
                    Severity::Note
                },
                code: codes::CUT_SHORT,
                place: Place {
                    file: self
                        .sources
                        .first()
                        .map(|source| source.name.clone())
                        .unwrap_or_default(),
                    ..Place::default()
                },
                message: format!("{} more problems are not listed", self.left_out),
                expected: None,
                help: Some("mend the first ones and check again".to_owned()),
            });
        }
        Problems(problems)
    }
}

/// The nearest of `names` to `written`, when it is near enough to be a slip.
pub fn nearest<'a>(written: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = written.to_lowercase();
    let near = names
        .into_iter()
        .map(|name| {
            (
                strsim::damerau_levenshtein(&written, &name.to_lowercase()),
                name,
            )
        })
        .min_by_key(|(distance, _)| *distance)?;
    let most = (written.chars().count().max(near.1.chars().count()) / 3).max(1);
    (near.0 <= most).then_some(near.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_find_their_name_and_strangers_none() {
        let names = ["area_ha", "window", "kind"];
        assert_eq!(nearest("are_ha", names), Some("area_ha"));
        assert_eq!(nearest("Windwo", names), Some("window"));
        assert_eq!(nearest("colour", names), None);
    }

    #[test]
    fn stand_ins_silence_what_is_inside_and_around() {
        let mut gather = Gather::default();
        gather.mark_bad("kinds[1].age");
        for path in ["kinds[1].age.youngest", "kinds[1].age", "kinds[1]", "kinds"] {
            assert!(gather.is_bad(path), "{path}");
        }
        for path in [
            "kinds[1].ages",
            "kinds[10].age",
            "kinds[0]",
            "kind",
            "fields",
        ] {
            assert!(!gather.is_bad(path), "{path}");
        }
    }
}
