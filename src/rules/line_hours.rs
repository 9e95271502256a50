//! A line is worked no longer than its hours.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Taking, Unit, What, on_days};
use crate::nursery::Nursery;
use crate::quantities::{line_time, tray_ms};
use crate::scenario::Line;
use crate::units::Span;

/// What it holds: on each day, trays × time a tray (trial trays too) + set-ups ≤ hours of the line, in milliseconds.
///
/// Why: the line's shift ends. Source of the two rates (set rate and share really run): common practice, no source.
pub(super) struct LineHours;

static META: RuleMeta = RuleMeta {
    name: super::LINE_HOURS,
    promise: "a line is worked no longer than its hours",
};

impl Rule for LineHours {
    fn meta(&self) -> &'static RuleMeta {
        &META
    }

    fn resources(&self, nursery: &Nursery, _earlier: &[Resource]) -> Vec<Resource> {
        let calendar = &nursery.scenario.calendars.line;
        let supply = |line: &Line| -> Supply {
            on_days(nursery, |day| {
                if calendar.works(day) {
                    Span::hours(line.hours_on(day)).0
                } else {
                    0
                }
            })
        };
        let lines = nursery.scenario.lines.iter();
        lines
            .map(|line| Resource {
                rule: 0,
                label: format!("line `{}`", line.id),
                unit: Unit::Milliseconds,
                supply: supply(line),
                per_tray: tray_ms(line, ""),
            })
            .collect()
    }

    fn postings(&self, nursery: &Nursery, at: usize, what: What<'_>, out: &mut Vec<Posting>) {
        let (run, trays) = match what {
            What::Option(option) => (option.run, nursery.lot(option.lot).trays),
            What::Run(id) => (id, nursery.trial_trays(id)),
            What::SetUp(line, day) => {
                out.push(Posting {
                    resource: at + line,
                    taking: Taking::Take(day),
                    amount: 1,
                });
                return;
            }
            What::Stack(..) | What::Bag(_) | What::TrialIn(..) => return,
        };
        let run = nursery.run(run);
        if let Some(line) = run.line() {
            let kind = &nursery.scenario.kinds[run.kind].id;
            let time = line_time(&nursery.scenario.lines[line], kind, trays, 1).0;
            let line = at + line;
            out.extend(Posting::on(nursery, line, run.sow, Taking::Take, time));
        }
    }
}
