//! The design that is served: its texts as read once, and its states.

use std::collections::{BTreeMap, VecDeque};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock};

use crate::audit::Plan;
use crate::design::{self, Design, Edits};
use crate::diagnostic::{Diagnostic, SourceId, Sources};
use crate::network::{self, Checked};
use crate::quantity::{Dimension, parse, written};
use crate::report::{KeptLayouts, Origin};
use crate::solve::Options;
use crate::study::axis::tidy;
use crate::study::moved::{Movable, changes};
use crate::written::NumberAt;
use crate::{Hints, Planned, plan};

use super::asked::Asked;
use crate::commands::answered::origin;
use crate::commands::arguments::{Changes, Input};

/// Plans kept for the questions that follow their answers.
const RECENT: usize = 8;

/// A design file and the catalogues that it names.
pub(super) struct Ground {
    /// The file, as the command line names it.
    pub file: PathBuf,
    /// The design as written.
    pub design: Design,
    /// The texts that were read.
    pub sources: Sources,
    /// Which of them is the design's.
    pub source: SourceId,
    /// Layouts of the pictures of its answers.
    pub layouts: KeptLayouts,
    catalogues: Vec<SourceId>,
    variants: BTreeMap<String, Design>,
    plan: OnceLock<Option<Box<Plan>>>,
    recent: Mutex<VecDeque<(Asked, Arc<Found>)>>,
}

/// A state with its plan.
pub(super) struct Found {
    /// The state.
    pub state: Box<State>,
    /// Its plan.
    pub plan: Box<Plan>,
}

/// A state of the design: read and checked.
pub(super) struct State {
    /// The texts, settings among them.
    pub sources: Sources,
    /// As read.
    pub design: Design,
    /// As checked.
    pub checked: Checked,
    /// Where it came from; its edits are what `solve --set` would be given.
    pub origin: Origin,
}

/// A state that the design does not allow.
pub(super) struct Wrong {
    /// Every complaint.
    pub complaints: Vec<Diagnostic>,
    settings: Vec<Setting>,
}

/// A text `ADDRESS=VALUE` as given to the reader.
struct Setting {
    text: String,
    source: SourceId,
    /// The address that was moved: for a share that gives way, the other one.
    moved: String,
}

impl Wrong {
    /// The moved numbers that a complaint is about: the one at whose setting it stands, else
    /// those of the node that it names, else all, for as written the design has no mistake.
    pub fn moved(&self, complaint: &Diagnostic) -> Vec<&str> {
        let all: Vec<&str> = self.settings.iter().map(|one| one.moved.as_str()).collect();
        let source = complaint.primary.as_ref().map(|(place, _)| place.source);
        let mut settings = self.settings.iter();
        if let Some(own) = settings.find(|setting| Some(setting.source) == source) {
            return vec![&own.moved];
        }
        let about = complaint.headline.split(": ").next().unwrap_or_default();
        let is_below = |address: &&str| {
            let rest = address.strip_prefix(about);
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        let below: Vec<&str> = all.iter().copied().filter(is_below).collect();
        if below.is_empty() { all } else { below }
    }
}

impl Ground {
    /// Reads the texts of a design, which must be without mistakes as written.
    pub fn new(
        file: PathBuf,
        sources: Sources,
        source: SourceId,
        catalogues: Vec<SourceId>,
    ) -> Result<(Self, Vec<Diagnostic>), Vec<Diagnostic>> {
        let edits = Edits {
            catalogues: catalogues.clone(),
            ..Edits::default()
        };
        let design = design::read(&sources, source, &edits)?;
        let warnings = network::check(&design)?.warnings;
        let names = design.written.variants.keys().map(|name| &name.text);
        let variants = names
            .filter_map(|name| Some((name.clone(), design.as_variant(name).ok()?)))
            .collect();
        let ground = Ground {
            file,
            design,
            sources,
            source,
            layouts: KeptLayouts::default(),
            catalogues,
            variants,
            plan: OnceLock::new(),
            recent: Mutex::default(),
        };
        Ok((ground, warnings))
    }

    /// The plan of the design as written, where it has one: what changes are held against.
    pub fn plan(&self, options: &Options) -> Option<&Plan> {
        let plan = self.plan.get_or_init(|| {
            let hints = Hints {
                reference: false,
                causes: false,
                ..options.clone().into()
            };
            match plan(&self.design, &hints) {
                Ok(Planned::Plan(plan)) => Some(plan),
                _ => None,
            }
        });
        plan.as_deref()
    }

