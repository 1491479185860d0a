//! Checks as records: what was compared, how far it is off, how far it may be.

use std::collections::BTreeMap;
use std::fmt;

/// A check fails if its residual is larger than this.
pub const TOLERANCE: f64 = 1e-6;

/// What a check is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// The answer says something about everything in the network.
    Completeness,
    /// Nothing flows, works or flies a negative amount.
    Nonnegativity,
    /// Every node, substance and phase balances.
    Balance,
    /// Fixed levels are what the design says.
    FixedLevels,
    /// Nothing works before its node starts.
    Starts,
    /// Conversions use no more than their share of a feed.
    FeedLimits,
    /// Counts lie within their bounds, and groups are exclusive.
    Counts,
    /// Units can take their feed, and running ones get enough.
    Capacity,
    /// Cargo is aboard before it is drawn.
    Stock,
    /// What is aboard covers a late flight.
    LateFlights,
    /// Containers hold what is in them.
    Containers,
    /// Reserves are as large as the design asks for.
    Reserves,
    /// Tanks hold what is kept in them.
    Tanks,
    /// Cartridges, expendables and upkeep last until the next flight.
    Consumables,
    /// Spares suffice with the confidence asked for.
    Spares,
    /// Waste fits what stows it or takes it away.
    Waste,
    /// Power, heat, volume and crew time stay within their limits.
    Limits,
    /// Flights carry no more than they may.
    Payload,
    /// The ledger is what the decisions weigh.
    Ledger,
    /// Launch mass is the ledger's, and not below what was proved.
    LaunchMass,
    /// Elements in are elements out.
    Elements,
    /// What enters the loop leaves it.
    WholeMass,
    /// Recovery figures are what the flows say.
    Recovery,
    /// The answer's other figures follow from its decisions.
    Figures,
}

impl Family {
    /// Its words: "balance".
    pub fn words(self) -> &'static str {
        match self {
            Family::Completeness => "completeness",
            Family::Nonnegativity => "nothing negative",
            Family::Balance => "balance",
            Family::FixedLevels => "fixed levels",
            Family::Starts => "starts",
            Family::FeedLimits => "conversion limits",
            Family::Counts => "counts",
            Family::Capacity => "capacity",
            Family::Stock => "stock",
            Family::LateFlights => "late flights",
            Family::Containers => "containers",
            Family::Reserves => "reserves",
            Family::Tanks => "tanks",
            Family::Consumables => "cartridges and consumables",
            Family::Spares => "spares",
            Family::Waste => "waste",
            Family::Limits => "limits",
            Family::Payload => "payload",
            Family::Ledger => "ledger",
            Family::LaunchMass => "launch mass",
            Family::Elements => "elements",
            Family::WholeMass => "mass of the whole loop",
            Family::Recovery => "recovery figures",
            Family::Figures => "other figures",
        }
    }
}

/// One comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What it is about.
    pub family: Family,
    /// What was compared, in design words.
    pub name: String,
    /// How far it is off, relative to the larger of 1 and what is compared;
    /// infinite where there is nothing to measure.
    pub residual: f64,
    /// How far it may be off.
    pub tolerance: f64,
}

/// What the audit found.
#[derive(Clone, Debug, PartialEq)]
pub struct AuditReport {
    /// The largest residual of all checks.
    pub worst_residual: f64,
    /// Number of checks.
    pub checks: usize,
    /// By family, in a fixed order; families without a check are left out.
    pub families: Vec<FamilyReport>,
    /// What could not be checked, in design words.
    pub unchecked: Vec<String>,
}

/// What the audit found in one family of checks.
#[derive(Clone, Debug, PartialEq)]
pub struct FamilyReport {
    /// The family.
    pub family: Family,
    /// Number of checks.
    pub checks: usize,
    /// The check with the largest residual.
    pub worst: Check,
}

/// An answer that does not hold what it promises.
#[derive(Clone, Debug, PartialEq)]
pub struct AuditFault {
    /// Every check that failed, in the order of the audit; never empty.
    failures: Vec<Check>,
    worst: usize,
}

impl AuditFault {
    /// The failed check with the largest residual; the first of them where
    /// several are equally bad.
    pub fn worst(&self) -> &Check {
        &self.failures[self.worst]
    }

    /// Every check that failed, in the order of the audit.
    pub fn failures(&self) -> &[Check] {
        &self.failures
    }
}

