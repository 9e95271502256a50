//! The trial at the line: trays weighed at some settings, and the setting to try next. Pure; knows nothing of files and prints nothing.
//!
//! Numbers go in and come out as exact decimals; floats live in `fit.rs` and `student.rs` and in `advice.rs` between the two.

pub mod advice;
pub mod fit;
pub mod log;
pub mod reading;
pub mod student;

use crate::quantities::wet_seed_per_tray;
use crate::scenario::Kind;
use crate::units::{Fixed, Grams, div_near};

/// What stands on the machine's dial, to the hundredth. It has no unit.
pub type Setting = Fixed<2>;
/// What a tray got, to the hundredth: g of wet seed, mm of soil, L of water.
pub type Reading = Fixed<2>;

/// Which part of the line is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// Bed soil, mm deep.
    Bed,
    /// Water, L a tray.
    Water,
    /// Seed, g wet a tray.
    Seed,
    /// Cover soil, mm deep.
    Cover,
}

impl What {
    /// All four, in the order in which they are started and stopped.
    pub const ALL: [What; 4] = [What::Bed, What::Water, What::Seed, What::Cover];

    /// As it is typed and logged.
    pub const fn word(self) -> &'static str {
        match self {
            What::Bed => "bed",
            What::Water => "water",
            What::Seed => "seed",
            What::Cover => "cover",
        }
    }

    /// What [`What::word`] says.
    pub fn named(word: &str) -> Option<What> {
        What::ALL.into_iter().find(|what| what.word() == word)
    }

    /// Unit of its readings.
    pub const fn unit(self) -> &'static str {
        match self {
            What::Bed | What::Cover => "mm",
            What::Water => "L",
            What::Seed => "g",
        }
    }

    /// What the kind asks for on a tray: wet seed, depth, water.
    pub fn target(self, kind: &Kind) -> Reading {
        match self {
            What::Bed => kind.bed_soil_mm,
            What::Water => kind.water_l_per_tray,
            What::Seed => Fixed(wet_seed_per_tray(kind).0.saturating_mul(10)),
            What::Cover => kind.cover_soil_mm,
        }
    }

    /// The same where no scenario says it: 180 g dry × 1.25, 20 mm, 7 mm, 1.2 L (1 to 1.5 L). Common practice, no source; the ratio lies
    /// inside 1.22 to 1.30 of guides of four Japanese prefectures (one of 2018).
    pub const fn usual(self) -> Reading {
        Fixed(match self {
            What::Bed => 2_000,
            What::Water => 120,
            What::Seed => 22_500,
            What::Cover => 700,
        })
    }

    /// Least and most that anybody asks for, seed wet: 45 to 300 g dry × 1.22 and 1.30, bed 10 to 25 mm, cover 3 to 10 mm, 0.5 to 2 L.
    /// Common practice, no source.
    pub const fn heard_of(self) -> (Reading, Reading) {
        match self {
            What::Bed => (Fixed(1_000), Fixed(2_500)),
            What::Water => (Fixed(50), Fixed(200)),
            What::Seed => (Fixed(5_490), Fixed(39_000)),
            What::Cover => (Fixed(300), Fixed(1_000)),
        }
    }
}

/// Dry seed a tray where no scenario says it, g (common practice, no source).
pub const USUAL_DRY: Grams = Fixed(1_800);
/// Wet over dry seed where no scenario says it; inside 1.22 to 1.30 of guides of four Japanese prefectures (one of 2018).
pub const USUAL_WET_RATIO: Fixed<3> = Fixed(1_250);

/// One tray: what the dial said and what the tray got.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    /// The dial.
    pub setting: Setting,
    /// The tray.
    pub reading: Reading,
}

/// What the dial can be set to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dial {
    /// Lowest setting.
    pub low: Setting,
    /// Highest setting; none: no end known.
    pub high: Option<Setting>,
    /// From one setting to the next, more than 0.
    pub step: Setting,
}

impl Dial {
    /// The setting on the dial that is nearest; steps count from the lowest.
    pub fn nearest(self, setting: Setting) -> Setting {
        let step = self.step.0.max(1);
        let steps = |value: i64| div_near(value - self.low.0, step);
        let mut at = self.low.0 + steps(setting.0.max(self.low.0)) * step;
        if let Some(high) = self.high
            && at > high.0
        {
            at = self.low.0 + (high.0 - self.low.0).div_euclid(step) * step;
        }
        Fixed(at)
    }
}

/// What is wanted of a tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Which part of the line.
    pub what: What,
    /// On a tray, more than 0.
    pub target: Reading,
    /// As much more or less is still right, in percent of the target.
    pub tolerance: Fixed<1>,
}

impl Wanted {
    /// Least and most that is still right.
    pub fn band(&self) -> (Reading, Reading) {
        let more = div_near(self.target.0.saturating_mul(self.tolerance.0), 1_000);
        (Fixed(self.target.0 - more), Fixed(self.target.0 + more))
    }
}

/// The step that the settings typed so far are written in: 1, 0.1 or 0.01.
pub fn step_typed(settings: impl Iterator<Item = Setting>) -> Setting {
    let step = |setting: Setting| match setting.0 {
        whole if whole % 100 == 0 => 100,
        tenth if tenth % 10 == 0 => 10,
        _ => 1,
    };
    Fixed(settings.map(step).min().unwrap_or(100))
}
