//! Values one by one: texts, ids, numbers, days, lists and tables.

use super::lists::MOST_VALUES;
use super::words::{found, number, short, tidy_days};
use super::{Here, Walk};
use crate::calendar::{Day, DayError, DayRange};
use crate::scenario::codes;
use crate::scenario::exact::{NumberFault, exact};
use crate::scenario::gather::{At, nearest};
use crate::scenario::ids::is_id;
use crate::scenario::keys::{Key, Need, Section, What, words_or};
use crate::scenario::tree::{Node, Spot, Value};
use serde_json::{Value as Json, json};

/// The number that a text with one decimal comma means.
pub(in crate::scenario) fn pointed(text: &str) -> Option<String> {
    let number = text.trim().replacen(',', ".", 1);
    (text.contains(',') && exact(&number, 9).is_ok()).then_some(number)
}

/// What to write for a number that stands as a text.
fn as_number(what: &What, value: &Value) -> Option<String> {
    let (What::Integer(..) | What::Decimal { .. }, Value::Text(text)) = (what, value) else {
        return None;
    };
    match pointed(text) {
        Some(number) => Some(format!(
            "write it with a point and without quotes: {number}"
        )),
        None => exact(text, 9)
            .is_ok()
            .then(|| format!("write it without quotes: {text}")),
    }
}

impl Walk<'_> {
    /// The completed value of a node. `None` when it is a problem, which is then told.
    pub(super) fn value(&mut self, node: &Node, key: &Key, path: &str, here: Here) -> Option<Json> {
        let what = &key.what;
        match (*what, &node.value) {
            (What::Text, Value::Text(text) | Value::Cell(text)) => {
                self.text(node, text, path, here)
            }
            (What::Id(section), Value::Text(text) | Value::Cell(text)) => {
                self.id(node, section, text, path, here)
            }
            (What::Called(section), Value::Text(text)) => {
                let name = self.text(node, text, path, here)?;
                self.once(node, section, text, path, here);
                Some(name)
            }
            (What::Flag, Value::Truth(truth)) => Some(json!(truth)),
            (What::Flag, Value::Cell(text)) => {
                let words = &["true", "false", "yes", "no"];
                let word = self.choice(node, words, text, path, here)?;
                Some(json!(word == "true" || word == "yes"))
            }
            (What::Ref(section), Value::Text(text) | Value::Cell(text)) => {
                self.references
                    .push((section, text.clone(), path.to_owned()));
                Some(json!(text))
            }
            (What::Refs(section), Value::Text(text) | Value::Cell(text)) => {
                let mut ids: Vec<&str> = Vec::new();
                for id in text.split_whitespace() {
                    if ids.contains(&id) {
                        let message = format!("`{}` is there twice", short(id));
                        self.tell(node, path, here, codes::DOUBLE_VALUE, message, None, None);
                        continue;
                    }
                    ids.push(id);
                    self.references
                        .push((section, id.to_owned(), path.to_owned()));
                }
                self.long_enough(node, (ids.len(), 0, MOST_VALUES), key, path, here)?;
                Some(json!(ids))
            }
            (What::Refs(section), Value::List(nodes)) => {
                let one = Key {
                    what: What::Ref(section),
                    ..*key
                };
                self.list(node, nodes, 0, key, path, here, |walk, node, path| {
                    walk.value(node, &one, path, here)
                })
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
                self.long_enough(node, (count, least, MOST_VALUES), key, path, here)?;
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
                let null = matches!(node.value, Value::Null);
                let needed = matches!(key.need, Need::Required);
                let help = (null && !needed)
                    .then(|| "leave the key out".to_owned())
                    .or_else(|| as_number(what, &node.value));
                self.tell(
                    node,
                    path,
                    here,
                    codes::WRONG_TYPE,
                    found(node),
                    Some(what.words(key.unit)),
                    help,
                );
                None
            }
        }
    }

    #[allow(clippy::too_many_arguments)]
    pub(super) fn tell(
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
        if !is_id(text) {
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
        self.once(node, section, text, path, here);
        Some(json!(text))
    }

    /// Remembers an id; tells when another entry of the section has it.
    fn once(&mut self, node: &Node, section: Section, text: &str, path: &str, here: Here) {
        let others = self.ids.entry(section).or_default();
        let first = others.get(text).cloned();
        if first.is_none() {
            others.insert(text.to_owned(), path.to_owned());
        }
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
    }

    pub(super) fn number(
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
                let help = pointed(text)
                    .map(|number| format!("write a point: {number}"))
                    .or_else(|| {
                        let number: String = text.split_whitespace().collect();
                        exact(&number, 9).ok()?;
                        Some(format!("write it without a space: {number}"))
                    });
                return refuse(
                    codes::WRONG_TYPE,
                    format!("`{written}` is not a number"),
                    help.as_deref(),
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
            let share = places == 6 && max == 10i64.pow(6);
            let help = share.then_some("write a share of one: 0.05 for 5 %");
            return refuse(codes::OUT_OF_RANGE, format!("{written} is too large"), help);
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
}
