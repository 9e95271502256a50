//! Names of runs: what stands keeps the name that is written on it, new runs count on.

use crate::nursery::{Nursery, RunSource};
use std::collections::BTreeSet;

/// Names of the runs of a plan, in its order, each once: `R001`, `R002`, … beyond the greatest number that a batch of the opening has.
/// A label that stands for two runs is told apart by `R017`, `R017.2`.
pub(super) fn of(nursery: &Nursery, runs: &[usize]) -> Vec<String> {
    let opening = &nursery.scenario.opening.sown;
    let label = |run: usize| match nursery.runs[run].source {
        RunSource::Standing(entry) => opening[entry].run.as_deref(),
        RunSource::Line { .. } | RunSource::Handed(_) => None,
    };
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let mut next = opening
        .iter()
        .filter_map(|sown| number(sown.run.as_deref()?))
        .max()
        .unwrap_or(0);
    let labelled: Vec<Option<String>> = runs
        .iter()
        .map(|run| {
            let label = label(*run)?;
            let again = (2..).map(|nth| format!("{label}.{nth}"));
            let name = std::iter::once(label.to_string())
                .chain(again)
                .find(|name| !taken.contains(name))?;
            taken.insert(name.clone());
            Some(name)
        })
        .collect();
    let mut fresh = || loop {
        next += 1;
        let name = format!("R{next:03}");
        if !taken.contains(&name) {
            return name;
        }
    };
    labelled
        .into_iter()
        .map(|name| name.unwrap_or_else(&mut fresh))
        .collect()
}

/// The number in a name such as `R017` or `R017.2`; none of one that has another form, or so large that none could follow.
fn number(label: &str) -> Option<u32> {
    let digits = label.strip_prefix('R')?.split('.').next()?;
    digits.parse().ok().filter(|number| *number < 1_000_000)
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn numbers_of_names() {
        assert_eq!(number("R017"), Some(17));
        assert_eq!(number("R017.2"), Some(17));
        assert_eq!(number("R9999999999"), None);
        assert_eq!(number("late"), None);
    }
}
