//! Published data as typed tables: crew profiles, substances, equivalency
//! factors; each figure with its source.

pub mod citation;
pub mod contents;
pub mod crew;
pub mod equivalents;
pub mod substances;

pub use citation::{Citation, Mark};
pub use contents::Contents;
pub use crew::{CrewProfile, DEFAULT_PROFILE, crew_profile, crew_profiles};
pub use equivalents::{EquivalentsSetting, Factor, equivalents_settings};
pub use substances::{Family, Makeup, SubstanceError, SubstanceId, Substances, names};

/// Reads one of the data files that are compiled in; that each of them reads
/// is covered by a test.
#[allow(
    clippy::expect_used,
    reason = "compiled-in text that no input can change; a test reads every file"
)]
fn embedded<T: serde::de::DeserializeOwned>(text: &str) -> T {
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
        .expect("compiled-in data is well formed")
}
