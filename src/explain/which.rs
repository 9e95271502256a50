//! Which part of which field somebody means.

use crate::plan::Plan;
use crate::scenario::{nearest, trays};

/// Why there is no such part to explain.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoSuchPart {
    /// No field has that name.
    #[error("the plan has no field `{field}`{}", meant(.near))]
    Field {
        /// As written.
        field: String,
        /// The nearest name, when it is near enough to be a slip.
        near: Option<String>,
    },
    /// The order is not firm.
    #[error("the order of `{0}` is not firm: nothing is planned for it")]
    NotFirm(String),
    /// Several parts, and none named.
    #[error("`{field}` has the parts {}\n  help: say which with --part", list(.parts))]
    Several {
        /// Field.
        field: String,
        /// Its parts.
        parts: Vec<u32>,
    },
    /// No such part.
    #[error("`{field}` has no part {part} to be grown{}", others(.parts))]
    Part {
        /// Field.
        field: String,
        /// As written.
        part: u32,
        /// Its parts.
        parts: Vec<u32>,
    },
}

fn meant(near: &Option<String>) -> String {
    near.as_ref().map_or(String::new(), |near| {
        format!("\n  help: did you mean `{near}`?")
    })
}

fn list(parts: &[u32]) -> String {
    let parts: Vec<String> = parts.iter().map(u32::to_string).collect();
    match parts.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
        None => String::new(),
    }
}

fn others(parts: &[u32]) -> String {
    match parts {
        [] => ": all of it has been served".into(),
        [one] => format!("\n  help: its part is {one}"),
        many => format!("\n  help: its parts are {}", list(many)),
    }
}

/// The part that is meant: without one named, the only one of its field.
///
/// # Errors
/// [`NoSuchPart`], with the nearest name or the parts that there are.
pub fn which(plan: &Plan, field: &str, part: Option<u32>) -> Result<u32, NoSuchPart> {
    let scenario = &plan.scenario;
    let Some(found) = scenario.fields.iter().find(|one| one.id == field) else {
        if scenario.not_firm.iter().any(|one| one.id == field) {
            return Err(NoSuchPart::NotFirm(field.into()));
        }
        let names = scenario.fields.iter().map(|field| field.id.as_str());
        return Err(NoSuchPart::Field {
            field: field.into(),
            near: nearest(field, names).map(str::to_string),
        });
    };
    let ordered = trays::of_field_known(found, &scenario.opening.parts);
    let parts = ordered.trays.iter().zip(1..);
    let parts: Vec<u32> = parts
        .filter(|(trays, _)| **trays > 0)
        .map(|(_, part)| part)
        .collect();
    match (part, &parts[..]) {
        (Some(part), _) if parts.contains(&part) => Ok(part),
        (Some(part), _) => Err(NoSuchPart::Part {
            field: field.into(),
            part,
            parts,
        }),
        (None, [one]) => Ok(*one),
        (None, []) => Err(NoSuchPart::Part {
            field: field.into(),
            part: 1,
            parts,
        }),
        (None, _) => Err(NoSuchPart::Several {
            field: field.into(),
            parts,
        }),
    }
}
