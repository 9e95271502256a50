//! The day sheet: plain text for the wall, 80 columns, few words, a blank beside each line.
//!
//! Times to the nearest five minutes, whole kilograms and litres, places by their local names. What never
//! stands on a wall is not in it: costs, wages, bounds, telephone numbers, hash-like numbers, and no
//! day as firm that was not told to the grower.

pub(super) mod rows;
pub(crate) mod words;

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, fold, trays};
use crate::plan::day::{CrewDay, DayPlan, Job, Look, Misfit};
use crate::units::div_up;
use rows::rows;
use words::{kg, misfit, work};

/// Blank for what was done: count, time, initials.
const DONE: &str = "_____ __:__ ____";

/// The sheet as text.
pub fn text(plan: &DayPlan) -> String {
    let mut sheet = Sheet { out: String::new() };
    sheet.head(plan);
    sheet.cannot_wait(plan);
    sheet.look_first(plan);
    sheet.before_loading(plan);
    sheet.overtime(plan);
    sheet.does_not_fit(plan);
    for crew in &plan.crews {
        sheet.crew(crew);
    }
    sheet.uncounted(&plan.uncounted);
    sheet.night(plan);
    sheet.sums(plan);
    sheet.tomorrow(plan);
    sheet.cautions(plan);
    sheet.out
}

/// The day as JSON, for machines.
///
/// # Errors
/// None that a day plan can cause; passed on from the writer.
pub fn json(plan: &DayPlan) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(plan).map(|text| text + "\n")
}

struct Sheet {
    out: String,
}

impl Sheet {
    /// A line of text, wrapped under its indent.
    fn line(&mut self, text: &str) {
        for line in fold(text, WIDTH) {
            self.out.push_str(&line);
            self.out.push('\n');
        }
    }

    fn heading(&mut self, title: &str) {
        self.out.push('\n');
        self.line(title);
        self.out.push_str(&"-".repeat(WIDTH));
        self.out.push('\n');
    }

    fn head(&mut self, plan: &DayPlan) {
        let (year, _, _) = plan.day.ymd();
        self.line(&plan.nursery.to_uppercase());
        self.line(&format!("{} {} {year}", plan.weekday, plan.day.spoken()).to_uppercase());
        let replaces = match plan.replaces {
            Some(before) => format!(", replaces plan {before}: take that one down"),
            None => String::new(),
        };
        self.line(&format!(
            "Plan {}{replaces}. Printed at ____________",
            plan.revision
        ));
        self.line(&match plan.weather {
            Some(row) => format!(
                "Weather counted on: {} to {} °C. Seen this morning: __________________",
                words::whole(row.min_c),
                words::whole(row.max_c)
            ),
            None => "Weather counted on: none. Seen this morning: __________________".into(),
        });
        self.out.push_str(&"=".repeat(WIDTH));
        self.out.push('\n');
        if plan.is_care_only() {
            let next = plan.next_work.map_or_else(
                || "nothing else follows in this plan".into(),
                |next| {
                    format!(
                        "the next other work is on {} {}",
                        next.weekday(),
                        next.spoken()
                    )
                },
            );
            self.line(&format!("ONLY CARE TODAY; {next}."));
        }
    }

    fn cannot_wait(&mut self, plan: &DayPlan) {
        if plan.cannot_wait.is_empty() {
            return;
        }
        self.heading("CANNOT WAIT TODAY");
        for (at, line) in plan.cannot_wait.iter().enumerate() {
            self.line(&format!("  {}. {}", at + 1, words::cannot_wait(line)));
        }
        if plan.more_cannot_wait > 0 {
            self.line(&format!("  and {} more below", plan.more_cannot_wait));
        }
    }

    fn look_first(&mut self, plan: &DayPlan) {
        if plan.looks.is_empty() {
            return;
        }
        self.heading("LOOK FIRST");
        let mut table = Table::new(vec![
            Column::new("", Align::Left, Fit::Fill),
            Column::new("", Align::Left, Fit::Keep),
        ]);
        for look in &plan.looks {
            let (text, blank) = words::look(look, plan.day);
            table.row([text, blank.to_string()]);
        }
        self.out.push_str(&table.render(WIDTH));
        let stacks = |look: &Look| matches!(look, Look::Stacks { .. });
        if plan.looks.iter().any(stacks) {
            self.line("33 °C in a stack is alarm: open it, stop the heat.");
        }
    }

