//! Sets of keys that say the same thing in different ways.

use super::words::words_and;
use super::{Walk, Written};
use crate::scenario::codes;
use crate::scenario::gather::At;
use crate::scenario::keys::Group;
use crate::scenario::tree::Spot;
use serde_json::{Map, Value as Json};

impl Walk<'_> {
    /// Takes the one set that is written, or the default, and brings it into the completed form.
    pub(super) fn group(
        &mut self,
        written: &Written,
        group: &'static Group,
        entry: &mut Map<String, Json>,
    ) {
        let names = || group.sets.iter().flat_map(|set| set.iter().copied());
        let given: Vec<&str> = names()
            .filter(|name| written.pairs.contains_key(name))
            .collect();
        let sound = if given.is_empty() {
            self.none_given(written, group, entry)
        } else {
            self.some_given(written, group, &given)
        };
        // A value that is a problem itself leaves a hole.
        if !sound || !given.iter().all(|name| entry.contains_key(*name)) {
            for name in names() {
                self.gather.mark_bad(&written.join(name));
                entry.remove(name);
            }
            for name in group.sets.first().copied().unwrap_or_default() {
                let Some(key) = written.table.get(name) else {
                    continue;
                };
                let value = self.stand_in(&key.what, &written.join(name), written.here);
                entry.insert((*name).to_owned(), value);
            }
        }
        (group.shape)(entry);
    }

    /// Takes the default. False when there is none, which is told.
    fn none_given(
        &mut self,
        written: &Written,
        group: &'static Group,
        entry: &mut Map<String, Json>,
    ) -> bool {
        let here = written.here;
        let mut names = group.sets.iter().flat_map(|set| set.iter().copied());
        if here.silent
            || names
                .clone()
                .any(|name| self.gather.is_bad(&written.join(name)))
        {
            return false;
        }
        let stands = |name: &&str| written.pairs.contains_key(*name);
        if !group.unless.is_empty() && group.unless.iter().all(stands) {
            return group.unless.iter().all(|name| entry.contains_key(*name));
        }
        for (name, text, source) in group.default {
            let Some(key) = written.table.get(name) else {
                continue;
            };
            let value = self.default(written, key, text, source);
            entry.insert((*name).to_owned(), value);
        }
        if !group.default.is_empty() {
            return true;
        }
        let no_column = here
            .columns
            .is_some_and(|columns| !names.any(|name| columns.contains(name)));
        let message = format!("{}: nothing is given", group.meaning);
        if !no_column {
            self.gather
                .error(codes::MISSING_KEY, written.at(), written.shown(), message)
                .expected(ways(group));
        } else if self.told.insert(here.source) {
            let at = At {
                source: here.source,
                spot: Some(Spot::Line(1)),
            };
            self.gather
                .error(codes::MISSING_COLUMN, at, None, message)
                .expected(ways(group));
        }
        false
    }

    /// False when the keys given are not one whole set, which is told.
    fn some_given(&mut self, written: &Written, group: &'static Group, given: &[&str]) -> bool {
        let begun = |set: &&&[&str]| set.iter().any(|name| given.contains(name));
        let message = match group.sets.iter().filter(begun).collect::<Vec<_>>()[..] {
            [set] => {
                let left_out: Vec<&str> = set
                    .iter()
                    .filter(|name| !given.contains(name))
                    .copied()
                    .collect();
                if left_out.is_empty() {
                    return true;
                }
                if left_out
                    .iter()
                    .any(|name| self.gather.is_bad(&written.join(name)))
                {
                    return false;
                }
                let verb = if given.len() == 1 { "needs" } else { "need" };
                format!("{} {verb} {} too", words_and(given), words_and(&left_out))
            }
            _ => format!("{} exclude each other", words_and(given)),
        };
        self.gather
            .error(codes::ALTERNATIVES, written.at(), written.shown(), message)
            .expected(ways(group));
        false
    }
}

impl Written<'_> {
    /// Path of the object; in a table the line says enough.
    fn shown(&self) -> Option<&str> {
        (!self.path.is_empty() && self.here.columns.is_none()).then_some(self.path)
    }
}

fn ways(group: &Group) -> String {
    let unless = (!group.unless.is_empty()).then_some(&group.unless);
    let ways = group.sets.iter().chain(unless);
    ways.map(|set| words_and(set))
        .collect::<Vec<_>>()
        .join(", or ")
}
