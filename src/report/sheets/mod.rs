//! What is printed for the wall and the hand: sheets of one day, and notices to growers. Files that open and print by themselves.
//!
//! `gather` takes plain data from the plan; `draw` only puts it on paper; every word is in [`words`].

mod draw;
mod gather;
pub mod notices;
pub mod words;

pub use gather::{
    BLANK, BedPlace, Card, Empties, Label, LogLine, Map, Point, Sheets, Stack, StackPlace,
    Standing, Stop, Trip, sheets, without_names,
};

use maud::{Markup, html};
use words::Words;

/// The sorts of sheets, in the order of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetKind {
    /// For the wall: the day by the clock.
    Day,
    /// A card for each run on a line.
    Line,
    /// Stacks and beds, facing the door.
    Map,
    /// A list for each trip.
    Loading,
    /// Labels of the five hand-overs.
    Labels,
    /// Soaking, draining, handing over.
    Seed,
    /// Trays back and washing.
    Wash,
    /// Rounds of the night.
    Night,
}

impl SheetKind {
    /// All of them.
    pub const ALL: [SheetKind; 8] = [
        SheetKind::Day,
        SheetKind::Line,
        SheetKind::Map,
        SheetKind::Loading,
        SheetKind::Labels,
        SheetKind::Seed,
        SheetKind::Wash,
        SheetKind::Night,
    ];

    /// As in the name of its file.
    pub const fn as_str(self) -> &'static str {
        match self {
            SheetKind::Day => "day",
            SheetKind::Line => "line",
            SheetKind::Map => "map",
            SheetKind::Loading => "loading",
            SheetKind::Labels => "labels",
            SheetKind::Seed => "seed",
            SheetKind::Wash => "wash",
            SheetKind::Night => "night",
        }
    }

    /// The sort of that name.
    pub fn parse(name: &str) -> Option<SheetKind> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }
}

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Its name, without a folder.
    pub name: String,
    /// What is in it.
    pub text: String,
}

/// The files of a day: one for each sort that has something to say.
///
/// # Arguments
/// * `sheets`: what was gathered for the day.
/// * `words`: the language.
/// * `only`: these sorts; empty: all.
pub fn files(sheets: &Sheets, words: &Words, only: &[SheetKind]) -> Vec<File> {
    let wanted = |kind: &SheetKind| only.is_empty() || only.contains(kind);
    let kinds = SheetKind::ALL.into_iter().filter(wanted);
    let file = |kind: SheetKind| {
        let body = body(sheets, words, kind)?;
        let name = words.get(&format!("sheet.{}", kind.as_str()));
        let title = format!("{name}, {}", words.long_day(sheets.day.day));
        Some(File {
            name: format!("{}.html", kind.as_str()),
            text: draw::page(words, &title, &body),
        })
    };
    kinds.filter_map(file).collect()
}

/// One sort of sheet; nothing when the day has nothing for it.
fn body(sheets: &Sheets, w: &Words, kind: SheetKind) -> Option<Markup> {
    let there = |is_there: bool, markup: &dyn Fn() -> Markup| is_there.then(markup);
    let stands = !sheets.map.stacks.is_empty() || !sheets.map.beds.is_empty();
    match kind {
        SheetKind::Day => there(!sheets.day.is_idle(), &|| draw::day(w, sheets)),
        SheetKind::Line => there(!sheets.cards.is_empty(), &|| draw::cards(w, sheets)),
        SheetKind::Map => there(stands, &|| draw::map(w, sheets)),
        SheetKind::Loading => there(!sheets.trips.is_empty(), &|| draw::loading(w, sheets)),
        SheetKind::Labels => there(!sheets.labels.is_empty(), &|| draw::labels(w, sheets)),
        SheetKind::Seed => draw::seed(w, sheets),
        SheetKind::Wash => draw::wash(w, sheets),
        SheetKind::Night => draw::night(w, sheets),
    }
}

/// Several sheets one after another.
fn several(sheets: &[Markup]) -> Markup {
    html! { @for sheet in sheets { (sheet) } }
}