    fn before_loading(&mut self, plan: &DayPlan) {
        let Some(decide) = &plan.before_loading else {
            return;
        };
        self.heading("DECIDE BEFORE LOADING");
        if decide.trays > 0 {
            self.line(&format!(
                "  {} to be planted. Rain, or a high of 15 °C or less: do not plant; call the growers.",
                trays(decide.trays)
            ));
        }
        if decide.too_cold && decide.trays > 0 {
            self.line("  TODAY'S HIGH IS COUNTED ON AT 15 °C OR LESS.");
        }
        if decide.nobody_told {
            self.line("  No grower was told this day yet: call each before loading.");
        } else if !decide.not_told.is_empty() {
            let growers = decide.not_told.join("; ");
            self.line(&format!("  Not told this day yet, call first: {growers}"));
        }
        self.line("  Go / wait / part: ______________________  decided by ______  at __:__");
    }

    fn crew(&mut self, crew: &CrewDay) {
        let title = words::crew_title(crew);
        self.heading(&title);
        self.jobs(&crew.jobs, (!crew.day_off).then_some(crew.until_minute));
    }

    fn jobs(&mut self, jobs: &[Job], shift_end: Option<i64>) {
        let mut table = Table::new(vec![
            Column::new("from-to", Align::Left, Fit::Keep),
            Column::new("who", Align::Right, Fit::Keep),
            Column::new("", Align::Left, Fit::Fill),
            Column::new("count time  init", Align::Left, Fit::Keep),
        ]);
        for row in rows(jobs, shift_end) {
            table.row(row);
        }
        self.out.push_str(&table.render(WIDTH));
    }

    fn uncounted(&mut self, jobs: &[Job]) {
        if !jobs.is_empty() {
            self.heading("ALSO TODAY, AT NO SET TIME");
            self.jobs(jobs, None);
        }
    }

    /// Overtime without which the clock does not come out, though the plan has not bought it.
    fn overtime(&mut self, plan: &DayPlan) {
        let crews = plan.crews.iter().filter(|crew| crew.offered_minutes > 0);
        let crews: Vec<&CrewDay> = crews.collect();
        if crews.is_empty() {
            return;
        }
        self.heading("OVERTIME: DECIDE THIS MORNING");
        for crew in crews {
            let late = |job: &&Job| {
                let ends = job.spells.iter().map(|spell| spell.until_minute);
                ends.max().is_some_and(|end| end > crew.until_minute)
            };
            let ends = crew.jobs.iter().flat_map(|job| &job.spells);
            let end = ends.map(|spell| spell.until_minute).max();
            let end = div_up(end.unwrap_or(crew.until_minute), 5) * 5;
            let jobs: Vec<String> = crew.jobs.iter().filter(late).map(words::named).collect();
            self.line(&format!(
                "  {} until {}, overtime {} h {:02}, for {}.",
                crew.name,
                words::clock(end),
                (end - crew.until_minute) / 60,
                (end - crew.until_minute) % 60,
                jobs.join("; ")
            ));
        }
        self.line("  Allowed, and not in the plan. Agreed with whom stays: ________________");
    }

    fn does_not_fit(&mut self, plan: &DayPlan) {
        if plan.misfits.is_empty() && plan.breaches.is_empty() {
            return;
        }
        self.heading("DOES NOT FIT: DECIDE THIS MORNING");
        for found in &plan.misfits {
            self.line(&format!("  {}", misfit(found)));
        }
        if plan
            .misfits
            .iter()
            .any(|misfit| matches!(misfit, Misfit::Time { .. }))
        {
            self.line(
                "  Someone stays longer, someone else helps, or it waits. Decided: ___________",
            );
        }
        for breach in &plan.breaches {
            self.line(&format!("  {breach}"));
        }
    }

