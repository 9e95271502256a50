//! What a plan has beside the orders: the pooled spare by kind, and order lines that nothing is grown for.

use crate::plan::Plan;
use crate::report::text::{count, number, trays};
use crate::scenario::{Field, OrderState, trays::of_field};
use std::collections::BTreeMap;

/// Order lines named one by one.
const MOST_NAMED: usize = 8;

/// One sentence each; none for what there is none of.
pub(super) fn lines(plan: &Plan, spare: &BTreeMap<&str, &str>) -> Vec<String> {
    let mut lines = Vec::new();
    let mut grown: BTreeMap<&str, i64> = BTreeMap::new();
    for delivery in &plan.deliveries {
        if let Some(kind) = spare.get(delivery.field.as_str()) {
            *grown.entry(kind).or_default() += delivery.trays;
        }
    }
    let kinds: Vec<String> = grown
        .iter()
        .map(|(kind, count)| format!("{kind} {}", trays(*count)))
        .collect();
    if !kinds.is_empty() {
        lines.push(format!("spare for whoever asks: {}", kinds.join(", ")));
    }
    let of = |state: OrderState| -> Vec<&Field> {
        let fields = plan.scenario.not_firm.iter();
        fields.filter(|field| field.state == state).collect()
    };
    let enquiries = of(OrderState::Enquiry);
    if !enquiries.is_empty() {
        let sum: i64 = enquiries.iter().map(|field| trays_of(field)).sum();
        lines.push(format!(
            "not planned: {} for {} trays ({})",
            count(enquiries.len(), "enquiry", "enquiries"),
            number(sum),
            names(&enquiries)
        ));
    }
    let cancelled = of(OrderState::Cancelled);
    if !cancelled.is_empty() {
        lines.push(format!(
            "cancelled: {} ({})",
            count(cancelled.len(), "order", "orders"),
            names(&cancelled)
        ));
    }
    lines
}

fn trays_of(field: &Field) -> i64 {
    field.trays.unwrap_or_else(|| of_field(field).total)
}

fn names(fields: &[&Field]) -> String {
    let named = fields.iter().take(MOST_NAMED);
    let mut names: Vec<String> = named.map(|field| field.id.clone()).collect();
    if fields.len() > MOST_NAMED {
        names.push(format!("{} more", fields.len() - MOST_NAMED));
    }
    names.join(", ")
}
