//! From trays that leave to trays sown, and back: `docs/COUNTING.md`, trays 3 and 4.

use super::orders::{HandOver, Losses};
use crate::units::{Share, fit};

/// What is kept of a tray from sowing to leaving, as a fraction of whole numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    above: i128,
    below: i128,
}

impl Kept {
    /// The product of what each stage keeps; a stage that keeps nothing counts as keeping a millionth.
    pub fn of(losses: &Losses, stage: HandOver) -> Kept {
        let gone_through: &[Share] = match stage {
            HandOver::SoakedSeed => &[],
            HandOver::Sprouted => &[losses.line, losses.stack],
            HandOver::Seedlings => &[losses.line, losses.stack, losses.bed],
        };
        let whole = i128::from(Share::ONE);
        let keeps = gone_through
            .iter()
            .map(|lost| (whole - i128::from(lost.0)).max(1));
        Kept {
            above: keeps.product(),
            below: whole.pow(gone_through.len() as u32),
        }
    }

    /// Trays to sow so that `leaving` leave, rounded up.
    pub fn sown(self, leaving: i64) -> i64 {
        let exact = i128::from(leaving) * self.below;
        fit((exact + self.above - 1).div_euclid(self.above))
    }

    /// Trays that leave of `sown`, rounded down.
    pub fn leaving(self, sown: i64) -> i64 {
        fit((i128::from(sown) * self.above).div_euclid(self.below))
    }

    /// The share, to the millionth, rounded down.
    pub fn share(self) -> Share {
        Share {
            0: fit(self.above * i128::from(Share::ONE) / self.below),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Fixed;

    #[test]
    fn each_stage_loses_of_what_came_into_it() {
        let losses = Losses {
            line: Fixed(100_000),
            stack: Fixed(200_000),
            bed: Fixed(500_000),
        };
        let kept = |stage| Kept::of(&losses, stage);
        // 0.9 × 0.8 = 0.72, × 0.5 = 0.36.
        let shares = [
            HandOver::SoakedSeed,
            HandOver::Sprouted,
            HandOver::Seedlings,
        ]
        .map(|stage| kept(stage).share().0);
        assert_eq!(shares, [1_000_000, 720_000, 360_000]);
        // 100 ÷ 0.36 = 277.8; 277 × 0.36 = 99.7.
        assert_eq!(kept(HandOver::Seedlings).sown(100), 278);
        assert_eq!(kept(HandOver::Seedlings).leaving(278), 100);
        assert_eq!(kept(HandOver::Seedlings).leaving(277), 99);
        assert_eq!(kept(HandOver::SoakedSeed).sown(100), 100);
    }

    #[test]
    fn nothing_lost_is_nothing_more_sown_and_all_lost_is_answered() {
        let none = Kept::of(&Losses::default(), HandOver::Seedlings);
        assert_eq!((none.sown(77), none.leaving(77)), (77, 77));
        let all = Losses {
            line: Fixed(Share::ONE),
            stack: Fixed(Share::ONE),
            bed: Fixed(Share::ONE),
        };
        let all = Kept::of(&all, HandOver::Seedlings);
        assert_eq!((all.share().0, all.leaving(1_000_000_000)), (0, 0));
        assert_eq!(all.sown(i64::MAX), i64::MAX);
    }
}
