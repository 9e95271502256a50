//! Further types of the completed scenario: what an order line says besides the field, and how a shortage is shared.

use crate::units::{Minutes, Share};
use serde::{Deserialize, Serialize};

/// Whether an order line counts.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum OrderState {
    /// Asked for, not agreed: nothing is grown.
    Enquiry,
    /// Agreed.
    #[default]
    Firm,
    /// Withdrawn: nothing is grown.
    Cancelled,
}

/// What is handed over to the grower.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum HandOver {
    /// Seed, soaked, sprouted and surface-dry: no tray of ours.
    SoakedSeed,
    /// Trays on the day their stack is opened: no bed of ours.
    Sprouted,
    /// Trays with seedlings of the right age.
    #[default]
    Seedlings,
}

/// Whose trays are short when not all can be grown.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Sharing {
    /// Whichever leaves the fewest trays short at the least cost.
    #[default]
    FewestTrays,
    /// Who ordered first is served first.
    OrderDate,
    /// Members are served before others.
    MembersFirst,
    /// Every grower gives up about the same share.
    InProportion,
}

/// Shares that are lost by stage, each of what came into the stage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Losses {
    /// On the line.
    pub line: Share,
    /// In the stack.
    pub stack: Share,
    /// In the bed.
    pub bed: Share,
}

/// Fields that the same round trip serves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TravelGroup {
    /// Short name.
    pub id: String,
    /// Local name.
    pub name: String,
    /// There, unloading and back, min.
    pub round_trip_minutes: Minutes,
}
