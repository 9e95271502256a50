//! Seeded chance: the same seed gives the same throws on every machine.

use oorandom::Rand64;

/// Dice with a seed.
pub struct Dice(Rand64);

impl Dice {
    /// Dice that always fall the same way for the same seed.
    pub fn new(seed: u64) -> Dice {
        Dice(Rand64::new(u128::from(seed)))
    }

    /// A whole number from `least` to `most`, both included.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        assert!(least <= most, "no number from {least} to {most}");
        least + self.0.rand_range(0..(most - least + 1) as u64) as i64
    }

    /// The same for days and counts of days.
    pub fn days(&mut self, least: i32, most: i32) -> i32 {
        self.between(least.into(), most.into()) as i32
    }

    /// True in `percent` of a hundred throws.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// One of `items`.
    pub fn pick<'a, T>(&mut self, items: &'a [T]) -> &'a T {
        &items[self.between(0, items.len() as i64 - 1) as usize]
    }

    /// Puts `items` in another order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.between(0, last as i64) as usize);
        }
    }
}
