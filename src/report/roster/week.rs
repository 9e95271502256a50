//! One week of a roster: a row for each person, a letter for each duty, the weekend between bars.

use super::{Told, name};
use crate::calendar::{Day, IsoWeek};
use crate::plan::roster::{Missing, PersonDuty};
use crate::report::text::{cut, wrap};
use crate::scenario::Scenario;
use std::collections::BTreeSet;
use unicode_width::UnicodeWidthStr;

/// Widest column of names.
const NAMES: usize = 22;
/// Columns of a day.
const CELL: usize = 7;
/// Night watches.
const WATCH: char = 'N';

/// A letter for each crew, from its name, none twice; digits where its letters are taken.
fn letters(scenario: &Scenario) -> Vec<(&str, char)> {
    let mut taken = BTreeSet::from([WATCH]);
    let crews = scenario.crews.iter().map(|crew| {
        let own = crew.name.chars().flat_map(char::to_uppercase);
        let own = own.filter(|letter| letter.is_alphabetic());
        let digits = ('1'..='9').chain('a'..='z');
        let mut all = own.chain(digits);
        let letter = all.find(|letter| !taken.contains(letter)).unwrap_or('?');
        taken.insert(letter);
        (crew.id.as_str(), letter)
    });
    crews.collect()
}

fn letter(letters: &[(&str, char)], crew: Option<&str>) -> char {
    let Some(crew) = crew else { return WATCH };
    let mut known = letters.iter();
    known
        .find(|(id, _)| *id == crew)
        .map_or('?', |(_, sign)| *sign)
}

/// What the letters and signs mean.
pub(super) fn legend(told: Told<'_>) -> String {
    let scenario = told.scenario();
    let crews = letters(scenario).into_iter().map(|(id, letter)| {
        let name = super::post(scenario, Some(id));
        format!("{letter} {name}")
    });
    let mut parts: Vec<String> = crews.collect();
    if scenario.duty.night_watch.is_some() {
        parts.push(format!("{WATCH} night watch"));
    }
    for sign in [
        "+ stays for overtime",
        "* ends late",
        "- away",
        ". free",
        "| | weekend",
    ] {
        parts.push(sign.to_owned());
    }
    wrap("Signs: ", "  ", &parts.join("; "))
}

/// The rows of one week.
pub(super) fn block(told: Told<'_>, week: IsoWeek) -> String {
    let scenario = told.scenario();
    let Some(monday) = week.monday() else {
        return String::new();
    };
    let days: Vec<Day> = (0..7).map(|day| monday.plus(day)).collect();
    let letters = letters(scenario);
    let names = scenario.staff.iter().map(|one| one.name.width());
    let width = names
        .chain(["unfilled".width()])
        .max()
        .unwrap_or(0)
        .min(NAMES);
    let head = days.iter().map(|day| {
        let (_, _, of_month) = day.ymd();
        format!("{} {of_month}", &day.weekday().to_string()[..3])
    });
    let head: Vec<String> = head.collect();
    let mut out = format!(
        "Week {week}, {} to {}\n",
        monday.spoken(),
        monday.plus(6).spoken()
    );
    out.push_str(&row("", width, &head));
    for person in &scenario.staff {
        let cells: Vec<String> = days
            .iter()
            .map(|day| {
                let mut duties = told.roster.duties.iter();
                let duty = duties.find(|one| one.day == *day && one.person == person.id);
                match duty {
                    Some(duty) => cell(&letters, duty),
                    None if !scenario.horizon.contains(*day) => String::new(),
                    None if person.is_away(*day) => "-".to_owned(),
                    None => ".".to_owned(),
                }
            })
            .collect();
        out.push_str(&row(name(scenario, &person.id), width, &cells));
    }
    let hired = told.roster.hired.iter();
    let hired: Vec<(Day, Option<&str>, i64)> = hired
        .map(|one| (one.day, Some(one.crew.as_str()), one.people))
        .collect();
    let open = told.roster.unfilled.iter();
    let open: Vec<(Day, Option<&str>, i64)> = open
        .filter(|one| one.missing == Missing::Person)
        .map(|one| (one.day, one.crew.as_deref(), one.places))
        .collect();
    let crews = scenario.crews.iter().map(|crew| Some(crew.id.as_str()));
    let posts: Vec<Option<&str>> = crews.chain([None]).collect();
    for (title, all) in [("hired", hired), ("unfilled", open)] {
        for post in &posts {
            let counts: Vec<i64> = days
                .iter()
                .map(|day| {
                    let of_day = all.iter().filter(|one| (one.0, one.1) == (*day, *post));
                    of_day.map(|one| one.2).fold(0, i64::saturating_add)
                })
                .collect();
            if counts.iter().any(|count| *count != 0) {
                let cells: Vec<String> = counts
                    .iter()
                    .map(|count| match count {
                        0 => String::new(),
                        count => count.to_string(),
                    })
                    .collect();
                let title = format!("{title} {}", letter(&letters, *post));
                out.push_str(&row(&title, width, &cells));
            }
        }
    }
    out
}

fn cell(letters: &[(&str, char)], duty: &PersonDuty) -> String {
    let sign = match (duty.stays, duty.late && duty.crew.is_some()) {
        (true, _) => "+",
        (false, true) => "*",
        (false, false) => "",
    };
    format!("{}{sign}", letter(letters, duty.crew.as_deref()))
}

/// The weekend stands between bars.
fn row(name: &str, width: usize, cells: &[String]) -> String {
    let name = cut(name, width);
    let mut line = format!("{name}{}  ", " ".repeat(width - name.width().min(width)));
    for (at, cell) in cells.iter().enumerate() {
        if at == 5 {
            line.push_str("| ");
        }
        line.push_str(cell);
        line.push_str(&" ".repeat(CELL.saturating_sub(cell.width()).max(1)));
    }
    line.push('|');
    line + "\n"
}
