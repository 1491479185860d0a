//! The design: the file as written, with variants and settings applied, and
//! the addresses of its numbers.

mod catalogue;
mod equivalents;
mod faults;
mod mission;
mod names;
mod record;
pub mod reference;
mod rewritten;
mod streams;
mod water_round;

use std::sync::Arc;

use sha2::{Digest, Sha256};

use crate::diagnostic::{Diagnostic, Place, SourceId, Sources, codes, nearest};
use crate::kinds::without_repeats;
use crate::quantity::Dimension;
use crate::written::{FigureNote, Named, NumberAt, Read, Reading, Setting, Shape, Value, parse};

pub use catalogue::{Catalogue, uses};
pub use equivalents::{Equivalents, PhaseEquivalents};
pub use faults::Fault;
pub use mission::{Flight, LaunchPrice, Mission, Phase, Resupply};
pub use record::{Declared, Limits, Measure, SparesWanted, Study, Variant, Written};
pub use rewritten::NotInFile;
pub use streams::{Hop, unknown_nodes};
pub use water_round::{
    CabinAir, Cells, Coil, Dispenser, Drink, Pipe, PressedTank, WaterLine, WaterRound,
};

use catalogue::Offers;

/// The newest version of the file's format that this tool reads.
pub const FORMAT: u32 = 1;

/// Shares that sum to one may miss it by so much.
const ONE_WITHIN: f64 = 1e-5;

/// The place of something that no file states.
pub(crate) const NOWHERE: Place = Place::NOWHERE;

/// Changes to a design before it is read.
#[derive(Clone, Debug, Default)]
pub struct Edits {
    /// The catalogue files that the design uses, in its order; see [`uses`].
    pub catalogues: Vec<SourceId>,
    /// A variant of the design, by name.
    pub variant: Option<String>,
    /// Texts `ADDRESS=VALUE`, each a source of its own, applied in order after
    /// the variant.
    pub settings: Vec<SourceId>,
}

/// A design as read: what was written, and what the reader noted on the way.
#[derive(Clone, Debug)]
pub struct Design {
    /// The typed record.
    pub written: Written,
    /// Nodes that a variant takes out with their streams.
    pub without: Vec<Named>,
    /// Sources and spreads of its numbers.
    pub figures: Vec<FigureNote>,
    /// Every number with its address.
    pub numbers: Vec<NumberAt>,
    /// SHA-256 of everything that was read, in hexadecimal.
    pub input_sha256: String,
    /// Warnings of the reader, and names that nothing has; the check of the
    /// whole design reports them with its own.
    pub complaints: Vec<Diagnostic>,
    /// The file before any variant, and the settings made after one.
    tree: Arc<Value>,
    /// The file as it was read, after variant and settings.
    edited: Arc<Value>,
    offers: Offers,
    variant: Option<String>,
    settings: Vec<Setting>,
}

impl Design {
    /// The same file with the same settings as one of its variants.
    ///
    /// # Errors
    ///
    /// Every mistake found, each with its place.
    pub fn as_variant(&self, name: &str) -> Result<Design, Vec<Diagnostic>> {
        typed(
            &self.tree,
            &self.offers,
            Some(name),
            &self.settings,
            self.input_sha256.clone(),
        )
    }

    /// The same file and variant without the settings.
    ///
    /// # Errors
    ///
    /// Every mistake found, each with its place.
    pub fn without_settings(&self) -> Result<Design, Vec<Diagnostic>> {
        typed(
            &self.tree,
            &self.offers,
            self.variant.as_deref(),
            &[],
            self.input_sha256.clone(),
        )
    }

