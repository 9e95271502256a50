//! Cautions by the sheet they belong to. All defer to labels, the machine's manual, local rules and licensed practice.

use crate::report::sheets::words::Words;
use maud::{Markup, html};

/// Keys of the cautions of one sheet.
pub struct Cautions(pub &'static [&'static str]);

impl Cautions {
    /// The line card's.
    pub const LINE: Cautions = Cautions(&[
        "mind.guards",
        "mind.isolate",
        "mind.dry_hands",
        "mind.test_button",
        "mind.earthing",
        "mind.treated",
    ]);
    /// Of stacks and beds.
    pub const STACKS: Cautions = Cautions(&["mind.lift", "mind.stacks", "mind.lid"]);
    /// Of seed.
    pub const SEED: Cautions = Cautions(&[
        "mind.treated",
        "mind.gloves",
        "mind.ditches",
        "mind.tanks",
        "mind.hot_water",
        "mind.wet_bag",
        "mind.label",
    ]);
    /// Of washing.
    pub const WASH: Cautions = Cautions(&[
        "mind.hypochlorite",
        "mind.air",
        "mind.spent_dip",
        "mind.hot_water",
        "mind.rats",
        "mind.test_button",
        "mind.earthing",
    ]);
    /// Of the night.
    pub const NIGHT: Cautions = Cautions(&["mind.night", "mind.burner", "mind.night_alone"]);
    /// Of loading.
    pub const LOADING: Cautions = Cautions(&[
        "mind.limit",
        "mind.straps",
        "mind.ramps",
        "mind.banksman",
        "mind.licensed",
        "mind.lift",
    ]);
    /// Of a grower's notice.
    pub const GROWER: Cautions = Cautions(&["mind.grower_label", "mind.planter"]);
    /// On a hot day.
    pub const HEAT: Cautions = Cautions(&["mind.heat"]);

    /// The cautions under their heading.
    pub fn draw(&self, w: &Words) -> Markup {
        draw(w, self.0)
    }
}

/// Cautions by their keys, under their heading; nothing without any.
pub fn draw(w: &Words, keys: &[&str]) -> Markup {
    html! {
        @if !keys.is_empty() {
            section.mind {
                h2 { (w.get("mind")) }
                ul { @for key in keys { li { (w.get(key)) } } }
            }
        }
    }
}
