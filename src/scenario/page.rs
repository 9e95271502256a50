//! The page of keys for people, in Markdown, generated from the table of keys.

use super::keys::{Key, Need, SCENARIO, Table, What};

/// One heading and one table for each kind of object, in the order of the file.
pub fn markdown() -> String {
    let mut page = String::from(
        "# Keys of a scenario\n\n\
         A scenario is a folder with `nursery.json`, or that file alone. It is plain JSON: no comments,\n\
         no comma before a closing bracket. Days are written 2027-05-08, spans of days with both ends\n\
         included 2027-05-08/2027-05-11. `fields`, `weather`, `closed_days` and `staff` may be CSV files\n\
         beside it, named in their place, with the keys below as columns; in a cell, several spans or ids\n\
         have a space between them, and an empty cell is a key left out. Numbers are taken exactly as written:\n\
         more decimals than a key keeps are a problem, not rounded.\n",
    );
    section(&mut page, "", &SCENARIO);
    page.push_str("\n## Codes of problems\n\n| code | meaning |\n|---|---|\n");
    for (code, meaning) in super::codes::ALL {
        page.push_str(&format!("| {code} | {meaning} |\n"));
    }
    page
}

fn section(page: &mut String, path: &str, table: &'static Table) {
    let title = if path.is_empty() {
        "The whole file".to_owned()
    } else {
        format!("`{path}`: one {}", table.one)
    };
    page.push_str(&format!("\n## {title}\n\n"));
    for group in table.groups {
        let sets: Vec<String> = group
            .sets
            .iter()
            .chain((!group.unless.is_empty()).then_some(&group.unless))
            .map(|set| format!("`{}`", set.join("`, `")))
            .collect();
        page.push_str(&format!(
            "For {} write either {}.\n\n",
            group.meaning,
            sets.join(", or ")
        ));
    }
    page.push_str("| key | meaning | holds | left out |\n|---|---|---|---|\n");
    for key in table.keys {
        let holds = key.what.words(key.unit).replace('|', "\\|");
        page.push_str(&format!(
            "| `{}` | {} | {holds} | {} |\n",
            key.name,
            key.meaning,
            left_out(table, key)
        ));
    }
    for key in table.keys {
        let inner = if path.is_empty() {
            key.name.to_owned()
        } else {
            format!("{path}.{}", key.name)
        };
        match key.what {
            What::Object(of) => section(page, &inner, of),
            What::List { of, .. } | What::Rows { of, .. } => {
                section(page, &format!("{inner}[]"), of)
            }
            What::Weather(constant, row) => {
                section(page, &inner, constant);
                section(page, &format!("{inner}[]"), row);
            }
            _ => {}
        }
    }
}

fn left_out(table: &Table, key: &Key) -> String {
    match key.need {
        Need::Required => "must be there".to_owned(),
        Need::Optional => "none".to_owned(),
        Need::Grouped => {
            let group = table.group_of(key.name);
            let default =
                group.and_then(|group| group.default.iter().find(|(name, ..)| *name == key.name));
            match default {
                Some((_, value, source)) => {
                    format!("{value} if the others are left out too ({source})")
                }
                None => "see above".to_owned(),
            }
        }
        Need::Default(_, "") => "the defaults of its keys".to_owned(),
        Need::Default(value, source) => format!("`{value}` ({source})"),
        Need::Follows { rule, source, .. } => format!("{rule} ({source})"),
        Need::Unless { rule, .. } => format!("{rule}; else it must be there"),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_row_has_four_cells_and_the_sections_are_there() {
        let whole = super::markdown();
        let page = whole.split("## Codes").next().unwrap();
        for line in page.lines().filter(|line| line.starts_with('|')) {
            assert_eq!(line.replace("\\|", "").matches('|').count(), 5, "{line}");
        }
        for heading in [
            "## `kinds[].age`",
            "## `fields[]`",
            "## `work.care`",
            "## `beds[].temperature`",
        ] {
            assert!(page.contains(heading), "{heading}");
        }
    }
}