    /// The shares that sum to one with the number at an address, such as the other
    /// yields of the same feed; none if it is no such share.
    ///
    /// ```
    /// # use loopwright::design::{self, Edits};
    /// # use loopwright::diagnostic::Sources;
    /// # let mut sources = Sources::new();
    /// # let file = sources.add("x", include_str!("../../designs/classroom.ron"));
    /// # let design = design::read(&sources, file, &Edits::default()).unwrap();
    /// let others = design.shares_beside("nodes.filter.turns.condensate.rinse");
    /// assert_eq!(others[0].address, "nodes.filter.turns.condensate.potable water");
    /// assert!(design.shares_beside("nodes.filter.unit.mass").is_empty());
    /// ```
    pub fn shares_beside(&self, address: &str) -> Vec<&NumberAt> {
        let number = |address: &str| self.numbers.iter().find(|one| one.address == address);
        let Some(own) = number(address) else {
            return Vec::new();
        };
        let others = self.edited.beside(address).unwrap_or_default();
        let others: Option<Vec<&NumberAt>> = others.iter().map(|one| number(one)).collect();
        let others = others.unwrap_or_default();
        let fractions = others
            .iter()
            .chain([&own])
            .all(|one| one.dimension == Dimension::Fraction);
        let sum: f64 = own.value + others.iter().map(|one| one.value).sum::<f64>();
        match fractions && (sum - 1.0).abs() < ONE_WITHIN {
            true => others,
            false => Vec::new(),
        }
    }

    /// The same design with other numbers at some addresses, given in canonical
    /// units; they come after its variant and its settings.
    ///
    /// # Errors
    ///
    /// Every mistake found, each with its place.
    pub fn with_numbers(
        &self,
        changes: &[(&str, f64, Dimension)],
    ) -> Result<Design, Vec<Diagnostic>> {
        let mut settings = self.settings.clone();
        for &(address, value, dimension) in changes {
            let written = self.tree.get(address);
            let place = written.map_or(NOWHERE, |written| written.place);
            settings.push(Setting::from_number(address, place, value, dimension));
        }
        typed(
            &self.tree,
            &self.offers,
            self.variant.as_deref(),
            &settings,
            self.input_sha256.clone(),
        )
    }
}

/// Reads a design.
///
/// # Errors
///
/// Every mistake found, each with its place.
pub fn read(sources: &Sources, source: SourceId, edits: &Edits) -> Result<Design, Vec<Diagnostic>> {
    let mut tree = parse(source, sources.text(source)).map_err(|diagnostic| vec![diagnostic])?;
    check_format(&tree)?;
    let mut complaints: Vec<Diagnostic> = Vec::new();
    let mut settings = Vec::new();
    for &setting in &edits.settings {
        match Setting::from_text(setting, sources.text(setting)) {
            Ok(change) => settings.push(change),
            Err(diagnostic) => complaints.push(diagnostic),
        }
    }
    let hash = hash(sources, source, edits);
    let offers = match Offers::read(sources, &edits.catalogues) {
        Ok(offers) => offers,
        Err(more) => {
            complaints.extend(more);
            return Err(complaints);
        }
    };
    complaints.extend(offers.merge(&mut tree));
    let tree = Arc::new(tree);
    match typed(&tree, &offers, edits.variant.as_deref(), &settings, hash) {
        Ok(design) if complaints.is_empty() => Ok(design),
        Ok(_) => Err(complaints),
        Err(more) => {
            complaints.extend(more);
            Err(complaints)
        }
    }
}

