//! Lists and tables.

use super::words::{found, join, short};
use super::{Here, Walk};
use crate::scenario::gather::At;
use crate::scenario::keys::{Key, Table, What};
use crate::scenario::tree::{Node, Value};
use crate::scenario::{codes, table};
use serde_json::Value as Json;

/// Most plain values in a list, such as closed days.
pub(super) const MOST_VALUES: usize = 2_000;
/// Most objects in a list.
const MOST_ENTRIES: usize = 100_000;

impl Walk<'_> {
    /// A list of plain values, each at most once.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn list(
        &mut self,
        node: &Node,
        nodes: &[Node],
        least: usize,
        key: &Key,
        path: &str,
        here: Here,
        one: impl Fn(&mut Self, &Node, &str) -> Option<Json>,
    ) -> Option<Json> {
        self.long_enough(node, (nodes.len(), least, MOST_VALUES), key, path, here)?;
        let mut values = Vec::new();
        for (index, node) in nodes.iter().enumerate() {
            let path = format!("{path}[{index}]");
            match one(self, node, &path) {
                Some(value) if values.contains(&value) => {
                    let message = format!(
                        "{} is there twice",
                        found(node).trim_start_matches("found ")
                    );
                    self.tell(node, &path, here, codes::DOUBLE_VALUE, message, None, None);
                }
                Some(value) => values.push(value),
                None => self.gather.mark_bad(&path),
            }
        }
        Some(Json::Array(values))
    }

    pub(super) fn long_enough(
        &mut self,
        node: &Node,
        (count, least, most): (usize, usize, usize),
        key: &Key,
        path: &str,
        here: Here,
    ) -> Option<()> {
        let (message, bound) = if count < least {
            ("the list is empty".to_owned(), format!("at least {least}"))
        } else if count > most {
            (format!("a list of {count}"), format!("at most {most}"))
        } else {
            return Some(());
        };
        let expected = Some(format!("{bound}: {}", key.meaning));
        self.tell(
            node,
            path,
            here,
            codes::LIST_LENGTH,
            message,
            expected,
            None,
        );
        None
    }

    pub(super) fn entries(
        &mut self,
        node: &Node,
        nodes: &[Node],
        (table, least): (&'static Table, usize),
        key: &Key,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        self.long_enough(node, (nodes.len(), least, MOST_ENTRIES), key, path, here)?;
        let mut entries = Vec::new();
        for (index, node) in nodes.iter().enumerate() {
            let path = format!("{path}[{index}]");
            self.gather.stands(
                &path,
                At {
                    source: here.source,
                    spot: Some(node.spot),
                },
                &path,
            );
            if let Value::Object(_) = node.value {
                entries.push(Json::Object(self.object(node, table, &path, here)));
            } else {
                let expected = format!("an object: one {}", table.one);
                self.tell(
                    node,
                    &path,
                    here,
                    codes::WRONG_TYPE,
                    found(node),
                    Some(expected),
                    None,
                );
                self.gather.mark_bad(&path);
                entries.push(self.stand_in(&What::Object(table), &path, here));
            }
        }
        Some(Json::Array(entries))
    }

    pub(super) fn table(
        &mut self,
        node: &Node,
        name: &str,
        table: &'static Table,
        path: &str,
        here: Here,
    ) -> Option<Json> {
        let sound = !name.is_empty()
            && !name.contains(['\\', ':'])
            && name
                .split('/')
                .all(|part| !part.is_empty() && part != "." && part != "..");
        let fault = if sound {
            match (self.tables)(name) {
                Ok(bytes) => return self.table_rows(name, &bytes, table, path),
                Err(reason) => reason,
            }
        } else {
            "only files beside the scenario may be named".to_owned()
        };
        let message = format!("cannot read the table `{}`: {fault}", short(name));
        let expected = Some("the name of a CSV file beside the scenario".to_owned());
        self.tell(
            node,
            path,
            here,
            codes::TABLE_UNREADABLE,
            message,
            expected,
            None,
        );
        None
    }

    pub(super) fn table_rows(
        &mut self,
        name: &str,
        bytes: &[u8],
        table: &'static Table,
        path: &str,
    ) -> Option<Json> {
        let read = table::rows(&mut self.gather, name, bytes, table)?;
        let here = Here {
            source: read.source,
            columns: Some(&read.columns),
            listed: false,
            silent: false,
        };
        let mut entries = Vec::new();
        for (index, node) in read.rows.iter().enumerate() {
            let path = format!("{path}[{index}]");
            self.gather.stands(
                &path,
                At {
                    source: read.source,
                    spot: Some(node.spot),
                },
                &path,
            );
            for name in &read.meant {
                self.gather.mark_bad(&join(&path, name));
            }
            entries.push(Json::Object(self.object(node, table, &path, here)));
        }
        Some(Json::Array(entries))
    }
}
