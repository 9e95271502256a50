//! Machines to weigh trays at: made up, noisy, each with its own way of not being straight. Seeded.

use oorandom::Rand64;
use sowrota::trial::advice::{Advice, advise};
use sowrota::trial::fit::Before;
use sowrota::trial::{Dial, Pair, Setting, Wanted, What};
use sowrota::units::Fixed;

/// Trays that are weighed in all.
pub const TRAYS: usize = 24;

/// What a machine does beside being noisy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// In proportion to the setting.
    Straight,
    /// Nothing comes out below two fifths of the right setting.
    StartsLate,
    /// A quarter of the target comes out at 0.
    NeverShut,
    /// Grows more slowly the higher it is set.
    BendsDown,
    /// Grows faster the higher it is set.
    BendsUp,
    /// The dial has play: what it moves stays behind by up to 2.5 % either way.
    Play,
    /// Gives 0.4 % more from tray to tray.
    Drifts,
    /// One of the first four trays gets 1.4 times as much.
    OneWrong,
}

/// All ways.
pub const WAYS: [Way; 8] = [
    Way::Straight,
    Way::StartsLate,
    Way::NeverShut,
    Way::BendsDown,
    Way::BendsUp,
    Way::Play,
    Way::Drifts,
    Way::OneWrong,
];

impl Way {
    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Way::Straight => "in proportion",
            Way::StartsLate => "nothing up to two fifths",
            Way::NeverShut => "a quarter at 0",
            Way::BendsDown => "bends down",
            Way::BendsUp => "bends up",
            Way::Play => "play in the dial",
            Way::Drifts => "drifts 0.4 % a tray",
            Way::OneWrong => "one tray wrong",
        }
    }
}

/// One machine with its own chance.
pub struct Machine {
    way: Way,
    noise: f64,
    dice: Rand64,
    right: f64,
    wrong: usize,
    stands: f64,
    trays: usize,
}

impl Machine {
    /// A machine of that way whose single trays differ by `noise` of what they should get, and the setting it is found at.
    pub fn new(way: Way, noise: f64, seed: u64) -> (Machine, Setting) {
        let mut dice = Rand64::new(u128::from(seed) * 7_919 + 13);
        let right = 30.0 + 40.0 * dice.rand_float();
        let first = right * (0.65 + 0.75 * dice.rand_float());
        let wrong = dice.rand_range(0..4) as usize;
        let machine = Machine {
            way,
            noise,
            dice,
            right,
            wrong,
            stands: first,
            trays: 0,
        };
        (machine, dial().nearest(Fixed::nearest(first).unwrap()))
    }

    /// What a tray gets on average at that setting, in parts of the target, and where the machine then stands.
    fn mean(&self, setting: f64) -> (f64, f64) {
        let play = 0.025 * self.right;
        let stands = match self.way {
            Way::Play => self.stands.clamp(setting - play, setting + play),
            _ => setting,
        };
        let part = stands / self.right;
        let mean = match self.way {
            Way::StartsLate => ((part - 0.4) / 0.6).max(0.01),
            Way::NeverShut => 0.25 + 0.75 * part,
            Way::BendsDown => part.powf(0.7),
            Way::BendsUp => part.powf(1.4),
            Way::Drifts => part * (1.0 + 0.004 * self.trays as f64),
            _ => part,
        };
        (mean, stands)
    }

    /// Truly within 5 % of the target at that setting, for the tray to come.
    pub fn is_right(&self, setting: Setting) -> bool {
        (self.mean(setting.as_f64()).0 - 1.0).abs() <= 0.05
    }

    /// Weighs a tray.
    pub fn weigh(&mut self, setting: Setting) -> Pair {
        let (mean, stands) = self.mean(setting.as_f64());
        self.stands = stands;
        let wrong = self.way == Way::OneWrong && self.trays == self.wrong;
        self.trays += 1;
        // The sum of twelve even throws less six is close to normal.
        let sum: f64 = (0..12).map(|_| self.dice.rand_float()).sum();
        let times = (1.0 + self.noise * (sum - 6.0)) * if wrong { 1.4 } else { 1.0 };
        // To the gram, as a balance beside the line shows.
        let grams = (mean * times * wanted().target.as_f64()).round().max(1.0);
        Pair {
            setting,
            reading: Fixed::nearest(grams).unwrap(),
        }
    }
}

/// 0 to 150 in halves.
pub fn dial() -> Dial {
    Dial {
        low: Fixed::ZERO,
        high: Some(Fixed::whole(150)),
        step: Fixed(50),
    }
}

/// 225 g wet, give or take 5 %.
pub fn wanted() -> Wanted {
    Wanted {
        what: What::Seed,
        target: Fixed::whole(225),
        tolerance: Fixed::whole(5),
    }
}

/// Sets in proportion to the last tray.
pub fn in_proportion(pairs: &[Pair]) -> Setting {
    let last = pairs.last().unwrap();
    let set = last.setting.as_f64() * wanted().target.as_f64() / last.reading.as_f64();
    dial().nearest(Fixed::nearest(set).unwrap())
}

/// What `sowrota trial` says; who gets no setting weighs once more where the dial stands.
pub fn by_trial(pairs: &[Pair]) -> (Setting, Option<Advice>) {
    match advise(pairs, Before::UNKNOWN, dial(), &wanted()) {
        Ok(advice) => (advice.set, Some(advice)),
        Err(_) => (pairs.last().unwrap().setting, None),
    }
}

/// Trays weighed until the setting is truly right for the first time, and until it is and stays so; `TRAYS + 1` if never.
pub struct Course {
    pub first: usize,
    pub stays: usize,
    /// Trays after the fifth whose setting was not right.
    pub wrong: usize,
}

/// One machine set by `next`.
pub fn course(way: Way, noise: f64, seed: u64, next: fn(&[Pair]) -> Setting) -> Course {
    let (mut machine, mut setting) = Machine::new(way, noise, seed);
    let mut pairs = Vec::new();
    let mut right = vec![machine.is_right(setting)];
    for _ in 0..TRAYS {
        pairs.push(machine.weigh(setting));
        setting = next(&pairs);
        right.push(machine.is_right(setting));
    }
    let never = TRAYS + 1;
    Course {
        first: right.iter().position(|right| *right).unwrap_or(never),
        stays: right
            .iter()
            .rposition(|right| !right)
            .map_or(0, |last| last + 1),
        wrong: right.iter().skip(5).filter(|right| !**right).count(),
    }
}
