//! The walk of what was written against the table of keys: every problem gathered, every default
//! filled in and listed, every value brought into the form of the completed scenario.
//!
//! A value that is wrong is replaced by a stand-in and its path marked, so that the walk and the
//! checks across keys go on without telling what only follows from it.

use super::codes;
use super::exact::{NumberFault, exact};
use super::gather::{At, Gather, nearest};
use super::keys::{Group, Key, Need, Section, Table, What, words_or};
use super::reading::{DefaultUsed, Tables};
use super::table;
use super::tree::{self, Node, Spot, Value};
use crate::calendar::{Day, DayError, DayRange};
use serde_json::{Map, Value as Json, json};
use std::collections::{BTreeMap, BTreeSet};

/// The walk and what it has found.
pub struct Walk<'a> {
    /// Problems and places.
    pub gather: Gather,
    /// Defaults taken.
    pub defaults: Vec<DefaultUsed>,
    /// The scenario as completed so far.
    pub root: Map<String, Json>,
    ids: BTreeMap<Section, Vec<(String, String)>>,
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
            let absent = matches!(node.value, Value::Null)
                && matches!(key.need, Need::Optional | Need::Grouped);
            if absent {
                return None;
            }
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
        let given = |name: &&str| {
            pairs
                .get(*name)
                .is_some_and(|node| !matches!(node.value, Value::Null))
        };
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
            if let (Some(set), Some(..)) = (group.sets.first(), Some(())) {
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

    /// The completed value of a node. `None` when it is a problem, which is then told.
    fn value(&mut self, node: &Node, key: &Key, path: &str, here: Here) -> Option<Json> {
        let what = &key.what;
        match (*what, &node.value) {
            (What::Text, Value::Text(text) | Value::Cell(text)) => {
                self.text(node, text, path, here)
            }
            (What::Id(section), Value::Text(text) | Value::Cell(text)) => {
                self.id(node, section, text, path, here)
            }
            (What::Ref(section), Value::Text(text) | Value::Cell(text)) => {
                self.references
                    .push((section, text.clone(), path.to_owned()));
                Some(json!(text))
            }
            (What::Integer(min, max), Value::Number(text) | Value::Cell(text)) => {
                self.number(node, key, text, (0, min, max), path, here)
            }
            (What::Decimal { places, min, max }, Value::Number(text) | Value::Cell(text)) => {
                self.number(node, key, text, (places, min, max), path, here)
            }
            (What::Day, Value::Text(text) | Value::Cell(text)) => {
                let day = Day::parse(text).map_err(|error| (error, text.as_str()));
                self.days(
                    node,
                    what,
                    day.map(|day| json!(day.to_string())),
                    path,
                    here,
                )
            }
            (What::Span, Value::Text(text) | Value::Cell(text)) => {
                let span = DayRange::parse(text).map_err(|error| (error, text.as_str()));
                self.days(
                    node,
                    what,
                    span.map(|span| json!(span.to_string())),
                    path,
                    here,
                )
            }
            (What::Spans { least }, Value::Text(text) | Value::Cell(text)) => {
                let spans: Result<Vec<String>, _> = text
                    .split_whitespace()
                    .map(|text| match DayRange::parse(text) {
                        Ok(span) => Ok(span.to_string()),
                        Err(error) => Err((error, text)),
                    })
                    .collect();
                let spans = self.days(node, what, spans.map(|spans| json!(spans)), path, here)?;
                let count = spans.as_array().map_or(0, Vec::len);
                self.long_enough(node, count, least, key, path, here)?;
                Some(spans)
            }
            (What::Spans { least }, Value::List(nodes)) => {
                let span = Key {
                    what: What::Span,
                    ..*key
                };
                self.list(node, nodes, least, key, path, here, |walk, node, path| {
                    walk.value(node, &span, path, here)
                })
            }
            (What::Clock(_), Value::Text(text)) => self.clock(node, text, path, here),
            (What::Choice(words), Value::Text(text) | Value::Cell(text)) => {
                self.choice(node, words, text, path, here)
            }
            (What::Choices { of, least }, Value::List(nodes)) => {
                let choice = Key {
                    what: What::Choice(of),
                    ..*key
                };
                self.list(node, nodes, least, key, path, here, |walk, node, path| {
                    walk.value(node, &choice, path, here)
                })
            }
            (What::Object(table), Value::Object(_)) => {
                Some(Json::Object(self.object(node, table, path, here)))
            }
            (What::List { of, least } | What::Rows { of, least }, Value::List(nodes)) => {
                self.entries(node, nodes, (of, least), key, path, here)
            }
            (What::Rows { of, .. } | What::Weather(_, of), Value::Text(name)) => {
                self.table(node, name, of, path, here)
            }
            (What::Weather(_, row), Value::List(nodes)) => {
                self.entries(node, nodes, (row, 1), key, path, here)
            }
            (What::Weather(constant, _), Value::Object(_)) => {
                Some(Json::Object(self.object(node, constant, path, here)))
            }
            _ => {
                self.tell(
                    node,
                    path,
                    here,
                    codes::WRONG_TYPE,
                    found(node),
                    Some(what.words(key.unit)),
                    None,
                );
                None
            }
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn tell(
        &mut self,
        node: &Node,
        path: &str,
        here: Here,
        code: &'static str,
        message: String,
        expected: Option<String>,
        help: Option<String>,
    ) {
        let at = At {
            source: here.source,
            spot: Some(node.spot),
        };
        let column = path.rsplit('.').next().unwrap_or(path);
        let shown = if matches!(node.spot, Spot::Line(_)) {
            column
        } else {
            path
        };
        let mut draft = self.gather.error(code, at, Some(shown), message);
        if let Some(expected) = expected {
            draft = draft.expected(expected);
        }
        if let Some(help) = help {
            draft.help(help);
        }
    }

    fn text(&mut self, node: &Node, text: &str, path: &str, here: Here) -> Option<Json> {
        let fault = if text.trim().is_empty() {
            "the text is empty".to_owned()
        } else if text.chars().count() > 200 {
            format!("a text of {} signs", text.chars().count())
        } else if text.chars().any(char::is_control) {
            "the text holds a line break or another control sign".to_owned()
        } else {
            return Some(json!(text));
        };
        let expected = What::Text.words("");
        self.tell(
            node,
            path,
            here,
            codes::BAD_TEXT,
            fault,
            Some(expected),
            None,
        );
        None
    }

    fn id(
        &mut self,
        node: &Node,
        section: Section,
        text: &str,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        let sound = (1..=40).contains(&text.chars().count())
            && text
                .chars()
                .all(|sign| sign.is_alphanumeric() || "-_.".contains(sign));
        if !sound {
            let expected = What::Id(section).words("");
            let mended: String = text
                .split_whitespace()
                .collect::<Vec<_>>()
                .join("-")
                .chars()
                .filter(|sign| sign.is_alphanumeric() || "-_.".contains(*sign))
                .take(40)
                .collect();
            let help = (!mended.is_empty()).then(|| format!("for example `{mended}`"));
            let message = format!("`{}` cannot be an id", short(text));
            self.tell(
                node,
                path,
                here,
                codes::BAD_ID,
                message,
                Some(expected),
                help,
            );
            return None;
        }
        let others = self.ids.entry(section).or_default();
        let first = others
            .iter()
            .find(|(id, _)| id == text)
            .map(|(_, path)| path.clone());
        others.push((text.to_owned(), path.to_owned()));
        if let Some(first) = first {
            let message = format!("the {} `{text}` is there twice", section.one());
            let help = format!(
                "the first is `{}`: give each its own id",
                first.trim_end_matches(".id")
            );
            self.tell(
                node,
                path,
                here,
                codes::DOUBLE_ID,
                message,
                None,
                Some(help),
            );
        }
        Some(json!(text))
    }

    fn number(
        &mut self,
        node: &Node,
        key: &Key,
        text: &str,
        (places, min, max): (u32, i64, i64),
        path: &str,
        here: Here,
    ) -> Option<Json> {
        let expected = Some(key.what.words(key.unit));
        let written = short(text);
        let mut refuse = |code, message: String, help: Option<&str>| {
            self.tell(
                node,
                path,
                here,
                code,
                message,
                expected.clone(),
                help.map(str::to_owned),
            );
            None
        };
        let value = match exact(text, places) {
            Ok(value) => value,
            Err(NumberFault::Shape) => {
                let help = text.contains(',').then_some("write decimals with a point");
                return refuse(
                    codes::WRONG_TYPE,
                    format!("`{written}` is not a number"),
                    help,
                );
            }
            Err(NumberFault::NotFinite) => {
                return refuse(
                    codes::NOT_A_NUMBER,
                    format!("`{written}` is no quantity"),
                    None,
                );
            }
            Err(NumberFault::TooLarge) => {
                return refuse(
                    codes::NOT_A_NUMBER,
                    format!("{written} is too large to be a quantity"),
                    None,
                );
            }
            Err(NumberFault::Decimals) => {
                let message = if places == 0 {
                    format!("{written} is not a whole number")
                } else {
                    format!("{written} has more decimals than are kept")
                };
                return refuse(
                    codes::DECIMALS,
                    message,
                    Some("round it yourself: nothing is rounded here"),
                );
            }
        };
        if value < min {
            let below = if value < 0 && min >= 0 {
                "below zero"
            } else {
                "too small"
            };
            return refuse(codes::OUT_OF_RANGE, format!("{written} is {below}"), None);
        }
        if value > max {
            return refuse(codes::OUT_OF_RANGE, format!("{written} is too large"), None);
        }
        Some(number(value, places))
    }

    fn days(
        &mut self,
        node: &Node,
        what: &What,
        read: Result<Json, (DayError, &str)>,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        let (error, text) = match read {
            Ok(value) => return Some(value),
            Err(fault) => fault,
        };
        let written = short(text);
        let (code, message) = match error {
            DayError::Shape => (
                codes::LOOSE_DAY,
                format!("`{written}` is not written as days are written here"),
            ),
            DayError::Missing => (
                codes::NO_SUCH_DAY,
                format!("`{written}`: there is no such day in the calendar"),
            ),
            DayError::Year => (
                codes::YEAR,
                format!("`{written}`: years run from 1990 to 2200"),
            ),
            DayError::Backwards => (
                codes::SPAN_BACKWARDS,
                format!("`{written}` ends before it begins"),
            ),
        };
        let help = match error {
            DayError::Shape => tidy_days(text).map(|tidy| format!("write {tidy}")),
            DayError::Backwards => text
                .split_once('/')
                .map(|(first, last)| format!("is {last}/{first} meant?")),
            _ => None,
        };
        self.tell(node, path, here, code, message, Some(what.words("")), help);
        None
    }

    fn clock(&mut self, node: &Node, text: &str, path: &str, here: Here) -> Option<Json> {
        let digits = |text: &str| {
            (text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit()))
                .then(|| text.parse::<i64>().ok())
                .flatten()
        };
        let time = text
            .split_once(':')
            .and_then(|(hour, minute)| Some((digits(hour)?, digits(minute)?)));
        if let Some((hour @ 0..24, minute @ 0..60)) = time {
            return Some(json!(hour * 60 + minute));
        }
        let message = format!("`{}` is not a time of day", short(text));
        let expected = What::Clock("").words("");
        self.tell(
            node,
            path,
            here,
            codes::BAD_TIME,
            message,
            Some(expected),
            None,
        );
        None
    }

    fn choice(
        &mut self,
        node: &Node,
        words: &[&str],
        text: &str,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        if words.contains(&text) {
            return Some(json!(text));
        }
        let help = nearest(text, words.iter().copied()).map(|near| format!("write `{near}`"));
        let message = format!("`{}` is not one of the choices", short(text));
        self.tell(
            node,
            path,
            here,
            codes::NOT_A_CHOICE,
            message,
            Some(words_or(words)),
            help,
        );
        None
    }

    /// A list of plain values, each at most once.
    #[allow(clippy::too_many_arguments)]
    fn list(
        &mut self,
        node: &Node,
        nodes: &[Node],
        least: usize,
        key: &Key,
        path: &str,
        here: Here,
        one: impl Fn(&mut Self, &Node, &str) -> Option<Json>,
    ) -> Option<Json> {
        self.long_enough(node, nodes.len(), least, key, path, here)?;
        let mut values = Vec::new();
        for (index, node) in nodes.iter().enumerate() {
            let path = format!("{path}[{index}]");
            match one(self, node, &path) {
                Some(value) if values.contains(&value) => {
                    let message = format!(
                        "{} is there twice",
                        found(node).trim_start_matches("found ")
                    );
                    self.tell(node, &path, here, codes::DOUBLE_KEY, message, None, None);
                }
                Some(value) => values.push(value),
                None => self.gather.mark_bad(&path),
            }
        }
        Some(Json::Array(values))
    }

    fn long_enough(
        &mut self,
        node: &Node,
        count: usize,
        least: usize,
        key: &Key,
        path: &str,
        here: Here,
    ) -> Option<()> {
        const MOST: usize = 100_000;
        let message = if count < least {
            "the list is empty".to_owned()
        } else if count > MOST {
            format!("a list of {count}")
        } else {
            return Some(());
        };
        let expected = format!("{least} to {MOST}: {}", key.meaning);
        self.tell(
            node,
            path,
            here,
            codes::LIST_LENGTH,
            message,
            Some(expected),
            None,
        );
        None
    }

    fn entries(
        &mut self,
        node: &Node,
        nodes: &[Node],
        (table, least): (&'static Table, usize),
        key: &Key,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        self.long_enough(node, nodes.len(), least, key, path, here)?;
        let mut entries = Vec::new();
        for (index, node) in nodes.iter().enumerate() {
            let path = format!("{path}[{index}]");
            self.gather.stands(
                &path,
                At {
                    source: here.source,
                    spot: Some(node.spot),
                },
                &path,
            );
            if let Value::Object(_) = node.value {
                entries.push(Json::Object(self.object(node, table, &path, here)));
            } else {
                let expected = format!("an object: one {}", table.one);
                self.tell(
                    node,
                    &path,
                    here,
                    codes::WRONG_TYPE,
                    found(node),
                    Some(expected),
                    None,
                );
                self.gather.mark_bad(&path);
                entries.push(self.stand_in(&What::Object(table), &path, here));
            }
        }
        Some(Json::Array(entries))
    }

    fn table(
        &mut self,
        node: &Node,
        name: &str,
        table: &'static Table,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        let sound = !name.is_empty()
            && !name.contains(['\\', ':'])
            && name
                .split('/')
                .all(|part| !part.is_empty() && part != "." && part != "..");
        let fault = if sound {
            match (self.tables)(name) {
                Ok(bytes) => return self.table_rows(name, &bytes, table, path),
                Err(reason) => reason,
            }
        } else {
            "only files beside the scenario may be named".to_owned()
        };
        let message = format!("cannot read the table `{}`: {fault}", short(name));
        let expected = Some("the name of a CSV file beside the scenario".to_owned());
        self.tell(
            node,
            path,
            here,
            codes::TABLE_UNREADABLE,
            message,
            expected,
            None,
        );
        None
    }

    fn table_rows(
        &mut self,
        name: &str,
        bytes: &[u8],
        table: &'static Table,
        path: &str,
    ) -> Option<Json> {
        let read = table::rows(&mut self.gather, name, bytes, table)?;
        let here = Here {
            source: read.source,
            columns: Some(&read.columns),
            listed: false,
            silent: false,
        };
        let mut entries = Vec::new();
        for (index, node) in read.rows.iter().enumerate() {
            let path = format!("{path}[{index}]");
            self.gather.stands(
                &path,
                At {
                    source: read.source,
                    spot: Some(node.spot),
                },
                &path,
            );
            entries.push(Json::Object(self.object(node, table, &path, here)));
        }
        Some(Json::Array(entries))
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
        let references = std::mem::take(&mut self.references);
        for (section, id, path) in references {
            let known = self
                .ids
                .get(&section)
                .map(Vec::as_slice)
                .unwrap_or_default();
            if known.iter().any(|(known, _)| *known == id) {
                continue;
            }
            // Entries whose own id is wrong, or a section that could not be read, may be meant.
            let unsure = self.gather.is_bad(section.key());
            let near =
                nearest(&id, known.iter().map(|(known, _)| known.as_str())).map(str::to_owned);
            let names = list(known.iter().map(|(known, _)| known.as_str()));
            if !(unsure && near.is_none()) {
                let message = format!("there is no {} `{}`", section.one(), short(&id));
                let problem = self.gather.flag(
                    crate::problems::Severity::Error,
                    codes::UNKNOWN_ID,
                    &[&path],
                    message,
                );
                match near {
                    Some(near) => problem.help(format!("write `{near}`")),
                    None if names.is_empty() => {
                        problem.help(format!("`{}` has no entries", section.key()))
                    }
                    None => problem.expected(format!("one of `{}`: {names}", section.key())),
                };
            }
            self.gather.mark_bad(&path);
        }
    }
}

/// `path.name`, or `name` at the top.
fn join(path: &str, name: &str) -> String {
    if path.is_empty() {
        name.to_owned()
    } else {
        format!("{path}.{name}")
    }
}

/// At most forty signs of a text, for a message.
fn short(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|sign| if sign.is_control() { '\u{fffd}' } else { sign })
        .collect();
    if clean.chars().count() <= 40 {
        return clean;
    }
    clean.chars().take(37).chain("...".chars()).collect()
}

/// At most twelve names.
fn list<'n>(names: impl IntoIterator<Item = &'n str>) -> String {
    let mut names: Vec<&str> = names.into_iter().collect();
    let rest = names.len().saturating_sub(12);
    if rest > 0 {
        names.truncate(12);
    }
    let mut text = names.join(", ");
    if rest > 0 {
        text.push_str(&format!(" and {rest} more"));
    }
    text
}

