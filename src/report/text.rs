//! Lines that fit a terminal, and numbers as people read them.

use crate::calendar::Day;
use crate::units::{Money, div_near};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns of the terminal that every report keeps to.
pub const WIDTH: usize = 80;

/// `text` broken at spaces into lines of at most [`WIDTH`] columns, the first after `first`, the
/// others after `rest`. A single word that is longer stays whole.
pub fn wrap(first: &str, rest: &str, text: &str) -> String {
    let words = text.split_whitespace().map(str::to_owned);
    filled(first, rest, words, WIDTH).join("\n") + "\n"
}

/// `text` broken between words into lines of at most `width`; longer words are broken too. Lines in the text stay
/// lines and keep their indent. Always at least one line.
pub fn fold(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        let indent = paragraph.len() - paragraph.trim_start_matches(' ').len();
        let indent = if indent < width { indent } else { 0 };
        let words = paragraph.split_whitespace();
        let pieces = words.flat_map(|word| pieces(word, width - indent));
        let indent = " ".repeat(indent);
        let filled = filled(&indent, &indent, pieces, width);
        lines.extend(filled.iter().map(|line| line.trim_end().to_string()));
    }
    if lines.is_empty() {
        lines.push(String::new());
    }
    lines
}

/// Lines of at most `width` with as many words as fit, the first line after `first`, the others after `rest`. A longer
/// word stands alone.
fn filled(
    first: &str,
    rest: &str,
    words: impl Iterator<Item = String>,
    width: usize,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in words {
        if !empty && line.width() + 1 + word.width() > width {
            lines.push(std::mem::replace(&mut line, rest.to_owned()));
        } else if !empty {
            line.push(' ');
        }
        line.push_str(&word);
        empty = false;
    }
    lines.push(line);
    lines
}

/// `text` cut to `width`, with `…` where something is left out.
pub fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_string();
    }
    let mut kept = String::new();
    let mut used = 1;
    for character in text.chars() {
        used += character.width().unwrap_or(0);
        if used > width {
            break;
        }
        kept.push(character);
    }
    let kept = kept.trim_end();
    if width == 0 {
        String::new()
    } else {
        format!("{kept}…")
    }
}

/// A word in pieces of at most `width`; a character wider than that stands alone.
fn pieces(word: &str, width: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut used = 0;
    for character in word.chars() {
        let wide = character.width().unwrap_or(0);
        if used + wide > width && used > 0 {
            pieces.push(String::new());
            used = 0;
        }
        used += wide;
        if let Some(last) = pieces.last_mut() {
            last.push(character);
        }
    }
    pieces
}

/// `1 tray`, `2 trays`.
pub fn count(number: impl std::fmt::Display, one: &str, more: &str) -> String {
    let number = number.to_string();
    let what = if number == "1" { one } else { more };
    format!("{number} {what}")
}

/// `612 trays`.
pub fn trays(number: i64) -> String {
    count(number, "tray", "trays")
}

/// `6 people`.
pub fn people(number: i64) -> String {
    count(number, "person", "people")
}

/// `Thu 13 May`.
pub fn short_day(day: Day) -> String {
    let weekday: String = day.weekday().to_string().chars().take(3).collect();
    format!("{weekday} {}", day.spoken())
}

/// `07:05`, from minutes after midnight.
pub fn clock(minute: i64) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// `3 h 20 min`.
pub fn duration(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// A whole number with thousands apart: `27,422`.
pub fn number(value: i64) -> String {
    let digits = value.unsigned_abs().to_string();
    let mut out = String::from(if value < 0 { "-" } else { "" });
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// Money to the hundredth: `1,234.50`.
pub fn money(amount: Money) -> String {
    let hundredths = div_near(amount.0, 10);
    let sign = if hundredths < 0 { "-" } else { "" };
    let hundredths = hundredths.abs();
    format!("{sign}{}.{:02}", number(hundredths / 100), hundredths % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_the_width_and_hang() {
        let text = wrap("- ", "    ", &"seedling ".repeat(20));
        assert!(text.lines().all(|line| line.width() <= WIDTH));
        assert!(text.starts_with("- seedling seedling") && text.contains("\n    seedling"));
        assert_eq!(text.matches("seedling").count(), 20);
    }

    #[test]
    fn cut_says_that_something_is_missing() {
        assert_eq!(
            (cut("trays", 5), cut("trays", 4)),
            ("trays".into(), "tra…".into())
        );
        assert_eq!(cut("苗箱苗箱", 6), "苗箱…");
        assert_eq!(cut("trays", 0), "");
    }

    #[test]
    fn paragraphs_and_their_indent_stay() {
        assert_eq!(
            fold("sow\n  seed of the first run", 12),
            ["sow", "  seed of", "  the first", "  run"]
        );
        assert_eq!(fold("", 9), [""]);
    }

    #[test]
    fn numbers_read_easily() {
        assert_eq!(number(27_422), "27,422");
        assert_eq!(number(-999), "-999");
        assert_eq!(money(Money { 0: 1_234_499 }), "1,234.50");
        assert_eq!(money(Money { 0: -5_000 }), "-5.00");
        assert_eq!(
            (duration(59), duration(120)),
            ("59 min".into(), "2 h".into())
        );
    }
}
