//! What every test of whole designs needs.

// Each test program uses a part of it.
#![allow(dead_code)]

pub mod balance;

use std::fs;
use std::path::{Path, PathBuf};

use loopwright::audit::Plan;
use loopwright::design::{self, Design, Edits};
use loopwright::diagnostic::{Diagnostic, Sources, render_text};
use loopwright::network::{self, Checked, Limit, Network};
use loopwright::{Hints, Planned, Refusal};

/// A path from the root of the repository.
pub fn path(relative: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(relative)
}

/// The text of a file.
pub fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The files of a folder whose names end so, in order.
pub fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let entries =
        fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(ending))
        .collect();
    files.sort();
    files
}

/// The last part of a path.
pub fn name(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

/// A design as read, with the texts it came from, or what was complained about.
pub struct Reading {
    /// The texts.
    pub sources: Sources,
    /// The design.
    pub design: Result<Design, Vec<Diagnostic>>,
}

/// Reads a file as a design, with the catalogue files beside it.
pub fn open(file: &Path, variant: Option<&str>) -> Reading {
    let mut sources = Sources::new();
    let source = sources.add(name(file), text(file));
    let catalogues = design::uses(&sources, source)
        .iter()
        .map(|used| sources.add(used.text.clone(), text(&file.with_file_name(&used.text))))
        .collect();
    let edits = Edits {
        catalogues,
        variant: variant.map(str::to_owned),
        ..Edits::default()
    };
    let design = design::read(&sources, source, &edits);
    Reading { sources, design }
}

/// Reads a text as a design, with `ADDRESS=VALUE` settings.
pub fn read(name: &str, text: &str, variant: Option<&str>, settings: &[&str]) -> Reading {
    let mut sources = Sources::new();
    let source = sources.add(name, text);
    let edits = Edits {
        variant: variant.map(str::to_owned),
        settings: settings
            .iter()
            .map(|setting| sources.add("--set", *setting))
            .collect(),
        ..Edits::default()
    };
    let design = design::read(&sources, source, &edits);
    Reading { sources, design }
}

impl Reading {
    /// The design, or a panic that shows what was complained about.
    pub fn design(&self) -> &Design {
        match &self.design {
            Ok(design) => design,
            Err(complaints) => panic!("{}", render_text(complaints, &self.sources, false)),
        }
    }

    /// The checked network, or everything that was complained about.
    pub fn checked(&self) -> Result<Checked, Vec<Diagnostic>> {
        match &self.design {
            Ok(design) => network::check(design),
            Err(complaints) => Err(complaints.clone()),
        }
    }

    /// The lightest plan, without a reference; none where nothing balances, or
    /// where counts that are held contradict an exclusive group.
    pub fn planned(&self) -> Option<Plan> {
        let hints = Hints {
            reference: false,
            causes: false,
            ..Hints::default()
        };
        match loopwright::plan(self.design(), &hints) {
            Ok(Planned::Plan(plan)) => Some(*plan),
            Ok(Planned::NoBalance(_)) => None,
            Err(Refusal::Design(why)) if why.iter().all(|one| one.code.0 == "LW0510") => None,
            other => panic!("{other:?}"),
        }
    }

    /// The lightest plan of a design that has one.
    pub fn plan(&self) -> Plan {
        self.planned().unwrap()
    }

    /// The network, or a panic that shows what was complained about.
    pub fn network(&self) -> Network {
        match self.checked() {
            Ok(checked) => checked.network,
            Err(complaints) => panic!("{}", render_text(&complaints, &self.sources, false)),
        }
    }
}

/// The limits of the whole that a design states.
pub fn limits(network: &mut Network) -> impl Iterator<Item = &mut Limit> {
    let limits = &mut network.limits;
    let all = [
        &mut limits.power_w,
        &mut limits.heat_w,
        &mut limits.volume_m3,
        &mut limits.crew_time_h_per_day,
        &mut limits.stowage_kg,
    ];
    all.into_iter().flatten()
}

/// Compares a text with a golden file, or writes the file where the environment
/// variable `LOOPWRIGHT_BLESS` is set. Gives what differs.
pub fn golden(path: &Path, found: &str) -> Result<(), String> {
    if std::env::var_os("LOOPWRIGHT_BLESS").is_some() {
        fs::write(path, found).unwrap();
        return Ok(());
    }
    let wanted = fs::read_to_string(path).unwrap_or_default();
    if wanted == found {
        return Ok(());
    }
    let line = wanted
        .lines()
        .zip(found.lines())
        .take_while(|(wanted, found)| wanted == found)
        .count();
    let at = |text: &str| text.lines().nth(line).unwrap_or("(end)").to_owned();
    Err(format!(
        "{}:{}: wanted\n    {}\nfound\n    {}\nIf the new text is right, run the test with LOOPWRIGHT_BLESS=1 and read the difference.",
        path.display(),
        line + 1,
        at(&wanted),
        at(found),
    ))
}
