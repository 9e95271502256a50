//! People by crew and week: hours needed, there, bought and idle, who is hired, and how uneven the weeks are; as plain data and as a table.

use super::table::{Align, Column, Fit, Table};
use super::text::{WIDTH, number, wrap};
use crate::calendar::IsoWeek;
use crate::plan::{PeopleWeek, Plan};
use crate::units::{Fixed, div_near};
use serde::Serialize;

/// Of which crews.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Those that can hire by the week.
    CanHire,
    /// All.
    All,
}

/// One crew's weeks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CrewWeeks {
    /// Id of the crew.
    pub crew: String,
    /// What people call it.
    pub name: String,
    /// Weeks with work, or with people hired, in order.
    pub weeks: Vec<CrewWeek>,
    /// The busiest week's hours over those of a mean week with work, in hundredths; none without work.
    pub needed_peak_to_mean: Option<Fixed<2>>,
    /// The same of hours that people are there, over the same weeks; none where nobody is.
    pub present_peak_to_mean: Option<Fixed<2>>,
}

/// One week of a crew, in person-minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct CrewWeek {
    /// Week.
    pub week: IsoWeek,
    /// Work.
    pub needed_minutes: i64,
    /// Shifts, of people hired too.
    pub present_minutes: i64,
    /// Overtime and work on days off.
    pub bought_minutes: i64,
    /// Regular staff, the most on a working day.
    pub people: i64,
    /// Hired beside them.
    pub hired: i64,
    /// Shifts without work of the plan.
    pub idle_minutes: i64,
}

impl CrewWeek {
    fn of(stated: &PeopleWeek) -> CrewWeek {
        // What is bought is worked: the rest of the work is done in the shifts.
        let idle = stated.shift_minutes + stated.bought_minutes - stated.needed_minutes;
        CrewWeek {
            week: stated.week,
            needed_minutes: stated.needed_minutes,
            present_minutes: stated.shift_minutes,
            bought_minutes: stated.bought_minutes,
            people: stated.people,
            hired: stated.casual,
            idle_minutes: idle.max(0),
        }
    }
}

/// The largest amount over the mean of all, to the nearest hundredth; none where there is nothing.
pub fn peak_to_mean(amounts: &[i64]) -> Option<Fixed<2>> {
    let sum: i64 = amounts.iter().sum();
    let peak = amounts.iter().max().filter(|_| sum > 0)?;
    Some(Fixed(div_near(peak * 100 * amounts.len() as i64, sum)))
}

/// The weeks of the crews asked for, in the scenario's order; crews without a week are left out.
pub fn of(plan: &Plan, which: Which) -> Vec<CrewWeeks> {
    let crews = plan.scenario.crews.iter();
    let can_hire = |most: i64| most > 0;
    let asked = crews.filter(|crew| {
        which == Which::All || crew.casual.is_some_and(|casual| can_hire(casual.most))
    });
    let all = asked.map(|crew| {
        let stated = plan.people.iter().filter(|week| week.crew == crew.id);
        let weeks = stated.filter(|week| week.needed_minutes > 0 || week.casual > 0);
        let mut weeks: Vec<CrewWeek> = weeks.map(CrewWeek::of).collect();
        weeks.sort_by_key(|week| week.week);
        let busy = weeks.iter().filter(|week| week.needed_minutes > 0);
        let (needed, present): (Vec<i64>, Vec<i64>) = busy
            .map(|week| (week.needed_minutes, week.present_minutes))
            .unzip();
        CrewWeeks {
            crew: crew.id.clone(),
            name: crew.name.clone(),
            weeks,
            needed_peak_to_mean: peak_to_mean(&needed),
            present_peak_to_mean: peak_to_mean(&present),
        }
    });
    all.filter(|crew| !crew.weeks.is_empty()).collect()
}

/// The table, and below it how uneven the weeks are; empty when there is no such crew.
pub fn text(plan: &Plan, which: Which) -> String {
    let crews = of(plan, which);
    if crews.is_empty() {
        return String::new();
    }
    let right = |title| Column::new(title, Align::Right, Fit::Keep);
    let mut table = Table::new(vec![
        Column::new("crew", Align::Left, Fit::Cut),
        Column::new("week", Align::Left, Fit::Keep),
        right("needed h"),
        right("present h"),
        right("bought h"),
        right("people"),
        right("hired"),
        right("idle h"),
    ]);
    for crew in &crews {
        for (at, week) in crew.weeks.iter().enumerate() {
            table.row([
                if at == 0 {
                    crew.name.clone()
                } else {
                    String::new()
                },
                week.week.to_string(),
                hours(week.needed_minutes),
                hours(week.present_minutes),
                if week.bought_minutes == 0 {
                    String::new()
                } else {
                    hours(week.bought_minutes)
                },
                week.people.to_string(),
                if week.hired == 0 {
                    String::new()
                } else {
                    week.hired.to_string()
                },
                hours(week.idle_minutes),
            ]);
        }
    }
    let mut out = format!(
        "People by week (idle: shifts without work of the plan)\n{}",
        table.render(WIDTH)
    );
    for crew in &crews {
        if let Some(words) = unevenness(crew) {
            out.push_str(&wrap("", "  ", &words));
        }
    }
    out
}

fn unevenness(crew: &CrewWeeks) -> Option<String> {
    let needed = crew.needed_peak_to_mean?;
    let present = match crew.present_peak_to_mean {
        Some(present) => format!("{present} of hours present"),
        None => "nobody is present by shift".to_string(),
    };
    Some(format!(
        "{}, the busiest week over the mean: {needed} of hours needed, {present}",
        crew.name
    ))
}

/// Hours to the nearest tenth.
fn hours(minutes: i64) -> String {
    let tenths = div_near(minutes, 6);
    format!("{}.{}", number(tenths / 10), tenths % 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peak_over_mean_to_the_hundredth() {
        assert_eq!(peak_to_mean(&[]), None);
        assert_eq!(peak_to_mean(&[0, 0]), None);
        assert_eq!(peak_to_mean(&[7]), Some(Fixed(100)));
        assert_eq!(peak_to_mean(&[60, 60, 60]), Some(Fixed(100)));
        // 300 over a mean of 140, 2.142…
        assert_eq!(peak_to_mean(&[0, 120, 300]), Some(Fixed(214)));
        // Halves up: 25 over 20 is 1.25; 201 over 200 is 1.005.
        assert_eq!(peak_to_mean(&[15, 25]), Some(Fixed(125)));
        assert_eq!(peak_to_mean(&[201, 199]), Some(Fixed(101)));
    }

    #[test]
    fn hours_have_a_tenth() {
        assert_eq!(hours(0), "0.0");
        assert_eq!(
            (hours(2), hours(3), hours(57)),
            ("0.0".into(), "0.1".into(), "1.0".into())
        );
        assert_eq!(hours(74_943), "1,249.1");
    }
}