    /// Keeps a plan for the questions that follow its answer.
    pub fn remember(&self, asked: &Asked, found: &Arc<Found>) {
        let mut recent = self.recent();
        recent.retain(|(known, _)| known != asked);
        recent.push_back((asked.clone(), Arc::clone(found)));
        if recent.len() > RECENT {
            recent.pop_front();
        }
    }

    /// The plan of a state that was answered just now.
    pub fn remembered(&self, asked: &Asked) -> Option<Arc<Found>> {
        let recent = self.recent();
        let found = recent.iter().find(|(known, _)| known == asked);
        found.map(|(_, found)| Arc::clone(found))
    }

    fn recent(&self) -> MutexGuard<'_, VecDeque<(Asked, Arc<Found>)>> {
        self.recent
            .lock()
            .unwrap_or_else(|broken| broken.into_inner())
    }

    /// The catalogues that it names.
    pub fn catalogues(&self) -> &[SourceId] {
        &self.catalogues
    }

    /// The design as a variant, without further changes.
    pub fn variant(&self, name: Option<&str>) -> Option<&Design> {
        match name {
            None => Some(&self.design),
            Some(name) => self.variants.get(name),
        }
    }

    /// Reads and checks a state, from the same texts as `solve --variant --set` would.
    pub fn state(&self, asked: &Asked) -> Result<Box<State>, Box<Wrong>> {
        let mut sources = self.sources.clone();
        let settings = self.settings(asked, &mut sources);
        let edits = Edits {
            catalogues: self.catalogues.clone(),
            variant: asked.variant.clone(),
            settings: settings.iter().map(|setting| setting.source).collect(),
        };
        let read = design::read(&sources, self.source, &edits)
            .and_then(|design| network::check(&design).map(|checked| (design, checked)));
        let (design, checked) = match read {
            Ok(read) => read,
            Err(complaints) => {
                return Err(Box::new(Wrong {
                    complaints,
                    settings,
                }));
            }
        };
        let input = Input {
            file: self.file.clone(),
            changes: Changes {
                settings: settings.into_iter().map(|setting| setting.text).collect(),
                variant: asked.variant.clone(),
            },
        };
        let origin = origin(&design, &checked.network, &input);
        Ok(Box::new(State {
            sources,
            design,
            checked,
            origin,
        }))
    }

    /// The settings of a state, and after them those of shares that give way: of yields
    /// that sum to one, the largest other one takes the difference.
    fn settings(&self, asked: &Asked, sources: &mut Sources) -> Vec<Setting> {
        let mut settings: Vec<Setting> = Vec::new();
        let mut add = |text: String, moved: &str| {
            let source = sources.add("--set", text.as_str());
            settings.push(Setting {
                moved: moved.to_owned(),
                text,
                source,
            });
        };
        let pairs: Vec<(&str, &str)> = asked
            .settings
            .iter()
            .map(|text| {
                let (address, value) = text.split_once('=').unwrap_or((text, ""));
                (address.trim(), value.trim())
            })
            .collect();
        for (text, (address, _)) in asked.settings.iter().zip(&pairs) {
            add(text.clone(), address);
        }
        let Some(design) = self.variant(asked.variant.as_deref()) else {
            return settings;
        };
        let moving: Vec<&str> = pairs.iter().map(|(address, _)| *address).collect();
        for &(address, value) in &pairs {
            let Ok(number) = Movable::of(design, address, &moving) else {
                continue;
            };
            let (Some(taker), Ok(value)) = (&number.taker, parse(value, Dimension::Fraction))
            else {
                continue;
            };
            let moved = changes([(&number, value)]);
            let left = moved.iter().find(|(other, ..)| *other == taker.address);
            if let Some(&(other, left, dimension)) = left {
                add(
                    format!("{other}={}", written(tidy(left), dimension)),
                    address,
                );
            }
        }
        settings
    }
}

/// A number as it is written, where that can be read as it stands; else in its
/// canonical unit.
pub(super) fn text_of(number: &NumberAt, sources: &Sources) -> String {
    let text = sources.quote(number.place).trim().trim_matches('"').trim();
    match parse(text, number.dimension) {
        Ok(value) if value == number.value => text.to_owned(),
        _ => written(number.value, number.dimension),
    }
}
