//! The walk of what was written against the table of keys: every problem gathered, every default
//! filled in and listed, every value brought into the form of the completed scenario.
//!
//! A value that is wrong is replaced by a stand-in and its path marked, so that the walk and the
//! checks across keys go on without telling what only follows from it.

mod groups;
mod lists;
mod values;
mod words;

use super::codes;
use super::gather::{At, Gather, nearest};
use super::keys::{Key, Need, Section, Table, What};
use super::reading::{DefaultUsed, Tables};
use super::tree::{self, Node, Spot, Value};
use crate::problems::Severity;
use serde_json::{Map, Value as Json, json};
use std::collections::{BTreeMap, BTreeSet};
use words::{found, join, list, number, short, spoken};

/// The walk and what it has found.
pub struct Walk<'a> {
    /// Problems and places.
    pub gather: Gather,
    /// Defaults taken.
    pub defaults: Vec<DefaultUsed>,
    /// The scenario as completed so far.
    pub root: Map<String, Json>,
    /// Section → id → path.
    ids: BTreeMap<Section, BTreeMap<String, String>>,
    references: Vec<(Section, String, String)>,
    /// Tables in which a whole set of columns is missing: told once.
    told: BTreeSet<usize>,
    /// Tables and columns of which that is told.
    told_columns: BTreeSet<(usize, &'static str)>,
    tables: &'a Tables<'a>,
}

/// Where the walk is.
#[derive(Clone, Copy)]
struct Here<'a> {
    /// Which file.
    source: usize,
    /// Columns of the table, when in one.
    columns: Option<&'a BTreeSet<String>>,
    /// Inside a default that is listed as a whole.
    listed: bool,
    /// Inside a stand-in: nothing is told or listed.
    silent: bool,
}

/// An object as written.
struct Written<'n> {
    node: &'n Node,
    /// The keys that its table knows, each once.
    pairs: BTreeMap<&'static str, &'n Node>,
    table: &'static Table,
    path: &'n str,
    here: Here<'n>,
}

impl Written<'_> {
    fn at(&self) -> At {
        At {
            source: self.here.source,
            spot: Some(self.node.spot),
        }
    }

    fn join(&self, name: &str) -> String {
        join(self.path, name)
    }
}

impl<'a> Walk<'a> {
    /// A walk that reads tables by their name.
    pub fn new(tables: &'a Tables<'a>) -> Self {
        Walk {
            gather: Gather::default(),
            defaults: Vec::new(),
            root: Map::new(),
            ids: BTreeMap::new(),
            references: Vec::new(),
            told: BTreeSet::new(),
            told_columns: BTreeSet::new(),
            tables,
        }
    }

    /// Walks a whole scenario of the file `source`; what is completed stands in [`Walk::root`].
    pub fn scenario(&mut self, source: usize, node: &Node, table: &'static Table) {
        let here = Here {
            source,
            columns: None,
            listed: false,
            silent: false,
        };
        let Value::Object(_) = node.value else {
            let at = At {
                source,
                spot: Some(node.spot),
            };
            let found = found(node);
            self.gather
                .error(codes::WRONG_TYPE, at, None, found)
                .expected("an object: one scenario, in `{` and `}`");
            return;
        };
        let written = self.written(node, table, "", here);
        for key in table.keys {
            if let Some((name, value)) = self.key(&written, key, &Map::new()) {
                self.root.insert(name, value);
            }
        }
        self.settle_references();
    }

    /// The completed entry of an object.
    fn object(
        &mut self,
        node: &Node,
        table: &'static Table,
        path: &str,
        here: Here,
    ) -> Map<String, Json> {
        let written = self.written(node, table, path, here);
        let mut entry = Map::new();
        for key in table.keys {
            if let Some((name, value)) = self.key(&written, key, &entry) {
                entry.insert(name, value);
            }
        }
        for group in table.groups {
            self.group(&written, group, &mut entry);
        }
        entry
    }

