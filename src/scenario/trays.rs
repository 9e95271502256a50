//! Trays of a field and of its parts: exact whole-number arithmetic.

use super::types::{Field, MatsPerHectare};

/// Length of a mat along the feed of the planting machine, mm.
const MAT_LENGTH_MM: i128 = 580;

/// Trays and area of the parts of a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartDemand {
    /// Part, from 1.
    pub part: u32,
    /// Trays ordered.
    pub trays: i64,
    /// Area, m².
    pub area_m2: i64,
}

/// Trays of the whole field: area × mats per hectare × (1 + reserve), rounded up once.
///
/// By spacing, mats/ha = hills/ha × feed ÷ (580 mm × picks). Returns `None` when a factor is not positive or the result
/// does not fit.
pub fn of_field(field: &Field) -> Option<i64> {
    let area_m2 = i128::from(field.area_ha.0);
    let margin = 1_000_000 + i128::from(field.reserve.0);
    let (above, below) = match field.mats {
        MatsPerHectare::Given(mats) => (i128::from(mats.0), 10_000 * 100),
        MatsPerHectare::Spacing {
            row_cm,
            hill_cm,
            picks,
            feed_mm,
        } => (
            1_000_000 * i128::from(feed_mm.0),
            i128::from(row_cm.0) * i128::from(hill_cm.0) * 100 * MAT_LENGTH_MM * i128::from(picks),
        ),
    };
    let (above, below) = (
        area_m2.checked_mul(above)?.checked_mul(margin)?,
        below.checked_mul(1_000_000)?,
    );
    if above <= 0 || below <= 0 {
        return None;
    }
    i64::try_from((above + below - 1) / below).ok()
}

/// Trays and area of each part: the whole cut at equal shares, rounded down cumulatively.
pub fn of_parts(field: &Field) -> Option<Vec<PartDemand>> {
    let trays = of_field(field)?;
    let parts = i64::from(field.parts.max(1));
    let cut = |whole: i64, at: i64| (i128::from(whole) * i128::from(at) / i128::from(parts)) as i64;
    Some(
        (1..=parts)
            .map(|part| PartDemand {
                part: part as u32,
                trays: cut(trays, part) - cut(trays, part - 1),
                area_m2: cut(field.area_ha.0, part) - cut(field.area_ha.0, part - 1),
            })
            .collect(),
    )
}
