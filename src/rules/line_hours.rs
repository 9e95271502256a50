//! A line is worked no longer than its hours.

use super::{Posting, Resource, Rule, RuleMeta, Supply, Taking, Unit, What, on_days};
use crate::nursery::{Nursery, RunSource};
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
        match what {
            What::Option(option) => {
                let run = nursery.run(option.run);
                if let RunSource::Line { line, .. } = run.source {
                    let trays = nursery.lot(option.lot).trays;
                    let kind = &nursery.scenario.kinds[run.kind].id;
                    let amount = line_time(&nursery.scenario.lines[line], kind, trays, 1).0;
                    out.extend(Posting::on(
                        nursery,
                        at + line,
                        run.sow,
                        Taking::Take,
                        amount,
                    ));
                }
            }
            What::Run(id) => {
                let run = nursery.run(id);
                if let RunSource::Line { line, .. } = run.source {
                    let own = &nursery.scenario.lines[line];
                    let kind = &nursery.scenario.kinds[run.kind].id;
                    let amount = line_time(own, kind, own.trial_trays, 1).0;
                    out.extend(Posting::on(
                        nursery,
                        at + line,
                        run.sow,
                        Taking::Take,
                        amount,
                    ));
                }
            }
            What::SetUp(line, day) => {
                out.push(Posting {
                    resource: at + line,
                    taking: Taking::Take(day),
                    amount: 1,
                });
            }
            What::Stack(..) | What::Bag(_) | What::TrialIn(..) => {}
        }
    }
}
