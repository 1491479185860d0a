//! What became of many missions.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

use super::pool::{Fate, FlownPool};

/// Counts over missions; two of them in order make one.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Tally {
    pub missions: u64,
    /// By part.
    pub parts: Vec<PartTally>,
    /// Missions whose first shortfall comes before a day of the calendar.
    pub short_by_day: Vec<u64>,
}

/// Counts of one part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct PartTally {
    pub short: u64,
    /// Missions of which its shortfall is the first.
    pub first: u64,
    pub spares_used: u64,
    pub unit_days_down: f64,
}

impl Tally {
    pub fn empty(parts: usize, days: usize) -> Self {
        Tally {
            missions: 0,
            parts: vec![PartTally::default(); parts],
            short_by_day: vec![0; days],
        }
    }

    /// Lives through the missions of these numbers. Each has a stream of random
    /// numbers of its own, so that it goes the same way whatever is run beside it.
    pub fn of(
        pools: &[FlownPool],
        days: &[f64],
        seed: u64,
        missions: std::ops::Range<u64>,
    ) -> Self {
        let mut tally = Tally::empty(pools.len(), days.len());
        let seeded = ChaCha8Rng::seed_from_u64(seed);
        for mission in missions {
            let mut random = seeded.clone();
            random.set_stream(mission);
            let fates = pools.iter().map(|pool| pool.live(&mut random));
            tally.add(&fates.collect::<Vec<Fate>>(), days);
        }
        tally
    }

    fn add(&mut self, fates: &[Fate], days: &[f64]) {
        self.missions += 1;
        let mut first: Option<(f64, usize)> = None;
        for (index, (part, fate)) in self.parts.iter_mut().zip(fates).enumerate() {
            part.spares_used += u64::from(fate.spares_used);
            part.unit_days_down += fate.unit_days_down;
            let Some(day) = fate.short_on else { continue };
            part.short += 1;
            if first.is_none_or(|(earliest, _)| day < earliest) {
                first = Some((day, index));
            }
        }
        let Some((day, part)) = first else { return };
        self.parts[part].first += 1;
        for (short, &until) in self.short_by_day.iter_mut().zip(days) {
            *short += u64::from(day < until);
        }
    }

    /// The same with the missions that come after these.
    pub fn and(mut self, after: &Tally) -> Self {
        self.missions += after.missions;
        for (part, more) in self.parts.iter_mut().zip(&after.parts) {
            part.short += more.short;
            part.first += more.first;
            part.spares_used += more.spares_used;
            part.unit_days_down += more.unit_days_down;
        }
        for (short, more) in self.short_by_day.iter_mut().zip(&after.short_by_day) {
            *short += more;
        }
        self
    }
}