fn words_and(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// What stands there, in words.
fn found(node: &Node) -> String {
    match &node.value {
        Value::Null => "found `null`".to_owned(),
        Value::Truth(truth) => format!("found `{truth}`"),
        Value::Number(text) => format!("found the number {}", short(text)),
        Value::Text(text) | Value::Cell(text) => format!("found the text `{}`", short(text)),
        Value::List(_) => "found a list".to_owned(),
        Value::Object(_) => "found an object".to_owned(),
    }
}

fn number(value: i64, places: u32) -> Json {
    let one = 10i64.pow(places);
    if value % one == 0 {
        json!(value / one)
    } else {
        json!(value as f64 / one as f64)
    }
}

/// The days that a loosely written text seems to mean: year first, with any of `-`, `/`, `.` between.
fn tidy_days(text: &str) -> Option<String> {
    let numbers: Vec<&str> = text
        .split(|sign: char| !sign.is_ascii_digit())
        .filter(|part| !part.is_empty())
        .collect();
    let day = |parts: &[&str]| -> Option<Day> {
        let [year, month, day] = parts else {
            return None;
        };
        if year.len() != 4 || month.len() > 2 || day.len() > 2 {
            return None;
        }
        Day::from_ymd(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()
    };
    match numbers.len() {
        3 => day(&numbers).map(|day| day.to_string()),
        6 => Some(format!("{}/{}", day(&numbers[..3])?, day(&numbers[3..])?)),
        _ => None,
    }
}

/// A value as a line for people.
pub fn spoken(value: &Json) -> String {
    match value {
        Json::String(text) => text.clone(),
        Json::Array(values) if values.is_empty() => "none".to_owned(),
        Json::Array(values) => values.iter().map(spoken).collect::<Vec<_>>().join(", "),
        Json::Object(pairs) => {
            // In the order of the table is in the order of the alphabet here; the names say enough.
            let words: Vec<String> = pairs
                .iter()
                .map(|(name, value)| format!("{name} {}", spoken(value)))
                .collect();
            words.join(", ")
        }
        Json::Number(number) => match number.as_i64() {
            Some(whole) => whole.to_string(),
            None => {
                let value = number.as_f64().unwrap_or(0.0);
                crate::units::Fixed::<6>::nearest(value)
                    .map_or_else(|| number.to_string(), |fixed| fixed.to_string())
            }
        },
        other => other.to_string(),
    }
}
