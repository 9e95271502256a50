//! A small invented nursery to start from: files that run as they are.

use super::page;

/// Name and text of each file, in the order in which they are written.
pub fn files() -> Vec<(&'static str, String)> {
    vec![
        (super::FILE, include_str!("nursery.json").to_owned()),
        ("fields.csv", include_str!("fields.csv").to_owned()),
        ("weather.csv", include_str!("weather.csv").to_owned()),
        ("KEYS.md", page::markdown()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::read_bytes;

    #[test]
    fn the_starter_is_without_any_problem() {
        let files = files();
        let tables = |name: &str| {
            let found = files.iter().find(|(file, _)| *file == name);
            found
                .map(|(_, text)| text.clone().into_bytes())
                .ok_or_else(|| "not there".to_owned())
        };
        let checked = read_bytes(files[0].0, files[0].1.as_bytes(), &tables);
        assert_eq!(checked.problems.0, []);
        let scenario = checked.scenario.unwrap();
        assert_eq!((scenario.fields.len(), scenario.weather.len()), (7, 73));
    }
}
