//! From trays that leave to trays sown, and back: `docs/COUNTING.md`, trays 3 and 4.

use crate::scenario::{HandOver, Losses};
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Fixed;

    fn losses(line: i64, stack: i64, bed: i64) -> Losses {
        Losses {
            line: Fixed(line * 10_000),
            stack: Fixed(stack * 10_000),
            bed: Fixed(bed * 10_000),
        }
    }

    #[test]
    fn one_two_and_three_percent_of_a_thousand() {
        // 1000 ÷ (0.99 × 0.98 × 0.97) = 1062.6; to the stack only 1000 ÷ 0.9702 = 1030.7.
        let kept = |stage| Kept::of(&losses(1, 2, 3), stage);
        assert_eq!(kept(HandOver::Seedlings).sown(1_000), 1_063);
        assert_eq!(kept(HandOver::Sprouted).sown(1_000), 1_031);
        assert_eq!(kept(HandOver::SoakedSeed).sown(1_000), 1_000);
        assert_eq!(kept(HandOver::Seedlings).leaving(1_063), 1_000);
        assert_eq!(kept(HandOver::Seedlings).leaving(1_062), 999);
    }

    #[test]
    fn without_losses_all_that_is_sown_leaves() {
        let kept = Kept::of(&Losses::default(), HandOver::Seedlings);
        assert_eq!((kept.sown(77), kept.leaving(77)), (77, 77));
    }
}
