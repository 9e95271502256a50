//! A plan without growers' names, for what is given to others: printed sheets and tables.

use crate::plan::Plan;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The plan with numbers in place of growers' names, the same number for the same grower on all days. Ids of fields and kinds stay.
///
/// # Arguments
/// * `named`: gives the text that stands for the n-th grower, from 1.
pub fn without_names(plan: &Plan, named: impl Fn(usize) -> String) -> Plan {
    let mut plan = plan.clone();
    let scenario = &mut plan.scenario;
    let mut known: BTreeMap<String, String> = BTreeMap::new();
    let fields = scenario.fields.iter_mut().chain(&mut scenario.not_firm);
    let growers = fields.map(|field| &mut field.grower);
    for name in growers.chain(scenario.growers.iter_mut().map(|grower| &mut grower.id)) {
        let next = known.len() + 1;
        *name = known
            .entry(name.clone())
            .or_insert_with(|| named(next))
            .clone();
    }
    // A name that holds another one goes before it.
    let mut known: Vec<(String, String)> = known.into_iter().collect();
    known.sort_by_key(|(name, _)| Reverse(name.len()));
    for kind in &mut scenario.kinds {
        for (name, number) in &known {
            kind.name = without_word(&kind.name, name, number);
        }
    }
    plan
}

/// `text` with `other` wherever `word` stands by itself.
fn without_word(text: &str, word: &str, other: &str) -> String {
    let letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(word).filter(|_| !word.is_empty()) {
        out.push_str(before);
        let inside = letter(out.chars().next_back()) || letter(after.chars().next());
        out.push_str(if inside { word } else { other });
        rest = after;
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::without_word;

    #[test]
    fn a_name_is_taken_out_of_other_names_where_it_stands_by_itself() {
        let text = without_word("Dervisk's own seed, Derviska", "Dervisk", "grower 4");
        assert_eq!(text, "grower 4's own seed, Derviska");
        assert_eq!(without_word("Early", "", "x"), "Early");
    }
}
