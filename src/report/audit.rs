//! The audit in plain words at 80 columns, and as JSON for machines.

use super::text::{WIDTH, count, trays, wrap};
use crate::audit::codes::title;
use crate::audit::{Audit, Breach, Fullest, Ledger};
use crate::plan::types::{Plan, Shortfall};
use crate::scenario::Scenario;
use crate::units::{Fixed, Hours, Money};
use serde::Serialize;
use std::collections::BTreeMap;
use unicode_width::UnicodeWidthStr;

/// Breaches printed of each rule when not all are wanted.
const SOME: usize = 4;
/// The mark of the JSON.
pub const FORMAT: &str = "sowrota-audit/1";

/// What an audit is told with.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// The plan that was audited.
    pub plan: &'a Plan,
    /// The scenario that it was counted on.
    pub scenario: &'a Scenario,
    /// The plan's file as the user named it.
    pub file: &'a str,
    /// What was found.
    pub audit: &'a Audit,
}

/// The audit as text, every line ended; `all` prints every breach.
pub fn text(told: Told, all: bool) -> String {
    let mut page = Page::default();
    let Told {
        plan,
        scenario,
        file,
        audit,
    } = told;
    page.wrap(
        "",
        &format!(
            "{}: plan {} of `{file}`, counted day by day",
            scenario.name, plan.revision
        ),
    );
    let (runs, deliveries) = (plan.runs.len(), plan.deliveries.len());
    page.wrap(
        "",
        &format!("{}, {runs} runs, {deliveries} deliveries", scenario.horizon),
    );
    if plan.scenario != *scenario {
        page.wrap(
            "",
            "note: counted on another scenario than the one that the plan was made for",
        );
    }
    breaches(&mut page, &audit.breaches, all);
    shortfalls(&mut page, &plan.shortfalls, all);
    cost(&mut page, told);
    fullest(&mut page, &audit.fullest);
    page.text
}

/// Only what breaks a rule, some of each.
pub fn breaches_text(audit: &Audit) -> String {
    let mut page = Page::default();
    breaches(&mut page, &audit.breaches, false);
    page.text
}

/// Only the fullest day of each ledger.
pub fn fullest_text(audit: &Audit) -> String {
    let mut page = Page::default();
    fullest(&mut page, &audit.fullest);
    page.text
}

#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    fn head(&mut self, line: &str) {
        self.text.push('\n');
        self.line(line);
    }

    /// `words` behind `mark`, broken between words; later lines are indented as wide as the mark.
    fn wrap(&mut self, mark: &str, words: &str) {
        let rest = " ".repeat(mark.width());
        self.text.push_str(&wrap(mark, &rest, words));
    }
}

fn breaches(page: &mut Page, breaches: &[Breach], all: bool) {
    let mut by_code: BTreeMap<&str, Vec<&Breach>> = BTreeMap::new();
    for breach in breaches {
        by_code.entry(breach.code).or_default().push(breach);
    }
    if by_code.is_empty() {
        page.head("it breaks no rule");
        return;
    }
    let rules = count(by_code.len(), "rule", "rules");
    page.head(&format!(
        "it breaks {rules}, in {}",
        count(breaches.len(), "place", "places")
    ));
    for (code, group) in by_code {
        page.wrap(&format!("{code} "), title(code));
        let shown = if all || group.len() <= SOME + 1 {
            group.len()
        } else {
            SOME
        };
        for breach in &group[..shown] {
            page.wrap("  - ", &breach.what);
        }
        if shown < group.len() {
            page.line(&format!("    and {} more", group.len() - shown));
        }
    }
}

fn shortfalls(page: &mut Page, shortfalls: &[Shortfall], all: bool) {
    if shortfalls.is_empty() {
        return;
    }
    let all_trays: i64 = shortfalls
        .iter()
        .map(|short| short.trays)
        .fold(0, i64::saturating_add);
    page.head(&format!(
        "not grown, as the plan says: {}",
        trays(all_trays)
    ));
    let shown = if all || shortfalls.len() <= SOME + 1 {
        shortfalls.len()
    } else {
        SOME
    };
    for short in &shortfalls[..shown] {
        let what = format!(
            "field `{}`, part {}: {}, {}",
            short.field,
            short.part,
            trays(short.trays),
            short.reason
        );
        page.wrap("  - ", &what);
    }
    if shown < shortfalls.len() {
        page.line(&format!("    and {} more", shortfalls.len() - shown));
    }
}

