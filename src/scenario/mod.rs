//! The file as written, and the completed scenario that everything else starts from.

pub mod trays;
pub mod types;

pub use types::*;

/// SHA-256 of the completed scenario's compact JSON, in hexadecimal.
pub fn sha256(scenario: &Scenario) -> String {
    use sha2::Digest;
    let json = serde_json::to_vec(scenario).unwrap_or_default();
    sha2::Sha256::digest(json)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
