//! A JSON text as a tree that remembers where each value stands and how each number was written.
//!
//! Strict JSON (RFC 8259) and nothing else. Numbers stay text, so that decimals are taken exactly;
//! object keys stay in order, doubles included, so that a double can be named; nesting is limited,
//! so that no file can exhaust the stack. What it takes and refuses is compared with `serde_json`
//! in the tests.

use super::codes;

/// Deepest nesting that is read. A scenario needs six levels.
pub const DEEPEST: usize = 64;

/// Where a value stands in its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// Byte from the beginning of a JSON text.
    Byte(usize),
    /// Line of a table, from 1.
    Line(usize),
}

/// One value and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// First byte, or line of the table.
    pub spot: Spot,
    /// The value.
    pub value: Value,
}

/// A value as written.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// `null`.
    Null,
    /// `true` or `false`.
    Truth(bool),
    /// A number, as its text.
    Number(String),
    /// A text.
    Text(String),
    /// A cell of a table: a text or a number, as its key wants it.
    Cell(String),
    /// A list.
    List(Vec<Node>),
    /// An object: name, place of the name, value; in order, doubles included.
    Object(Vec<(String, Spot, Node)>),
}

/// Why a text is not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Code of the problem.
    pub code: &'static str,
    /// Byte at which it shows.
    pub byte: usize,
    /// What is wrong, in words.
    pub message: String,
    /// What to do.
    pub help: Option<&'static str>,
}