fn cost(page: &mut Page, told: Told) {
    let (counted, stated) = (&told.audit.cost, &told.plan.cost);
    page.head(&format!("what it costs ({})", told.scenario.currency));
    let nothing = Money::ZERO;
    for (name, counted, stated) in [
        ("age off the target", counted.age, stated.age),
        (
            "days off the preferred day",
            counted.off_preferred,
            stated.off_preferred,
        ),
        ("waiting at field edges", counted.edge, stated.edge),
        ("moves between beds", counted.moves, stated.moves),
        ("further runs of a field", counted.splits, stated.splits),
        ("set-ups", counted.set_ups, stated.set_ups),
        ("overtime", counted.overtime, stated.overtime),
        ("days off worked", counted.rest_days, stated.rest_days),
        ("people hired", counted.casuals, stated.casuals),
        ("hiring and releasing", counted.changes, stated.changes),
        ("planting days moved", counted.moved, stated.moved),
        ("together", counted.total, stated.total),
    ] {
        let seldom = [
            "waiting at field edges",
            "moves between beds",
            "further runs of a field",
            "people hired",
            "hiring and releasing",
            "planting days moved",
        ];
        if seldom.contains(&name) && counted == nothing && stated == nothing {
            continue;
        }
        let differs = if counted == stated {
            String::new()
        } else {
            format!("  (the plan states {stated})")
        };
        page.line(&format!("  {name:<28}{:>14}{differs}", counted.to_string()));
    }
    let price = format!("at {} each", counted.short_per_tray);
    page.line(&format!(
        "  {:<28}{:>14}  {price}",
        "trays short, apart", counted.trays_short
    ));
    let plain = i128::from(counted.trays_short) * i128::from(counted.short_per_tray.0);
    if let Some(shortage) = counted.shortage.filter(|all| i128::from(all.0) != plain) {
        let name = "  all of them, as shared";
        page.line(&format!("  {name:<28}{:>14}", shortage.to_string()));
    }
}

fn fullest(page: &mut Page, fullest: &[Fullest]) {
    if fullest.is_empty() {
        return;
    }
    page.head("the fullest day of each");
    for one in fullest {
        let (name, used, there) = said(one);
        let share = i128::from(one.used) * 100 / i128::from(one.there.max(1));
        let share = if one.there > 0 {
            format!("{share} %")
        } else {
            "none there".to_string()
        };
        let line = format!(
            "  {name:<17}{:<14}{}  {used} of {there}, {share}",
            one.id, one.day
        );
        if line.width() > WIDTH {
            page.wrap("  ", line.trim_start());
        } else {
            page.line(&line);
        }
    }
}

/// Name of the ledger, used and there with their unit.
fn said(one: &Fullest) -> (&'static str, String, String) {
    let hours = |ms: i64| {
        Hours {
            0: crate::units::div_near(ms / 1_000, 36),
        }
        .to_string()
    };
    let (used, there) = (one.used, one.there);
    match one.ledger {
        Ledger::LineHours => ("line hours", hours(used), format!("{} h", hours(there))),
        Ledger::StackPlaces => ("stack places", used.to_string(), format!("{there} stacks")),
        Ledger::BedFloor => ("bed floor", used.to_string(), format!("{there} trays")),
        Ledger::TraysInUse => (
            "trays not clean",
            used.to_string(),
            format!("{there} trays"),
        ),
        Ledger::CrewHours => ("crew hours", hours(used), format!("{} h", hours(there))),
        Ledger::PlantingMachine => ("planting", hours(used), format!("{} h", hours(there))),
        Ledger::SoakedSeed => kilos("soaked seed", used, there),
        Ledger::SeedStore => kilos("seed store", used, there),
        Ledger::SoilStore => {
            let litres = |micro: i64| Fixed::<6>(micro).to_string();
            ("soil store", litres(used), format!("{} L", litres(there)))
        }
        Ledger::Water => {
            let litres = |hundredths: i64| Fixed::<2>(hundredths).to_string();
            ("water", litres(used), format!("{} L", litres(there)))
        }
        Ledger::Tank => kilos("soaking tank", used, there),
        Ledger::Vehicles => ("vehicles", used.to_string(), format!("{there} trays")),
        Ledger::FleetDay => {
            // Millionths are ten-thousandths of a percent.
            let percent = |millionths: i64| Fixed::<4>(millionths).to_string();
            ("vehicles", percent(used), format!("{} %", percent(there)))
        }
        Ledger::AgentStore => {
            let millilitres = |small: i64| Fixed::<5>(small).to_string();
            (
                "agent store",
                millilitres(used),
                format!("{} mL", millilitres(there)),
            )
        }
    }
}

/// Tenths of a gram in kilograms.
fn kilos(name: &'static str, used: i64, there: i64) -> (&'static str, String, String) {
    let kilos = |tenths: i64| Fixed::<4>(tenths).to_string();
    (name, kilos(used), format!("{} kg", kilos(there)))
}

/// The audit for machines: format, file, breaches, shortfalls as the plan lists them, cost, fullest days.
///
/// # Errors
/// None that a plan can cause; those of the JSON writer.
pub fn json(told: Told) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Page<'a> {
        format: &'static str,
        plan: &'a str,
        shortfalls: &'a [Shortfall],
        #[serde(flatten)]
        audit: &'a Audit,
    }
    let page = Page {
        format: FORMAT,
        plan: told.file,
        shortfalls: &told.plan.shortfalls,
        audit: told.audit,
    };
    serde_json::to_string_pretty(&page)
}
