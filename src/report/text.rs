//! Lines that fit a terminal.

use unicode_width::UnicodeWidthStr;

/// Columns of the terminal that every report keeps to.
pub const WIDTH: usize = 80;

/// `text` broken at spaces into lines of at most [`WIDTH`] columns, the first after `first`, the
/// others after `rest`. A single word that is longer stays whole.
pub fn wrap(first: &str, rest: &str, text: &str) -> String {
    let mut out = first.to_owned();
    let mut column = first.width();
    let mut fresh = true;
    for word in text.split_whitespace() {
        let space = usize::from(!fresh);
        if !fresh && column + space + word.width() > WIDTH {
            out.push('\n');
            out.push_str(rest);
            column = rest.width();
        } else if space == 1 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += word.width();
        fresh = false;
    }
    out.push('\n');
    out
}

/// `1 tray`, `2 trays`.
pub fn count(number: usize, one: &str, more: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { more })
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
}
