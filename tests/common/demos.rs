//! The demo nurseries, as their files say.

use sowrota::scenario::{self, Scenario};
use std::path::Path;

/// A demo's completed scenario.
pub fn scenario(name: &str) -> Scenario {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let checked = scenario::read(&folder.join(name)).unwrap();
    checked.scenario.unwrap()
}