    /// The keys of an object that the table knows, each once; the others are told.
    fn written<'n>(
        &mut self,
        node: &'n Node,
        table: &'static Table,
        path: &'n str,
        here: Here<'n>,
    ) -> Written<'n> {
        let mut known: BTreeMap<&'static str, &'n Node> = BTreeMap::new();
        let pairs = match &node.value {
            Value::Object(pairs) => pairs.as_slice(),
            _ => &[],
        };
        for (name, spot, value) in pairs {
            let at = At {
                source: here.source,
                spot: Some(*spot),
            };
            let full = join(path, name);
            let shown = if here.columns.is_some() {
                name.as_str()
            } else {
                full.as_str()
            };
            let Some(key) = table.get(name) else {
                let near = self.unknown_key(table, name, at, shown);
                if let Some(near) = near.filter(|near| !pairs.iter().any(|(name, ..)| name == near))
                {
                    self.gather.mark_bad(&join(path, near));
                }
                continue;
            };
            if known.contains_key(key.name) {
                self.gather
                    .error(
                        codes::DOUBLE_KEY,
                        at,
                        Some(shown),
                        format!("`{name}` is written twice"),
                    )
                    .help("keep one of them");
                continue;
            }
            if !here.listed {
                let at = At {
                    source: here.source,
                    spot: Some(value.spot),
                };
                self.gather.stands(&full, at, shown);
            }
            known.insert(key.name, value);
        }
        Written {
            node,
            pairs: known,
            table,
            path,
            here,
        }
    }

    /// Tells an unknown key; returns the key that is probably meant.
    fn unknown_key(
        &mut self,
        table: &'static Table,
        name: &str,
        at: At,
        shown: &str,
    ) -> Option<&'static str> {
        let names = table.keys.iter().map(|key| key.name);
        let near = nearest(name, names.clone());
        let message = format!("unknown key `{}`", short(name));
        let problem = self
            .gather
            .error(codes::UNKNOWN_KEY, at, Some(shown), message);
        match near {
            Some(near) => problem.help(format!("write `{near}`")),
            None => problem.expected(format!("keys of a {}: {}", table.one, list(names))),
        };
        near
    }

    /// One key of an object: its completed name and value. `None` when there is nothing to take.
    fn key(
        &mut self,
        written: &Written,
        key: &'static Key,
        entry: &Map<String, Json>,
    ) -> Option<(String, Json)> {
        let full = written.join(key.name);
        let here = written.here;
        let value = match (written.pairs.get(key.name), key.need) {
            (Some(node), need) => match self.value(node, key, &full, here) {
                Some(value) => value,
                None => {
                    self.gather.mark_bad(&full);
                    if matches!(need, Need::Optional | Need::Grouped) {
                        return None;
                    }
                    self.stand_in(&key.what, &full, here)
                }
            },
            (None, Need::Optional | Need::Grouped) => return None,
            (None, Need::Required) => {
                self.missing(written, key, &full);
                self.stand_in(&key.what, &full, here)
            }
            (None, Need::Default(text, source)) => self.default(written, key, text, source),
            (
                None,
                Need::Unless {
                    from,
                    rule,
                    written: others,
                    ..
                },
            ) => match from(entry, &self.root) {
                Some(value) => {
                    let source = format!("{rule}; {}", super::keys::NOTHING);
                    self.list_default(&full, &value, &source, here);
                    value
                }
                None => {
                    if others.iter().any(|name| written.pairs.contains_key(name)) {
                        self.gather.mark_bad(&full);
                    } else {
                        self.missing(written, key, &full);
                    }
                    self.stand_in(&key.what, &full, here)
                }
            },
            (None, Need::Follows { from, rule, source }) => {
                let value = from(entry, &self.root).unwrap_or_else(|| {
                    self.gather.mark_bad(&full);
                    self.stand_in(&key.what, &full, here)
                });
                if let (What::Ref(section), Some(id)) = (key.what, value.as_str()) {
                    self.references.push((section, id.to_owned(), full.clone()));
                }
                self.list_default(&full, &value, &format!("{rule}; {source}"), here);
                value
            }
        };
        let name = match key.what {
            What::Clock(completed) => completed,
            _ => key.name,
        };
        Some((name.to_owned(), value))
    }

    fn missing(&mut self, written: &Written, key: &'static Key, full: &str) {
        // A missing column is told once, at the table's first line; a misspelt key where it stands.
        let here = written.here;
        let no_column = here
            .columns
            .is_some_and(|columns| !columns.contains(key.name));
        let (instead, others) = match key.need {
            Need::Unless {
                instead, written, ..
            } => (Some(format!("or write {instead}")), written),
            _ => (None, &[][..]),
        };
        let has = |name: &&str| here.columns.is_some_and(|columns| columns.contains(*name));
        let in_rows = !no_column || others.iter().any(has);
        if here.silent || self.gather.is_bad(full) {
            self.gather.mark_bad(full);
            return;
        }
        let (code, at, message) = if in_rows {
            let message = format!("`{}` is missing", key.name);
            (codes::MISSING_KEY, written.at(), message)
        } else if instead.is_some() && self.told_columns.insert((here.source, key.name)) {
            let at = At {
                source: here.source,
                spot: Some(Spot::Line(1)),
            };
            let message = format!("the column `{}` is missing", key.name);
            (codes::MISSING_COLUMN, at, message)
        } else {
            self.gather.mark_bad(full);
            return;
        };
        let shown = if here.columns.is_some() {
            key.name
        } else {
            full
        };
        let problem = self
            .gather
            .error(code, at, Some(shown), message)
            .expected(format!("{}: {}", key.meaning, key.what.words(key.unit)));
        if let Some(instead) = instead {
            problem.help(instead);
        }
        self.gather.mark_bad(full);
    }

    fn default(&mut self, written: &Written, key: &'static Key, text: &str, source: &str) -> Json {
        let (full, here) = (written.join(key.name), written.here);
        let Ok(mut node) = tree::parse(text) else {
            // A test reads every default of the table.
            self.gather.mark_bad(&full);
            return self.stand_in(&key.what, &full, here);
        };
        // What is missing inside a default shows at the object that it stands in for.
        node.spot = written.node.spot;
        let listed = here.listed || !source.is_empty();
        let inside = Here {
            listed,
            columns: None,
            ..here
        };
        let value = self.value(&node, key, &full, inside).unwrap_or(Json::Null);
        if !source.is_empty() {
            let shown = match key.what {
                What::Clock(_) => json!(text.trim_matches('"')),
                _ => value.clone(),
            };
            self.list_default(&full, &shown, source, here);
        }
        value
    }

    fn list_default(&mut self, path: &str, value: &Json, source: &str, here: Here) {
        if !(here.listed || here.silent) {
            self.defaults.push(DefaultUsed {
                path: path.to_owned(),
                value: spoken(value),
                source: source.to_owned(),
            });
        }
    }

    /// Something of the right type in the place of what is wrong.
    fn stand_in(&mut self, what: &What, path: &str, here: Here) -> Json {
        const DAY: &str = "2000-01-01";
        match *what {
            What::Text | What::Ref(_) => json!("?"),
            What::Id(_) | What::Called(_) => json!(format!("? {path}")),
            What::Integer(min, _) => json!(min),
            What::Decimal { places, min, .. } => number(min, places),
            What::Day | What::Span => json!(DAY),
            What::Clock(_) => json!(0),
            What::Flag => json!(false),
            What::Choice(words) => json!(words.first()),
            What::Spans { .. }
            | What::Refs(_)
            | What::Choices { .. }
            | What::List { .. }
            | What::Rows { .. }
            | What::Weather(..) => json!([]),
            What::Object(table) => {
                let spot = Spot::Byte(0);
                let node = Node {
                    spot,
                    value: Value::Object(Vec::new()),
                };
                let silent = Here {
                    silent: true,
                    columns: None,
                    ..here
                };
                Json::Object(self.object(&node, table, path, silent))
            }
        }
    }

    fn settle_references(&mut self) {
        let ids = std::mem::take(&mut self.ids);
        let none = BTreeMap::new();
        for (section, id, path) in std::mem::take(&mut self.references) {
            let known = ids.get(&section).unwrap_or(&none);
            // Spares are made from the order lines later; what names one is checked then.
            let spare = section == Section::Fields && id.starts_with(super::spare::PREFIX);
            if known.contains_key(&id) || spare {
                continue;
            }
            if !self.gather.is_full() {
                self.unknown(section, &id, known, &path);
            }
            self.gather.mark_bad(&path);
        }
    }

    fn unknown(
        &mut self,
        section: Section,
        id: &str,
        known: &BTreeMap<String, String>,
        path: &str,
    ) {
        let near = nearest(id, known.keys().map(String::as_str));
        // Where the section could not be read whole, the id may well be in it.
        if near.is_none() && self.gather.is_bad(section.key()) {
            return;
        }
        let message = format!("there is no {} `{}`", section.one(), short(id));
        let problem = self
            .gather
            .flag(Severity::Error, codes::UNKNOWN_ID, &[path], message);
        match near {
            Some(near) => problem.help(format!("write `{near}`")),
            None if known.is_empty() => problem.help(format!("`{}` has no entries", section.key())),
            None => {
                let names = list(known.keys().map(String::as_str));
                problem.expected(format!("one of `{}`: {names}", section.key()))
            }
        };
    }
}
