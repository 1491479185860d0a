//! Spares of the whole system at the lowest mass: an exact search over the
//! parts, and the price of confidence that lets the linear programs leave
//! spares out.

use crate::program::Program;

/// One number of spares for one combination of units of a part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice {
    /// Initial mass, kg.
    pub cost: f64,
    /// Logarithm of the probability that they suffice.
    pub log_confidence: f64,
    /// The 0/1 column of the whole program.
    pub column: usize,
}

/// For every part and every combination of units, its choices of spares.
#[derive(Clone, Debug)]
pub(super) struct SpareTables {
    /// Part, combination, choice.
    pub parts: Vec<Vec<Vec<Choice>>>,
    /// Unit counts of every combination: part, combination, node of the part.
    pub counts: Vec<Vec<Vec<u32>>>,
    /// Logarithm of the confidence of the whole system, if one is asked for.
    pub target: Option<f64>,
}

/// The lightest spares for given units.
#[derive(Clone, Debug)]
pub(super) struct Lightest {
    /// Initial mass, kg.
    pub cost: f64,
    /// The 0/1 columns chosen, one per part.
    pub columns: Vec<usize>,
}

/// Rounding allowed in a sum of logarithms.
const LOG_SLACK: f64 = 1e-12;

impl SpareTables {
    /// Reads the tables of a program.
    pub fn new(program: &Program) -> Self {
        let mut parts = Vec::new();
        let mut counts = Vec::new();
        for part in &program.parts {
            let mut combinations: Vec<Vec<u32>> = Vec::new();
            let mut choices: Vec<Vec<Choice>> = Vec::new();
            for option in &part.options {
                let at = combinations
                    .iter()
                    .position(|counts| *counts == option.counts)
                    .unwrap_or_else(|| {
                        combinations.push(option.counts.clone());
                        choices.push(Vec::new());
                        combinations.len() - 1
                    });
                choices[at].push(Choice {
                    cost: program.columns[option.column.0].cost,
                    log_confidence: option.log_confidence,
                    column: option.column.0,
                });
            }
            parts.push(choices);
            counts.push(combinations);
        }
        SpareTables {
            parts,
            counts,
            target: program.system_confidence.map(f64::ln),
        }
    }

    /// The combination of a part with these unit counts.
    pub fn combination(&self, part: usize, counts: &[u32]) -> Option<usize> {
        self.counts[part].iter().position(|known| known == counts)
    }

    /// The lightest spares for one combination of every part; none if no number
    /// of spares reaches the confidence. Among equal masses the most confident.
    ///
    /// Exact: every part extends the list of (mass, log confidence) that no
    /// other beats in both; where parts have their own confidence there is one
    /// choice each.
    pub fn lightest(&self, combinations: &[usize]) -> Option<Lightest> {
        let Some(target) = self.target else {
            let mut cost = 0.0;
            let mut columns = Vec::with_capacity(combinations.len());
            for (part, &combination) in combinations.iter().enumerate() {
                let choice = self.parts[part][combination].first()?;
                cost += choice.cost;
                columns.push(choice.column);
            }
            return Some(Lightest { cost, columns });
        };
        let best_log: Vec<f64> = combinations
            .iter()
            .enumerate()
            .map(|(part, &combination)| {
                self.parts[part][combination]
                    .iter()
                    .map(|choice| choice.log_confidence)
                    .fold(f64::NEG_INFINITY, f64::max)
            })
            .collect();
        let mut labels = vec![Label {
            cost: 0.0,
            log_confidence: 0.0,
            made: 0,
        }];
        // Every label that was extended, and the choice that extended it.
        let mut all: Vec<(usize, usize)> = vec![(0, 0)];
        for (part, &combination) in combinations.iter().enumerate() {
            let rest: f64 = best_log.iter().skip(part + 1).sum();
            let mut longer: Vec<(Label, usize)> = Vec::new();
            for label in &labels {
                for choice in &self.parts[part][combination] {
                    let log_confidence = label.log_confidence + choice.log_confidence;
                    if log_confidence + rest < target - LOG_SLACK {
                        continue;
                    }
                    let label = Label {
                        cost: label.cost + choice.cost,
                        log_confidence,
                        made: label.made,
                    };
                    longer.push((label, choice.column));
                }
            }
            labels.clear();
            for (mut label, column) in undominated(longer) {
                all.push((label.made, column));
                label.made = all.len() - 1;
                labels.push(label);
            }
        }
        let label = labels.first()?;
        let mut columns = Vec::with_capacity(combinations.len());
        let mut at = label.made;
        while at > 0 {
            let (before, column) = all[at];
            columns.push(column);
            at = before;
        }
        columns.reverse();
        Some(Lightest {
            cost: label.cost,
            columns,
        })
    }

    /// Least `mass − λ · log confidence` of a combination of a part.
    pub fn priced(&self, part: usize, combination: usize, price: f64) -> f64 {
        self.parts[part][combination]
            .iter()
            .map(|choice| choice.cost - price * choice.log_confidence)
            .fold(f64::INFINITY, f64::min)
    }

    /// The price `λ ≥ 0` of confidence, kg per unit of logarithm, that bounds the
    /// spares of these combinations best: the maximum of the concave
    /// `Σ_parts min_j (mass·j − λ log F) + λ log target`, by halving on its slope.
    pub fn price(&self, combinations: &[usize]) -> f64 {
        let Some(target) = self.target else {
            return 0.0;
        };
        let slope = |price: f64| -> f64 {
            let logs: f64 = combinations
                .iter()
                .enumerate()
                .map(|(part, &combination)| {
                    self.parts[part][combination]
                        .iter()
                        .map(|choice| {
                            (
                                choice.cost - price * choice.log_confidence,
                                choice.log_confidence,
                            )
                        })
                        .fold((f64::INFINITY, 0.0), |best, choice| {
                            if choice.0 < best.0 { choice } else { best }
                        })
                        .1
                })
                .sum();
            target - logs
        };
        if slope(0.0) <= 0.0 {
            return 0.0;
        }
        let mut low = 0.0;
        let mut high = 1.0;
        while slope(high) > 0.0 && high < 1e15 {
            low = high;
            high *= 4.0;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if slope(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }
}

/// Spares for the first few parts.
#[derive(Clone, Copy, Debug)]
struct Label {
    cost: f64,
    log_confidence: f64,
    /// By which choices, in the list of all.
    made: usize,
}

/// Labels that no other beats in both mass and confidence, lightest first.
fn undominated(mut labels: Vec<(Label, usize)>) -> Vec<(Label, usize)> {
    labels.sort_by(|(a, _), (b, _)| {
        a.cost
            .total_cmp(&b.cost)
            .then(b.log_confidence.total_cmp(&a.log_confidence))
    });
    let mut best = f64::NEG_INFINITY;
    labels.retain(|(label, _)| {
        let better = label.log_confidence > best;
        best = best.max(label.log_confidence);
        better
    });
    labels
}
