//! Answers with other units that weigh the same as the lightest: a search that
//! goes a little beyond it sees them all, and ties between units need no search
//! of their own.

use super::leaves::Incumbent;
use super::tree::Search;

/// Masses closer than this are the same, kg.
pub(in crate::solve) const SAME_MASS_KG: f64 = 1e-6;
/// A search proves to a share of the mass; where that is more than this, kg, going
/// beyond the lightest would cost more than it tells.
const FINE_KG: f64 = 1e-4;
/// Answers kept at most; where there are more, the search stops looking for them.
const MOST: usize = 32;

/// The answers that weigh the same, as far as they are known.
#[derive(Clone, Debug, Default)]
pub(in crate::solve) struct Alike {
    /// With units of their own each.
    found: Vec<Incumbent>,
    too_many: bool,
}

impl Search<'_> {
    /// How far beyond the lightest answer the search goes; none if it stops short
    /// of it, by the share that it need not prove.
    pub(super) fn beyond(&self, mass_kg: f64) -> Option<f64> {
        let looking = self.alike.as_ref().is_some_and(|alike| !alike.too_many);
        (looking && self.options.gap * mass_kg.abs() <= FINE_KG).then_some(SAME_MASS_KG)
    }

    /// Remembers a complete answer among those that weigh the same.
    pub(super) fn remember(&mut self, answer: &Incumbent) {
        let Some(alike) = &mut self.alike else {
            return;
        };
        let counts = || self.portfolio.groups.iter().flat_map(|group| &group.counts);
        let same =
            |other: &Incumbent| counts().all(|&count| other.values[count] == answer.values[count]);
        match alike.found.iter_mut().find(|other| same(other)) {
            Some(other) if other.cost <= answer.cost => {}
            Some(other) => other.clone_from(answer),
            None => alike.found.push(answer.clone()),
        }
        let lightest = alike.found.iter().map(|one| one.cost);
        let limit = lightest.fold(f64::INFINITY, f64::min) + SAME_MASS_KG;
        alike.found.retain(|one| one.cost <= limit);
        alike.too_many |= alike.found.len() > MOST;
    }

    /// All answers that weigh the same as this mass; none if the search cannot say.
    pub(super) fn all_alike(&mut self, mass_kg: f64, complete: bool) -> Option<Vec<Incumbent>> {
        let sure =
            complete && self.cutoff > mass_kg + SAME_MASS_KG && self.beyond(mass_kg).is_some();
        self.alike.take().filter(|_| sure).map(|alike| alike.found)
    }
}
