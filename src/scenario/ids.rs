//! What can be an id.

/// True of 1 to 40 letters, digits, `-`, `_` and `.`.
pub fn is_id(text: &str) -> bool {
    let sound = |sign: char| sign.is_alphanumeric() || "-_.".contains(sign);
    (1..=40).contains(&text.chars().count()) && text.chars().all(sound)
}
