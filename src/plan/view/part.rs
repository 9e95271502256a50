//! What a part of a field asks of the days between its stack and its planting: stage, rows, days, what is left of it.

use super::{PartView, PlanError};
use crate::calendar::{Day, DayRange};
use crate::scenario::{Bed, Grower, HandOver, Scenario};
use crate::units::{Minutes, div_up};

impl<'a> PartView<'a> {
    /// `F03`, or `F03 part 2` when the field has several parts.
    pub fn name(&self) -> String {
        if self.field.parts > 1 {
            format!("{} part {}", self.field.id, self.delivery.part)
        } else {
            self.field.id.clone()
        }
    }

    /// Seedlings name all their places, sprouted trays the one of their stack, seed none.
    pub(super) fn names_its_places(&self, name: &str) -> Result<(), PlanError> {
        let seedlings = self.field.stage == HandOver::Seedlings;
        let needs = [
            (
                self.field.stage != HandOver::SoakedSeed,
                self.place.is_some(),
                "germination place",
            ),
            (seedlings, self.green_bed.is_some(), "green bed"),
            (seedlings, self.harden_bed.is_some(), "harden bed"),
        ];
        match needs.iter().find(|(needed, there, _)| *needed && !there) {
            Some((_, _, what)) => Err(PlanError::Missing {
                by: name.to_string(),
                what,
            }),
            None => Ok(()),
        }
    }

    /// True of seed that leaves without a tray.
    pub fn is_seed(&self) -> bool {
        self.field.stage == HandOver::SoakedSeed
    }

    /// True of trays that leave on the day on which their stack is opened.
    pub fn is_sprouted(&self) -> bool {
        self.field.stage == HandOver::Sprouted
    }

    /// True when somebody plants what leaves: not the pooled spare, nor what leaves before it is a seedling.
    pub fn is_planted(&self) -> bool {
        self.field.stage == HandOver::Seedlings && !self.field.spare
    }

    /// True when we load it and send it.
    pub fn is_loaded(&self) -> bool {
        !self.field.collected && !self.is_seed() && !self.field.spare
    }

    /// Trays that stand in no stack and bed after the others have left.
    pub fn lost(&self) -> i64 {
        (self.delivery.sown() - self.delivery.trays).max(0)
    }

    /// The bed in which it stands on the evening of `day`, and the rows there.
    pub fn bed_on(&self, day: Day) -> Option<(&'a Bed, &'a [u32])> {
        let d = self.delivery;
        if day < d.open || d.leaves() <= day {
            return None;
        }
        self.bed(day >= d.harden)
    }

    /// The bed in which it stands on the morning of `day`, before any work, and the rows there.
    pub fn bed_in_the_morning(&self, day: Day) -> Option<(&'a Bed, &'a [u32])> {
        let d = self.delivery;
        if day <= d.open || d.leaves() < day {
            return None;
        }
        self.bed(day > d.harden)
    }

    /// The second bed or the first, with its rows.
    pub fn bed(&self, harden: bool) -> Option<(&'a Bed, &'a [u32])> {
        let d = self.delivery;
        let second = harden && self.moves();
        let rows = if second {
            &d.harden_rows
        } else {
            &d.green_rows
        };
        let bed = if harden {
            self.harden_bed
        } else {
            self.green_bed
        };
        Some((bed?, rows))
    }

    /// True when it hardens in another bed than that of the first cover.
    pub fn moves(&self) -> bool {
        self.delivery.green_bed != self.delivery.harden_bed
    }

    /// Days on which it may be planted or handed over, first and last of all spans taken together; none: no bound.
    pub fn days(&self, scenario: &Scenario) -> (Option<Day>, Option<Day>) {
        let field = self.field;
        let window = field.window.iter();
        let (water, harvest) = (self.water(scenario), field.harvest_before);
        let all = [
            (
                window.clone().map(|span| span.first).min(),
                window.map(|span| span.last).max(),
            ),
            (water.map(|span| span.first), water.map(|span| span.last)),
            (
                harvest.map(|day| day.plus(field.harvest_first_days)),
                harvest.and_then(|day| Some(day.plus(field.harvest_last_days?))),
            ),
        ];
        let first = all.iter().filter_map(|(first, _)| *first).max();
        (first, all.iter().filter_map(|(_, last)| *last).min())
    }

    /// Days that the water of its block leaves for planting.
    fn water(&self, scenario: &Scenario) -> Option<DayRange> {
        let id = self.field.block.as_ref()?;
        let block = scenario.blocks.iter().find(|block| block.id == *id)?;
        Some(DayRange {
            first: block.water.plus(block.first_days),
            last: block.water.plus(block.last_days),
        })
    }

    /// True when it may be planted or handed over on `day`: window, block, crop before, closed days, and the field ready.
    pub fn may_end_on(&self, scenario: &Scenario, day: Day) -> bool {
        let field = self.field;
        let (first, last) = self.days(scenario);
        let in_window =
            field.window.is_empty() || field.window.iter().any(|span| span.contains(day));
        in_window
            && field.ready
            && first.is_none_or(|first| first <= day)
            && last.is_none_or(|last| day <= last)
            && !field.closed.iter().any(|span| span.contains(day))
    }

    /// The grower, where the trays come back by a curve of their own.
    fn curve(&self, scenario: &'a Scenario) -> Option<&'a Grower> {
        let mut growers = scenario.growers.iter();
        growers.find(|grower| grower.id == self.field.grower && !grower.returns.is_empty())
    }

    /// Trays that are back, to be washed, by day: `docs/COUNTING.md`, "Trays". Those that were lost in the bed are not in it.
    pub fn back(&self, scenario: &'a Scenario) -> Vec<(Day, i64)> {
        let d = self.delivery;
        if self.is_seed() {
            return Vec::new();
        }
        if self.field.lifted || self.field.spare {
            return vec![(d.leaves().plus(1), d.trays)];
        }
        let Some(grower) = self.curve(scenario) else {
            let lost = div_up(d.trays * scenario.trays.loss.0, 1_000_000);
            return vec![(d.day.plus(scenario.trays.return_days), d.trays - lost)];
        };
        let mut before = 0;
        let points = grower.returns.iter().map(|point| {
            let by_then = d.trays * point.share.0 / 1_000_000;
            let more = by_then - before;
            before = by_then;
            (d.day.plus(point.days), more)
        });
        points.collect()
    }

    /// True when the trays come back by a curve, not all on one day.
    pub fn comes_back_by_and_by(&self, scenario: &Scenario) -> bool {
        self.fetched() && self.curve(scenario).is_some()
    }

    /// True when empty trays are fetched from the field.
    pub fn fetched(&self) -> bool {
        !self.is_seed() && !self.field.lifted && !self.field.spare
    }

    /// Minutes of the round trip that brings it there, if it is known.
    pub fn way_minutes(&self, scenario: &Scenario) -> Option<Minutes> {
        let id = self.field.travel_group.as_ref()?;
        let mut groups = scenario.travel_groups.iter();
        Some(groups.find(|group| group.id == *id)?.round_trip_minutes)
    }

    /// The name of the round trip that brings it there.
    pub fn travel_group(&self, scenario: &'a Scenario) -> Option<&'a str> {
        let id = self.field.travel_group.as_ref()?;
        let mut groups = scenario.travel_groups.iter();
        Some(groups.find(|group| group.id == *id)?.name.as_str())
    }
}