impl fmt::Display for AuditFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let worst = self.worst();
        write!(
            formatter,
            "the audit rejects the answer: {} ({}) is off by {:.1e}, allowed {:.0e}",
            worst.name,
            worst.family.words(),
            worst.residual,
            worst.tolerance
        )?;
        match self.failures.len() {
            1 => Ok(()),
            failed => write!(formatter, "; {failed} checks fail in all"),
        }
    }
}

impl std::error::Error for AuditFault {}

/// Collects checks. Words are made only for checks that are kept: the worst of
/// each family, and those that fail.
#[derive(Default)]
pub(super) struct Checks {
    families: BTreeMap<Family, (usize, Check)>,
    failures: Vec<Check>,
    unchecked: Vec<String>,
}

impl Checks {
    /// The two are equal.
    pub fn equal(&mut self, family: Family, left: f64, right: f64, words: impl FnOnce() -> String) {
        let scale = left.abs().max(right.abs());
        self.record(family, (left - right).abs(), scale, words);
    }

    /// The value is at most the limit.
    pub fn at_most(
        &mut self,
        family: Family,
        value: f64,
        limit: f64,
        words: impl FnOnce() -> String,
    ) {
        let scale = value.abs().max(limit.abs());
        self.record(family, excess(value, limit), scale, words);
    }

    /// The value is at least the limit.
    pub fn at_least(
        &mut self,
        family: Family,
        value: f64,
        limit: f64,
        words: impl FnOnce() -> String,
    ) {
        self.at_most(family, limit, value, words);
    }

    /// The value is at least the limit, where both come in whole pieces of a size: a
    /// share of one piece is allowed, however little is needed.
    pub fn at_least_in_pieces(
        &mut self,
        family: Family,
        value: f64,
        limit: f64,
        piece: f64,
        words: impl FnOnce() -> String,
    ) {
        let scale = value.abs().max(limit.abs()).max(piece);
        self.record(family, excess(limit, value), scale, words);
    }

    /// Something that is true or not, with nothing to measure.
    pub fn holds(&mut self, family: Family, truth: bool, words: impl FnOnce() -> String) {
        let off = if truth { 0.0 } else { f64::INFINITY };
        self.record(family, off, 1.0, words);
    }

    /// Something is off by so much, where the amounts compared are of a scale.
    pub fn record(&mut self, family: Family, off: f64, scale: f64, words: impl FnOnce() -> String) {
        let residual = off / scale.max(1.0);
        // Not a number, or infinite on both sides: nothing was compared.
        let residual = match residual.is_nan() {
            true => f64::INFINITY,
            false => residual,
        };
        let fails = residual > TOLERANCE;
        let known = self.families.get_mut(&family);
        let is_worst = known
            .as_ref()
            .is_none_or(|(_, worst)| residual > worst.residual);
        let check = (fails || is_worst).then(|| Check {
            family,
            name: words(),
            residual,
            tolerance: TOLERANCE,
        });
        if fails {
            self.failures.extend(check.clone());
        }
        match (known, check) {
            (Some((checks, worst)), check) => {
                *checks += 1;
                if is_worst && let Some(check) = check {
                    *worst = check;
                }
            }
            (None, Some(check)) => {
                self.families.insert(family, (1, check));
            }
            (None, None) => {}
        }
    }

    /// Notes what cannot be checked.
    pub fn leave_unchecked(&mut self, words: String) {
        self.unchecked.push(words);
    }

    /// Whether everything so far holds.
    pub fn all_hold(&self) -> bool {
        self.failures.is_empty()
    }

    /// The report, or the fault if any check failed.
    pub fn finish(self) -> Result<AuditReport, AuditFault> {
        if !self.failures.is_empty() {
            let mut worst = 0;
            for (index, check) in self.failures.iter().enumerate() {
                if check.residual > self.failures[worst].residual {
                    worst = index;
                }
            }
            return Err(AuditFault {
                failures: self.failures,
                worst,
            });
        }
        let families: Vec<FamilyReport> = self
            .families
            .into_iter()
            .map(|(family, (checks, worst))| FamilyReport {
                family,
                checks,
                worst,
            })
            .collect();
        Ok(AuditReport {
            worst_residual: families
                .iter()
                .map(|family| family.worst.residual)
                .fold(0.0, f64::max),
            checks: families.iter().map(|family| family.checks).sum(),
            families,
            unchecked: self.unchecked,
        })
    }
}

/// How much a value is above a limit; not a number stays so.
fn excess(value: f64, limit: f64) -> f64 {
    let off = value - limit;
    if off < 0.0 { 0.0 } else { off }
}
