//! Names of a program's columns and rows, made of the scenario's own ids: for files that other programs read.

use super::program::{ColumnTag, Program, RowTag};
use super::state::Ground;
use crate::nursery::{LotId, OptionId, RunId};
use crate::rules::RULES;
use std::collections::BTreeSet;

/// Longest name: readers of the format take 255 signs.
const LONGEST: usize = 200;

/// Names of the columns, each once, ASCII without blanks: the same scenario gives the same.
pub fn columns(ground: &Ground<'_>, program: &Program) -> Vec<String> {
    let names = Names { ground };
    let all = program.columns.iter();
    once_each("column", all.map(|column| names.column(column.tag)))
}

/// Names of the rows, likewise.
pub fn rows(ground: &Ground<'_>, program: &Program) -> Vec<String> {
    let names = Names { ground };
    let all = program.rows.iter();
    once_each("row", all.map(|row| names.row(row.tag)))
}

/// `text` in letters, digits, `-`, `_` and `.` of ASCII; any other sign as `%` and two hexadecimal digits for each of its bytes.
///
/// Source: percent-encoding of RFC 3986, 2.1.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-_.".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

/// Names that are there already get a number behind them, those that are too long a number in place of their words.
fn once_each(what: &str, names: impl Iterator<Item = String>) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let mut all = Vec::new();
    for (at, name) in names.enumerate() {
        let name = if name.len() > LONGEST {
            format!("{what}.{}", at + 1)
        } else {
            name
        };
        let again = (2..).map(|nth| format!("{name}.{nth}"));
        let free = std::iter::once(name.clone())
            .chain(again)
            .find(|name| !taken.contains(name))
            .unwrap_or(name);
        taken.insert(free.clone());
        all.push(free);
    }
    all
}

struct Names<'g> {
    ground: &'g Ground<'g>,
}

