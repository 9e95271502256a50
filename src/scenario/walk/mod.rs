//! The walk of what was written against the table of keys: every problem gathered, every default
//! filled in and listed, every value brought into the form of the completed scenario.
//!
//! A value that is wrong is replaced by a stand-in and its path marked, so that the walk and the
//! checks across keys go on without telling what only follows from it.

mod values;
mod words;

use super::codes;
use super::gather::{At, Gather, nearest};
use super::keys::{Group, Key, Need, Section, Table, What};
use super::reading::{DefaultUsed, Tables};
use super::tree::{self, Node, Spot, Value};
use crate::problems::Severity;
use serde_json::{Map, Value as Json, json};
use std::collections::{BTreeMap, BTreeSet};
use words::{found, join, list, number, short, spoken, words_and};

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

impl<'a> Walk<'a> {
    /// A walk that reads tables by their name.
    pub fn new(tables: &'a Tables<'a>) -> Self {
        Walk {
            gather: Gather::default(),
            defaults: Vec::new(),
            root: Map::new(),
            ids: BTreeMap::new(),
            references: Vec::new(),
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
        let pairs = self.pairs(node, table, "", here);
        for key in table.keys {
            if let Some((name, value)) = self.key(node, &pairs, key, "", &Map::new(), here) {
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
        let pairs = self.pairs(node, table, path, here);
        let mut entry = Map::new();
        for key in table.keys {
            if let Some((name, value)) = self.key(node, &pairs, key, path, &entry, here) {
                entry.insert(name, value);
            }
        }
        for group in table.groups {
            self.group(node, &pairs, table, group, path, &mut entry, here);
        }
        entry
    }

    /// The keys of an object that the table knows, each once; the others are told.
    fn pairs<'n>(
        &mut self,
        node: &'n Node,
        table: &'static Table,
        path: &str,
        here: Here,
    ) -> BTreeMap<&'static str, &'n Node> {
        let mut known: BTreeMap<&'static str, &'n Node> = BTreeMap::new();
        let Value::Object(pairs) = &node.value else {
            return known;
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
                let names = table.keys.iter().map(|key| key.name);
                let near = nearest(name, names.clone());
                let problem = self.gather.error(
                    codes::UNKNOWN_KEY,
                    at,
                    Some(shown),
                    format!("unknown key `{}`", short(name)),
                );
                match near {
                    Some(near) => {
                        problem.help(format!("write `{near}`"));
                        if !pairs.iter().any(|(name, _, _)| name == near) {
                            self.gather.mark_bad(&join(path, near));
                        }
                    }
                    None => {
                        problem.expected(format!("keys of a {}: {}", table.one, list(names)));
                    }
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
        known
    }

    /// One key of an object: its completed name and value. `None` when there is nothing to take.
    fn key(
        &mut self,
        object: &Node,
        pairs: &BTreeMap<&'static str, &Node>,
        key: &'static Key,
        path: &str,
        entry: &Map<String, Json>,
        here: Here,
    ) -> Option<(String, Json)> {
        let full = join(path, key.name);
        let name = match key.what {
            What::Clock(completed) => completed,
            _ => key.name,
        };
        let taken = |value: Json| Some((name.to_owned(), value));
        if let Some(node) = pairs.get(key.name) {
            return match self.value(node, key, &full, here) {
                Some(value) => taken(value),
                None => {
                    self.gather.mark_bad(&full);
                    let needed = !matches!(key.need, Need::Optional | Need::Grouped);
                    if needed {
                        taken(self.stand_in(&key.what, &full, here))
                    } else {
                        None
                    }
                }
            };
        }
        match key.need {
            Need::Optional | Need::Grouped => None,
            Need::Required => {
                self.missing(object, key, &full, here);
                taken(self.stand_in(&key.what, &full, here))
            }
            Need::Default(text, source) => {
                let value = self.default(object, key, &full, text, source, here);
                taken(value)
            }
            Need::Follows { from, rule, source } => {
                let value = match from(entry, &self.root) {
                    Some(value) => value,
                    None => {
                        self.gather.mark_bad(&full);
                        self.stand_in(&key.what, &full, here)
                    }
                };
                if let (What::Ref(section), Some(id)) = (key.what, value.as_str()) {
                    self.references.push((section, id.to_owned(), full.clone()));
                }
                self.list_default(&full, &value, &format!("{rule}; {source}"), here);
                taken(value)
            }
        }
    }

    fn missing(&mut self, object: &Node, key: &Key, full: &str, here: Here) {
        // A missing column is told once, at the table's first line; a misspelt key where it stands.
        let told = here.silent
            || self.gather.is_bad(full)
            || here
                .columns
                .is_some_and(|columns| !columns.contains(key.name));
        if !told {
            let at = At {
                source: here.source,
                spot: Some(object.spot),
            };
            let shown = if here.columns.is_some() {
                key.name
            } else {
                full
            };
            self.gather
                .error(
                    codes::MISSING_KEY,
                    at,
                    Some(shown),
                    format!("`{}` is missing", key.name),
                )
                .expected(format!("{}: {}", key.meaning, key.what.words(key.unit)));
        }
        self.gather.mark_bad(full);
    }

    fn default(
        &mut self,
        object: &Node,
        key: &'static Key,
        full: &str,
        text: &str,
        source: &str,
        here: Here,
    ) -> Json {
        let Ok(mut node) = tree::parse(text) else {
            // A test reads every default of the table.
            self.gather.mark_bad(full);
            return self.stand_in(&key.what, full, here);
        };
        // What is missing inside a default shows at the object that it stands in for.
        node.spot = object.spot;
        let inside = Here {
            listed: here.listed || !source.is_empty(),
            columns: None,
            ..here
        };
        let value = self.value(&node, key, full, inside).unwrap_or(Json::Null);
        if !source.is_empty() {
            let shown = if matches!(key.what, What::Clock(_)) {
                json!(text.trim_matches('"'))
            } else {
                value.clone()
            };
            self.list_default(full, &shown, source, here);
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

    fn group(
        &mut self,
        object: &Node,
        pairs: &BTreeMap<&'static str, &Node>,
        table: &'static Table,
        group: &'static Group,
        path: &str,
        entry: &mut Map<String, Json>,
        here: Here,
    ) {
        let given = |name: &&str| pairs.contains_key(*name);
        let begun: Vec<&&[&str]> = group
            .sets
            .iter()
            .filter(|set| set.iter().any(|name| given(&name)))
            .collect();
        let sets = group
            .sets
            .iter()
            .map(|set| words_and(set))
            .collect::<Vec<_>>()
            .join(", or ");
        let at = At {
            source: here.source,
            spot: Some(object.spot),
        };
        let shown = if path.is_empty() || here.columns.is_some() {
            None
        } else {
            Some(path)
        };
        let mut sound = true;
        match begun[..] {
            [] if here.silent
                || group
                    .sets
                    .iter()
                    .flat_map(|set| set.iter())
                    .any(|name| self.gather.is_bad(&join(path, name))) =>
            {
                sound = false;
            }
            [] if group.default.is_empty() => {
                self.gather
                    .error(
                        codes::MISSING_KEY,
                        at,
                        shown,
                        format!("{}: nothing is given", group.meaning),
                    )
                    .expected(sets);
                sound = false;
            }
            [] => {
                for (name, text, source) in group.default {
                    let Some(key) = table.get(name) else { continue };
                    let value = self.default(object, key, &join(path, name), text, source, here);
                    entry.insert((*name).to_owned(), value);
                }
            }
            [set] => {
                let left_out: Vec<&str> = set.iter().filter(|name| !given(name)).copied().collect();
                let misspelt = left_out
                    .iter()
                    .any(|name| self.gather.is_bad(&join(path, name)));
                if !left_out.is_empty() {
                    sound = false;
                    if !misspelt {
                        let written: Vec<&str> =
                            set.iter().filter(|name| given(name)).copied().collect();
                        let verb = if written.len() == 1 { "needs" } else { "need" };
                        let message = format!(
                            "{} {verb} {} too",
                            words_and(&written),
                            words_and(&left_out)
                        );
                        self.gather
                            .error(codes::ALTERNATIVES, at, shown, message)
                            .expected(sets);
                    }
                }
            }
            _ => {
                let written: Vec<&str> = group
                    .sets
                    .iter()
                    .flat_map(|set| set.iter())
                    .filter(|name| given(name))
                    .copied()
                    .collect();
                let message = format!("{} exclude each other", words_and(&written));
                self.gather
                    .error(codes::ALTERNATIVES, at, shown, message)
                    .expected(sets);
                sound = false;
            }
        }
        let complete = group.sets.iter().any(|set| {
            set.iter().all(|name| entry.contains_key(*name))
                && entry
                    .keys()
                    .filter(|name| table.group_of(name).is_some())
                    .count()
                    == set.len()
        });
        if !sound || !complete {
            for name in group.sets.iter().flat_map(|set| set.iter()) {
                self.gather.mark_bad(&join(path, name));
                entry.remove(*name);
            }
            if let Some(set) = group.sets.first() {
                for name in *set {
                    if let Some(key) = table.get(name) {
                        let value = self.stand_in(&key.what, &join(path, name), here);
                        entry.insert((*name).to_owned(), value);
                    }
                }
            }
        }
        (group.shape)(entry);
    }

    /// Something of the right type in the place of what is wrong.
    fn stand_in(&mut self, what: &What, path: &str, here: Here) -> Json {
        const DAY: &str = "2000-01-01";
        match *what {
            What::Text | What::Ref(_) => json!("?"),
            What::Id(_) => json!(format!("? {path}")),
            What::Integer(min, _) => json!(min),
            What::Decimal { places, min, .. } => number(min, places),
            What::Day | What::Span => json!(DAY),
            What::Clock(_) => json!(0),
            What::Choice(words) => json!(words.first()),
            What::Spans { .. }
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
            if known.contains_key(&id) {
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