    fn night(&mut self, plan: &DayPlan) {
        let Some(night) = &plan.night else { return };
        self.heading("LAST ROUND");
        if let Some(low) = night.low_c {
            let cold = if night.cold {
                ": CLOSE AND COVER, someone watches"
            } else {
                ""
            };
            self.line(&format!(
                "  Tonight's low is counted on at {} °C outdoors{cold}.",
                words::whole(low)
            ));
        }
        let mut table = Table::new(vec![
            Column::new("", Align::Left, Fit::Fill),
            Column::new("", Align::Left, Fit::Keep),
        ]);
        for place in &night.places {
            let place = format!("  {place}: closed, trays and warmth looked at");
            table.row([place, "____ °C  __:__ ____".into()]);
        }
        self.out.push_str(&table.render(WIDTH));
    }

    fn sums(&mut self, plan: &DayPlan) {
        let t = plan.totals;
        let mut sums = Vec::new();
        if t.sown > 0 {
            sums.push(format!("sown {} and {} trial", t.sown, t.trial));
        }
        if t.opened > 0 {
            sums.push(format!("opened {}", t.opened));
        }
        if t.loaded > 0 {
            sums.push(format!(
                "loaded {} for {} ha",
                t.loaded,
                words::ha(t.area_ha)
            ));
        }
        if t.handed_over > 0 {
            sums.push(format!("handed over {}", t.handed_over));
        }
        if t.washed > 0 {
            sums.push(format!("washed {}", t.washed));
        }
        if !sums.is_empty() {
            self.out.push('\n');
            self.line(&format!("Trays today: {}.", sums.join(", ")));
        }
    }

    fn tomorrow(&mut self, plan: &DayPlan) {
        let tomorrow = &plan.tomorrow;
        let (day, spoken) = (tomorrow.day.weekday(), tomorrow.day.spoken());
        self.heading(&format!("FOR TOMORROW, {day} {spoken}").to_uppercase());
        let seed = [&tomorrow.seed_out, &tomorrow.to_soak, &tomorrow.hand_over];
        let nothing = seed.iter().all(|seed| seed.is_empty());
        if nothing && tomorrow.calls.is_empty() {
            self.line("  No seed to bring out, nobody to call.");
        }
        for out in &tomorrow.seed_out {
            self.line(&format!(
                "  Seed out, for the line: {} {}, {} wet ({} dry)",
                out.runs.join(", "),
                out.kind,
                kg(out.seed.wet),
                kg(out.seed.dry)
            ));
            if let Some(soil) = out.soil {
                let (bed, cover) = (soil.bed_l, soil.cover_l);
                self.line(&format!(
                    "    soil at the line: bed {bed} L, cover {cover} L"
                ));
            }
        }
        if tomorrow.clean_trays > 0 {
            self.line(&format!(
                "  Clean trays at the line: {}, trial, lids and bases counted",
                tomorrow.clean_trays
            ));
        }
        for out in &tomorrow.to_soak {
            let (runs, dry) = (
                out.runs.join(", "),
                words::bags_or_kg(out.bags, out.seed.dry),
            );
            self.line(&format!(
                "  Seed out, to soak: {runs} {}, {dry} dry",
                out.kind
            ));
            if let Some(dose) = &out.dose {
                self.line(&format!("    to treat it: {}", words::dose(dose)));
            }
        }
        for out in &tomorrow.hand_over {
            let (dry, wet) = (
                words::kg_weighed(out.seed.dry),
                words::kg_weighed(out.seed.wet),
            );
            let runs = out.runs.join(", ");
            self.line(&format!(
                "  Seed to hand over: {runs} {}, {dry} dry, {wet} wet, bagged and labelled",
                out.kind
            ));
        }
        if !nothing {
            self.line("    two people read the label: kind, seed lot      ______  ______");
        }
        for calls in tomorrow
            .calls
            .chunk_by(|one, other| one.about == other.about)
        {
            let about = calls.first().map(|call| call.about);
            self.line(&format!("  {}", about.map_or("", words::call_heading)));
            for call in calls {
                self.line(&format!("    {}", words::call(call)));
            }
        }
    }

    fn cautions(&mut self, plan: &DayPlan) {
        let jobs: Vec<&Job> = plan.jobs().collect();
        let lines = work::cautions(
            &jobs,
            plan.weather.map(|row| row.max_c),
            plan.night.as_ref(),
        );
        if lines.is_empty() {
            return;
        }
        self.heading("MIND");
        for line in lines {
            self.line(&format!("  {line}"));
        }
        self.line("  Labels, the machine's manual and local rules go before this sheet.");
    }
}