/// Reads a tree after a variant and settings have changed it.
fn typed(
    original: &Arc<Value>,
    offers: &Offers,
    variant_name: Option<&str>,
    settings: &[Setting],
    input_sha256: String,
) -> Result<Design, Vec<Diagnostic>> {
    let mut tree = Arc::clone(original);
    let mut reading = Reading::new();
    let mut complaints: Vec<Diagnostic> = Vec::new();
    let mut without = Vec::new();
    if let Some(name) = variant_name {
        match variant(original, name) {
            Ok(changes) => {
                without = changes.without.clone();
                for (_, value) in &changes.set {
                    reading.allow_unquoted(value.0.place);
                }
                complaints.extend(apply(Arc::make_mut(&mut tree), &changes));
            }
            Err(diagnostic) => complaints.push(diagnostic),
        }
    }
    for setting in settings {
        reading.allow_unquoted(setting.value.place);
        if let Err(error) = Arc::make_mut(&mut tree).set(setting) {
            complaints.push(error.diagnostic(setting.address.place));
        }
    }
    if !Arc::ptr_eq(&tree, original) {
        // A change may have put in a unit of a catalogue.
        complaints.extend(offers.merge(Arc::make_mut(&mut tree)));
    }
    let written = Written::read(&tree, &mut reading);
    let unknown = names::unknown(original, &tree, &reading);
    let Reading {
        diagnostics,
        figures,
        numbers,
        ..
    } = reading;
    complaints.extend(diagnostics);
    let (mut errors, warnings): (Vec<Diagnostic>, Vec<Diagnostic>) =
        complaints.into_iter().partition(Diagnostic::is_error);
    match written {
        Some(written) if errors.is_empty() => Ok(Design {
            complaints: [warnings, unknown].concat(),
            written,
            without,
            figures,
            numbers,
            input_sha256,
            tree: Arc::clone(original),
            edited: tree,
            offers: offers.clone(),
            variant: variant_name.map(str::to_owned),
            settings: settings.to_vec(),
        }),
        _ => {
            // What cannot be read is no reason to tell of wrong names a run later.
            errors.extend(streams::unknown_nodes_of(&tree));
            errors.extend(unknown);
            Err(without_repeats(errors))
        }
    }
}

/// Refuses a format that this tool does not know before complaining about
/// anything in it.
fn check_format(tree: &Value) -> Result<(), Vec<Diagnostic>> {
    let Some(value) = tree.field("format") else {
        return Ok(());
    };
    let Shape::Number(text) = &value.shape else {
        return Ok(());
    };
    match text.parse::<u32>() {
        Ok(version) if version == 0 || version > FORMAT => Err(vec![
            Diagnostic::error(
                codes::FORMAT_VERSION,
                format!("the file states format {version}; this tool reads format {FORMAT}"),
            )
            .at(value.place, "")
            .help("use a newer version of the tool, or write the file in format 1"),
        ]),
        _ => Ok(()),
    }
}

/// A variant of the tree, read by itself.
fn variant(tree: &Value, name: &str) -> Result<Variant, Diagnostic> {
    let entries: &[(Value, Value)] = match tree.field("variants").map(|value| &value.shape) {
        Some(Shape::Map(entries)) => entries,
        _ => &[],
    };
    let names: Vec<&str> = entries.iter().filter_map(|(key, _)| key.text()).collect();
    let Some((_, value)) = entries.iter().find(|(key, _)| key.text() == Some(name)) else {
        let help = match nearest(name, names.iter().copied()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if names.is_empty() => "the design has no variants".to_owned(),
            None => format!("variants: {}", names.join(", ")),
        };
        return Err(Diagnostic::error(
            codes::UNKNOWN_VARIANT,
            format!("the design has no variant \"{name}\""),
        )
        .help(help));
    };
    let mut reading = Reading::new();
    // Its mistakes are reported with those of the whole file.
    Ok(Variant::read(value, &mut reading).unwrap_or(Variant {
        without: Vec::new(),
        set: crate::written::Entries::default(),
    }))
}

/// Applies what a variant sets.
fn apply(tree: &mut Value, variant: &Variant) -> Vec<Diagnostic> {
    let mut complaints = Vec::new();
    for (address, value) in &variant.set {
        match Setting::from_value(address.clone(), &value.0) {
            Ok(setting) => {
                if let Err(error) = tree.set(&setting) {
                    complaints.push(error.diagnostic(address.place));
                }
            }
            Err(diagnostic) => complaints.push(diagnostic),
        }
    }
    complaints
}

fn hash(sources: &Sources, source: SourceId, edits: &Edits) -> String {
    let mut hasher = Sha256::new();
    hasher.update(sources.text(source).as_bytes());
    for &catalogue in &edits.catalogues {
        hasher.update(b"\0uses\0");
        hasher.update(sources.text(catalogue).as_bytes());
    }
    if let Some(variant) = &edits.variant {
        hasher.update(b"\0variant\0");
        hasher.update(variant.as_bytes());
    }
    for &setting in &edits.settings {
        hasher.update(b"\0set\0");
        hasher.update(sources.text(setting).as_bytes());
    }
    let digest = hasher.finalize();
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