/// The tree of a JSON text.
///
/// # Errors
/// A [`Fault`] at the first byte that is not JSON, or that nests deeper than [`DEEPEST`].
pub fn parse(text: &str) -> Result<Node, Fault> {
    let mut reader = Reader { text, at: 0 };
    let node = reader.node(0)?;
    reader.skip_blank();
    if reader.at < text.len() {
        let found = reader.found();
        return Err(reader.syntax(format!("{found} after the end of the scenario")));
    }
    Ok(node)
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn skip_blank(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    fn found(&self) -> String {
        match self
            .text
            .get(self.at..)
            .and_then(|rest| rest.chars().next())
        {
            None => "the file ends".to_owned(),
            Some(sign) if sign.is_control() => format!("found the sign U+{:04X}", sign as u32),
            Some(sign) if sign.is_alphabetic() => {
                let word = self.text[self.at..]
                    .chars()
                    .take(20)
                    .take_while(|sign| sign.is_alphanumeric());
                format!("found `{}`", word.collect::<String>())
            }
            Some(sign) => format!("found `{sign}`"),
        }
    }

    fn syntax(&self, message: String) -> Fault {
        Fault {
            code: codes::SYNTAX,
            byte: self.at,
            message,
            help: None,
        }
    }

    fn expected<T>(&self, what: &str) -> Result<T, Fault> {
        Err(self.syntax(format!("{} where {what} should be", self.found())))
    }

    fn node(&mut self, depth: usize) -> Result<Node, Fault> {
        self.skip_blank();
        let spot = Spot::Byte(self.at);
        if depth > DEEPEST {
            let message = format!("nested more than {DEEPEST} deep");
            return Err(Fault {
                code: codes::TOO_DEEP,
                byte: self.at,
                message,
                help: None,
            });
        }
        let value = match self.peek() {
            Some(b'{') => self.object(depth)?,
            Some(b'[') => self.list(depth)?,
            Some(b'"') => Value::Text(self.string()?),
            Some(b'-' | b'0'..=b'9') => Value::Number(self.number()?),
            _ => self.word()?,
        };
        Ok(Node { spot, value })
    }

    fn word(&mut self) -> Result<Value, Fault> {
        for (word, value) in [
            ("null", Value::Null),
            ("true", Value::Truth(true)),
            ("false", Value::Truth(false)),
        ] {
            if self.text[self.at..].starts_with(word) {
                self.at += word.len();
                return Ok(value);
            }
        }
        let rest = &self.text[self.at..];
        let mut fault = self.syntax(format!("{} where a value should be", self.found()));
        if rest.starts_with("//") || rest.starts_with("/*") || rest.starts_with('#') {
            fault.help = Some("JSON has no comments: take it out");
        } else if rest.starts_with('\'') {
            fault.help = Some("write text in double quotes");
        } else if rest.starts_with("NaN") || rest.starts_with("Infinity") {
            fault.help = Some("write a plain number");
        } else if rest.starts_with(['}', ']']) {
            fault.help = Some("take out the comma before it");
        }
        Err(fault)
    }

    fn object(&mut self, depth: usize) -> Result<Value, Fault> {
        self.at += 1;
        let mut pairs = Vec::new();
        self.skip_blank();
        if self.peek() == Some(b'}') {
            self.at += 1;
            return Ok(Value::Object(pairs));
        }
        loop {
            self.skip_blank();
            let spot = Spot::Byte(self.at);
            if self.peek() != Some(b'"') {
                let mut fault: Fault = self.syntax(format!(
                    "{} where a key in double quotes should be",
                    self.found()
                ));
                if self.peek() == Some(b'}') {
                    fault.help = Some("take out the comma before it");
                } else if self.peek() == Some(b'/') {
                    fault.help = Some("JSON has no comments: take it out");
                } else if self.after_comma(&pairs) {
                    fault.help =
                        Some("is the comma before it a decimal comma? write a point, as in 0.5");
                }
                return Err(fault);
            }
            let name = self.string()?;
            self.skip_blank();
            if self.peek() != Some(b':') {
                return self.expected(&format!("the `:` after the key `{name}`"));
            }
            self.at += 1;
            let node = self.node(depth + 1)?;
            pairs.push((name, spot, node));
            self.skip_blank();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b'}') => {
                    self.at += 1;
                    return Ok(Value::Object(pairs));
                }
                _ => return self.expected("`,` or `}`"),
            }
        }
    }

    fn list(&mut self, depth: usize) -> Result<Value, Fault> {
        self.at += 1;
        let mut nodes = Vec::new();
        self.skip_blank();
        if self.peek() == Some(b']') {
            self.at += 1;
            return Ok(Value::List(nodes));
        }
        loop {
            nodes.push(self.node(depth + 1)?);
            self.skip_blank();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b']') => {
                    self.at += 1;
                    return Ok(Value::List(nodes));
                }
                _ => return self.expected("`,` or `]`"),
            }
        }
    }

    /// True when a digit stands right behind a number and a comma.
    fn after_comma(&self, pairs: &[(String, Spot, Node)]) -> bool {
        let number = pairs
            .last()
            .is_some_and(|(_, _, node)| matches!(node.value, Value::Number(_)));
        let digit = self.peek().is_some_and(|sign| sign.is_ascii_digit());
        number && digit && self.text[..self.at].ends_with(',')
    }

    fn digits(&mut self) -> Result<(), Fault> {
        let from = self.at;
        while matches!(self.peek(), Some(b'0'..=b'9')) {
            self.at += 1;
        }
        if from == self.at {
            self.expected("a digit")
        } else {
            Ok(())
        }
    }

    fn number(&mut self) -> Result<String, Fault> {
        let from = self.at;
        if self.peek() == Some(b'-') {
            self.at += 1;
        }
        if self.peek() == Some(b'0') {
            self.at += 1;
            if matches!(self.peek(), Some(b'0'..=b'9')) {
                return Err(self.syntax("a number begins with 0".to_owned()));
            }
        } else {
            self.digits()?;
        }
        if self.peek() == Some(b'.') {
            self.at += 1;
            self.digits()?;
        }
        if matches!(self.peek(), Some(b'e' | b'E')) {
            self.at += 1;
            if matches!(self.peek(), Some(b'+' | b'-')) {
                self.at += 1;
            }
            self.digits()?;
        }
        Ok(self.text[from..self.at].to_owned())
    }

    fn string(&mut self) -> Result<String, Fault> {
        let opened = self.at;
        self.at += 1;
        let mut out = String::new();
        loop {
            let from = self.at;
            while !matches!(self.peek(), None | Some(b'"' | b'\\' | 0..=0x1f)) {
                self.at += 1;
            }
            out.push_str(&self.text[from..self.at]);
            match self.peek() {
                Some(b'"') => {
                    self.at += 1;
                    return Ok(out);
                }
                Some(b'\\') => out.push(self.escape()?),
                Some(_) => {
                    let mut fault = self.syntax("a text runs over the end of its line".to_owned());
                    if self.peek() != Some(b'\n') && self.peek() != Some(b'\r') {
                        fault.message = format!("{} in a text", self.found());
                    }
                    fault.help = Some("is the closing quote missing?");
                    return Err(fault);
                }
                None => {
                    self.at = opened;
                    return Err(self.syntax("a text that is never closed".to_owned()));
                }
            }
        }
    }

    fn escape(&mut self) -> Result<char, Fault> {
        self.at += 1;
        let sign = match self.peek() {
            Some(sign @ (b'"' | b'\\' | b'/')) => sign as char,
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => return self.unicode(),
            _ => {
                let mut fault = self.syntax(format!("{} after a backslash", self.found()));
                fault.help = Some("write a backslash as `\\\\`");
                return Err(fault);
            }
        };
        self.at += 1;
        Ok(sign)
    }

    fn unicode(&mut self) -> Result<char, Fault> {
        let from = self.at - 1;
        let high = self.hex()?;
        let code = match high {
            0xd800..=0xdbff if self.text[self.at..].starts_with("\\u") => {
                self.at += 1;
                let low = self.hex()?;
                match low {
                    0xdc00..=0xdfff => 0x10000 + ((high - 0xd800) << 10) + (low - 0xdc00),
                    _ => high,
                }
            }
            _ => high,
        };
        char::from_u32(code).ok_or_else(|| {
            self.at = from;
            self.syntax("half of a pair of `\\u` signs".to_owned())
        })
    }

    fn hex(&mut self) -> Result<u32, Fault> {
        let digits = self.text.as_bytes().get(self.at + 1..self.at + 5);
        let code = digits.and_then(|digits| {
            digits.iter().try_fold(0, |sum, digit| {
                Some(sum * 16 + (*digit as char).to_digit(16)?)
            })
        });
        match code {
            Some(code) => {
                self.at += 5;
                Ok(code)
            }
            None => Err(self.syntax("`\\u` needs four hexadecimal digits".to_owned())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn keeps_numbers_as_written_and_double_keys() {
        let node = parse(r#" {"a": 1.50, "a": [null, true]}"#).unwrap();
        let Value::Object(pairs) = node.value else {
            panic!()
        };
        assert_eq!(pairs.len(), 2);
        assert_eq!(pairs[0].2.value, Value::Number("1.50".to_owned()));
        assert_eq!(
            (pairs[0].1, pairs[0].2.spot),
            (Spot::Byte(2), Spot::Byte(7))
        );
    }

    #[test]
    fn reads_signs_outside_the_basic_plane_in_either_form() {
        let node = parse(r#""\ud842\udfb7 𠮷""#).unwrap();
        assert_eq!(node.value, Value::Text("𠮷 𠮷".to_owned()));
        assert_eq!(parse(r#""\ud842""#).unwrap_err().code, codes::SYNTAX);
    }

    #[test]
    fn deep_nesting_is_refused_on_a_small_stack() {
        for open in ["[", "{\"a\":"] {
            let text = open.repeat(200_000);
            assert_eq!(parse(&text).unwrap_err().code, codes::TOO_DEEP);
        }
    }

    proptest! {
        #[test]
        fn takes_what_serde_json_takes(text in r#"[\[\]{}:,"a0-9.eE+\-\\u tn]{0,12}"#) {
            // The numbers that only `serde_json` refuses are those too large for its floats.
            let theirs = serde_json::from_str::<serde_json::Value>(&text);
            let large = theirs.as_ref().is_err_and(|error| error.to_string().contains("number out of range"));
            prop_assume!(!large);
            prop_assert_eq!(parse(&text).is_ok(), theirs.is_ok(), "{}", text);
        }

        #[test]
        fn takes_what_serde_json_writes(numbers in proptest::collection::vec(any::<f64>(), 0..4), words in proptest::collection::vec(any::<String>(), 0..4)) {
            let text = serde_json::to_string(&(numbers, &words)).unwrap();
            let Value::List(two) = parse(&text).unwrap().value else { panic!() };
            let Value::List(list) = &two[1].value else { panic!() };
            for (node, word) in list.iter().zip(&words) {
                prop_assert_eq!(&node.value, &Value::Text(word.clone()));
            }
        }
    }
}