impl Names<'_> {
    fn column(&self, tag: ColumnTag) -> String {
        match tag {
            ColumnTag::Grow(option) => self.option(option),
            ColumnTag::Short(lot) => join("short", &[self.lot(lot)]),
            ColumnTag::Run(run) => join("run", &[self.run(run)]),
            ColumnTag::Stacks(run, place) => join("stacks", &[self.run(run), self.place(place)]),
            ColumnTag::Sown(run, place) => join("sown", &[self.run(run), self.place(place)]),
            ColumnTag::Seed(run) => join("seed", &[self.run(run)]),
            ColumnTag::Bought(at, day) => join("bought", &[self.resource(at), self.day(day)]),
            ColumnTag::Casual(at, week) => join("hired", &[self.week(at, week)]),
            ColumnTag::Hired(at, week) => join("more", &[self.week(at, week)]),
            ColumnTag::Released(at, week) => join("fewer", &[self.week(at, week)]),
            ColumnTag::Held(at, day) => join("held", &[self.resource(at), self.day(day)]),
            ColumnTag::Clean(day) => join("clean", &[self.day(day)]),
            ColumnTag::Dirty(day) => join("dirty", &[self.day(day)]),
            ColumnTag::Washed(day) => join("washed", &[self.day(day)]),
            ColumnTag::Sows(line, day) => join("sows", &[self.line(line), self.day(day)]),
            ColumnTag::First(run) => join("first", &[self.run(run)]),
            ColumnTag::Next(run, next) => join("next", &[self.run(run), self.kind(next)]),
            ColumnTag::Turn(run) => join("turn", &[self.run(run)]),
            ColumnTag::Trial(run, place) => join("trial", &[self.run(run), self.place(place)]),
            ColumnTag::Band(grower, band) => join("band", &[self.grower(grower), band.to_string()]),
            ColumnTag::Draws(group, run) => join("draws", &[self.group(group), self.run(run)]),
            ColumnTag::Split(group) => join("split", &[self.group(group)]),
            ColumnTag::Regular(day) => join("regular", &[self.day(day)]),
            ColumnTag::Left(day) => join("left", &[self.day(day)]),
            ColumnTag::WashFull(day) => join("wash-full", &[self.day(day)]),
            ColumnTag::WashTime(day) => join("wash-time", &[self.day(day)]),
            ColumnTag::Level(at, week, people) => {
                join("level", &[self.week(at, week), people.to_string()])
            }
        }
    }

    fn row(&self, tag: RowTag) -> String {
        match tag {
            RowTag::Whole(lot) => join("whole", &[self.lot(lot)]),
            RowTag::Link(lot, run) => join("link", &[self.lot(lot), self.run(run)]),
            RowTag::Stacked(run, place) => join("stacked", &[self.run(run), self.place(place)]),
            RowTag::Sown(run, place) => join("sown", &[self.run(run), self.place(place)]),
            RowTag::Cut(number) => join("cut", &[number.to_string()]),
            RowTag::Branch => "branch".into(),
            RowTag::Seeded(run) => join("seeded", &[self.run(run)]),
            RowTag::StackedAll(run) => join("stacked-all", &[self.run(run)]),
            RowTag::Limit(at, day) => join("", &[self.resource(at), self.day(day)]),
            RowTag::Carry(at, day) => join("carry", &[self.resource(at), self.day(day)]),
            RowTag::Overtime(at, day) => join("overtime", &[self.resource(at), self.day(day)]),
            RowTag::Change(at, week) => join("change", &[self.week(at, week)]),
            RowTag::CarryClean(day) => join("carry-clean", &[self.day(day)]),
            RowTag::CarryDirty(day) => join("carry-dirty", &[self.day(day)]),
            RowTag::LeastRun(run) => join("least-run", &[self.run(run)]),
            RowTag::Summed(run) => join("summed", &[self.run(run)]),
            RowTag::RunsADay(line, day) => join("runs-a-day", &[self.line(line), self.day(day)]),
            RowTag::Sows(line, day) => join("sows", &[self.line(line), self.day(day)]),
            RowTag::SowsFor(run) => join("sows-for", &[self.run(run)]),
            RowTag::SownFirst(run) => join("sown-first", &[self.run(run)]),
            RowTag::OneFirst(line, day) => join("one-first", &[self.line(line), self.day(day)]),
            RowTag::SomeFirst(run) => join("some-first", &[self.run(run)]),
            RowTag::Into(run) => join("into", &[self.run(run)]),
            RowTag::OutOf(run) => join("out-of", &[self.run(run)]),
            RowTag::Turn(run, next) => join("turn", &[self.run(run), self.kind(next)]),
            RowTag::Order(line, day, set) => {
                join("order", &[self.line(line), self.day(day), set.to_string()])
            }
            RowTag::TrialOne(run) => join("trial-one", &[self.run(run)]),
            RowTag::TrialThere(run, place) => {
                join("trial-there", &[self.run(run), self.place(place)])
            }
            RowTag::TrialFirst(lot, run, place) => join(
                "trial-first",
                &[self.lot(lot), self.run(run), self.place(place)],
            ),
            RowTag::MostBought(at, day) => join("most-bought", &[self.resource(at), self.day(day)]),
            RowTag::WeekBought(at, week) => join("week-bought", &[self.week(at, week)]),
            RowTag::OneLevel(at, week) => join("one-level", &[self.week(at, week)]),
            RowTag::Levels(at, week) => join("levels", &[self.week(at, week)]),
            RowTag::Bands(grower) => join("bands", &[self.grower(grower)]),
            RowTag::Draws(lot, run) => join("draws", &[self.lot(lot), self.run(run)]),
            RowTag::Split(group) => join("split", &[self.group(group)]),
            RowTag::WashRegular(day) => join("wash-regular", &[self.day(day)]),
            RowTag::WashOn(day) => join("wash-on", &[self.day(day)]),
            RowTag::Left(day) => join("left", &[self.day(day)]),
            RowTag::WashFull(day) => join("wash-full", &[self.day(day)]),
            RowTag::WashTime(day) => join("wash-time", &[self.day(day)]),
            RowTag::WashAll(day) => join("wash-all", &[self.day(day)]),
        }
    }

    /// Field and part, sow day, line, places, and the days of leaving and planting; `-` for what it does not have.
    fn option(&self, id: OptionId) -> String {
        let nursery = self.ground.nursery;
        let option = nursery.option(id);
        let run = nursery.run(option.run);
        let bed = |bed: Option<usize>| bed.map(|bed| nursery.scenario.beds[bed].id.as_str());
        let route = option.route;
        let places = [
            run.line()
                .map(|line| nursery.scenario.lines[line].id.as_str()),
            route
                .germination
                .map(|place| nursery.scenario.germination[place].id.as_str()),
            bed(route.green_bed),
            bed(route.harden_bed),
        ];
        let mut parts = vec![self.lot(option.lot), run.sow.to_string()];
        parts.extend(places.map(|id| id.map_or_else(|| "-".to_string(), escaped)));
        parts.extend([option.leave.to_string(), option.plant.to_string()]);
        join("grow", &parts)
    }

    fn lot(&self, lot: LotId) -> String {
        let (field, part) = self.ground.nursery.part_of(lot);
        format!("{}.{part}", escaped(field))
    }

    fn kind(&self, run: RunId) -> String {
        let nursery = self.ground.nursery;
        escaped(&nursery.scenario.kinds[nursery.run(run).kind].id)
    }

    fn run(&self, id: RunId) -> String {
        let run = self.ground.nursery.run(id);
        let line = run
            .line()
            .map_or_else(|| "-".to_string(), |line| self.line(line));
        join("", &[self.kind(id), line, run.sow.to_string()])
    }

    fn line(&self, line: usize) -> String {
        escaped(&self.ground.nursery.scenario.lines[line].id)
    }

    fn place(&self, place: usize) -> String {
        escaped(&self.ground.nursery.scenario.germination[place].id)
    }

    fn day(&self, day: usize) -> String {
        self.ground.nursery.day(day).to_string()
    }

    /// The rule's name, and what stands between backticks in the resource's own.
    fn resource(&self, at: usize) -> String {
        let resource = &self.ground.books.resources[at];
        let rule = RULES[resource.rule].meta().name.replace(' ', "-");
        let ids = resource.label.split('`').skip(1).step_by(2);
        let mut parts = vec![rule];
        parts.extend(ids.map(escaped));
        join("", &parts)
    }

    /// A crew and a week, by the week's number in the calendar.
    fn week(&self, at: usize, week: usize) -> String {
        let weeks = self.ground.desks.of(at).map(|(_, weeks)| weeks);
        let name = weeks
            .and_then(|weeks| weeks.get(week))
            .map(|week| week.name());
        let name = name.map_or_else(|| week.to_string(), |name| escaped(&name.to_string()));
        join("", &[self.resource(at), name])
    }

    fn grower(&self, grower: usize) -> String {
        let nursery = self.ground.nursery;
        let lot = (0..nursery.lots.len())
            .find(|lot| self.ground.shares.grower(LotId(*lot)) == Some(grower));
        let name = lot.map(|lot| {
            nursery.scenario.fields[nursery.lots[lot].field]
                .grower
                .as_str()
        });
        join(
            "",
            &[escaped(name.unwrap_or("-")), (grower + 1).to_string()],
        )
    }

    fn group(&self, group: usize) -> String {
        let lots = self.ground.split_group(group);
        let field = lots.first().map(|lot| self.ground.nursery.part_of(*lot).0);
        escaped(field.unwrap_or("-"))
    }
}

fn join(first: &str, parts: &[String]) -> String {
    let first = (!first.is_empty()).then_some(first);
    let parts = parts.iter().map(String::as_str);
    first.into_iter().chain(parts).collect::<Vec<_>>().join(".")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_have_no_blanks_and_come_once() {
        assert_eq!(escaped("north field-1"), "north%20field-1");
        assert_eq!(escaped("é"), "%C3%A9");
        let names = ["a", "b", "a", "a", "a.2"].map(String::from);
        let all = once_each("row", names.into_iter());
        assert_eq!(all, ["a", "b", "a.2", "a.3", "a.2.2"]);
        let long = once_each("row", ["x".repeat(201)].into_iter());
        assert_eq!(long, ["row.1"]);
    }
}
