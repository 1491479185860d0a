//! Hardware counts as weights: every node, or every pool of nodes that share
//! spares, chooses one combination of units, and the linear program sees the
//! choice as weights between 0 and 1.

use std::collections::BTreeMap;

use super::mixed::{Column, Mixed, Row};
use super::spares::SpareTables;
use crate::program::{ColumnId, Family, Program, Sense};

/// Nodes whose units are chosen together.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// The count columns of the whole program.
    pub counts: Vec<usize>,
    /// The part of the spare tables, if the nodes carry spares.
    pub part: Option<usize>,
    /// What may be chosen.
    pub options: Vec<GroupOption>,
}

/// One combination of units of a group.
#[derive(Clone, Debug)]
pub(super) struct GroupOption {
    /// Units of every node.
    pub units: Vec<u32>,
    /// The weight column of the mixed program.
    pub weight: usize,
    /// What the linear program is charged for the spares, kg.
    pub priced: f64,
}

/// The mixed program that the search relaxes, and the way back.
#[derive(Clone, Debug)]
pub(super) struct Portfolio {
    /// Columns: those of the whole program, in place, then the weights.
    pub mixed: Mixed,
    /// Groups in order of their first count column.
    pub groups: Vec<Group>,
    /// The spare tables.
    pub tables: SpareTables,
    /// Whether spares were left out of the rows, so that their exact mass must
    /// be added.
    pub spares_apart: bool,
    /// `λ · log target`, part of what the linear program is charged for spares, kg.
    pub spares_constant: f64,
    /// Payload rows that weigh spares.
    pub weighed: Vec<Weighed>,
    /// What every column of the whole program has become, where it is no longer
    /// itself.
    expression: Vec<Option<Vec<(usize, f64)>>>,
    /// Whether a column of the whole program is whole.
    whole: Vec<bool>,
    /// Whether a column of the whole program is decided before other whole ones.
    early: Vec<bool>,
}

/// A payload row that weighs spares. The linear programs weigh the fewest that
/// any confidence allows; once the units are fixed, a column of its own adds
/// what the exact spares weigh beyond that.
#[derive(Clone, Debug)]
pub(super) struct Weighed {
    /// The column of the mixed program that adds the excess; none where every
    /// number of spares is a column of its own.
    pub column: Option<usize>,
    /// Mass of every 0/1 spares column of the whole program on this flight, kg.
    pub mass: BTreeMap<usize, f64>,
    /// Least mass by part and combination, kg.
    pub least: Vec<Vec<f64>>,
}

impl Portfolio {
    /// A mixed program over the whole program's own columns, nothing rewritten.
    pub fn plain(program: &Program, mixed: Mixed) -> Self {
        Portfolio {
            mixed,
            groups: Vec::new(),
            tables: SpareTables {
                parts: Vec::new(),
                counts: Vec::new(),
                target: None,
            },
            spares_apart: false,
            spares_constant: 0.0,
            weighed: Vec::new(),
            expression: vec![None; program.columns.len()],
            whole: program.columns.iter().map(|column| column.whole).collect(),
            early: early(program),
        }
    }

    /// The same columns and rows with nothing left to choose between: what
    /// remains once the units are fixed.
    pub fn leaf(&self) -> Self {
        Portfolio {
            groups: Vec::new(),
            weighed: Vec::new(),
            spares_apart: false,
            ..self.clone()
        }
    }

    /// Whether a column of the mixed program is decided before other whole ones.
    pub fn is_early(&self, column: usize) -> bool {
        self.early.get(column).copied().unwrap_or(false)
    }

    /// The 0/1 spares columns that are still themselves.
    pub fn spares_columns(&self) -> impl Iterator<Item = usize> {
        self.tables
            .parts
            .iter()
            .flatten()
            .flatten()
            .map(|choice| choice.column)
            .filter(|&column| self.expression[column].is_none())
    }

    /// Values of the whole program's columns from those of the mixed program;
    /// spares that were left out stay at nothing.
    pub fn unwrite(&self, all: &[f64]) -> Vec<f64> {
        self.expression
            .iter()
            .zip(&self.whole)
            .enumerate()
            .map(|(column, (expression, &whole))| {
                let value = match expression {
                    None => all[column],
                    Some(terms) => terms
                        .iter()
                        .map(|&(other, factor)| factor * all[other])
                        .sum(),
                };
                if whole { value.round() } else { value }
            })
            .collect()
    }
}

/// Rewrites a whole program in weights.
///
/// `price` is the price of confidence: any value ≥ 0 gives a valid bound.
/// `None` keeps every number of spares as a column of its own, which is needed
/// where spares on several flights compete for payload.
pub(super) fn rewrite(program: &Program, price: Option<f64>) -> Portfolio {
    let tables = SpareTables::new(program);
    let spares_constant = price.unwrap_or(0.0) * tables.target.unwrap_or(0.0);
    let mut writer = Writer {
        program,
        price,
        mixed: Mixed {
            constant: program.constant_kg + spares_constant,
            ..Mixed::default()
        },
        expression: vec![None; program.columns.len()],
        groups: Vec::new(),
        weighed: Vec::new(),
        tables: &tables,
    };
    writer.keep_columns();
    writer.choose_groups();
    writer.rows();
    writer.exclusives();
    let Writer {
        mixed,
        groups,
        expression,
        weighed,
        ..
    } = writer;
    Portfolio {
        mixed,
        groups,
        weighed,
        expression,
        spares_constant,
        whole: program.columns.iter().map(|column| column.whole).collect(),
        early: early(program),
        spares_apart: price.is_some() && !tables.parts.is_empty(),
        tables,
    }
}

fn early(program: &Program) -> Vec<bool> {
    program
        .columns
        .iter()
        .map(|column| column.decided_early)
        .collect()
}

struct Writer<'a> {
    program: &'a Program,
    price: Option<f64>,
    mixed: Mixed,
    /// What a column of the whole program has become, where it is no longer itself.
    expression: Vec<Option<Vec<(usize, f64)>>>,
    groups: Vec<Group>,
    weighed: Vec<Weighed>,
    tables: &'a SpareTables,
}

impl Writer<'_> {
    fn keep_columns(&mut self) {
        for column in &self.program.columns {
            self.mixed.columns.push(Column {
                lower: column.lower,
                upper: column.upper,
                whole: column.whole,
                kept: false,
                integral: column.whole,
                cost: column.cost,
            });
        }
    }

    fn gone(&mut self, column: usize, expression: Vec<(usize, f64)>) {
        // A column that has become something else is fixed at nothing, so that
        // the reduction removes it.
        let data = &mut self.mixed.columns[column];
        data.lower = 0.0;
        data.upper = 0.0;
        data.cost = 0.0;
        self.expression[column] = Some(expression);
    }

    fn choose_groups(&mut self) {
        let mut taken = vec![false; self.program.columns.len()];
        let mut plans: Vec<(Vec<usize>, Option<usize>)> = Vec::new();
        for (index, part) in self.program.parts.iter().enumerate() {
            let counts: Vec<usize> = part
                .nodes
                .iter()
                .filter_map(|node| self.program.handles.count[node.index()])
                .map(|column| column.0)
                .collect();
            for &count in &counts {
                taken[count] = true;
            }
            plans.push((counts, Some(index)));
        }
        for count in self.program.handles.count.iter().flatten() {
            let data = &self.program.columns[count.0];
            if !taken[count.0] && data.lower < data.upper {
                plans.push((vec![count.0], None));
            }
        }
        plans.sort();
        for (counts, part) in plans {
            self.add_group(counts, part);
        }
    }

    fn add_group(&mut self, counts: Vec<usize>, part: Option<usize>) {
        let combinations: Vec<Vec<u32>> = match part {
            Some(part) => self.tables.counts[part].clone(),
            None => {
                let data = &self.program.columns[counts[0]];
                (data.lower as u32..=data.upper as u32)
                    .map(|units| vec![units])
                    .collect()
            }
        };
        let mut options = Vec::with_capacity(combinations.len());
        let mut expressions = vec![Vec::new(); counts.len()];
        let mut one = Vec::new();
        for (combination, units) in combinations.into_iter().enumerate() {
            let priced = match (part, self.price) {
                (Some(part), Some(price)) => self.tables.priced(part, combination, price),
                _ => 0.0,
            };
            let cost: f64 = counts
                .iter()
                .zip(&units)
                .map(|(&count, &units)| self.program.columns[count].cost * f64::from(units))
                .sum();
            let weight = self.mixed.columns.len();
            self.mixed.columns.push(Column {
                lower: 0.0,
                upper: 1.0,
                whole: false,
                kept: true,
                integral: true,
                cost: cost + priced,
            });
            for (expression, &units) in expressions.iter_mut().zip(&units) {
                if units > 0 {
                    expression.push((weight, f64::from(units)));
                }
            }
            one.push((weight, 1.0));
            if let Some(part) = part {
                self.spares_of(part, combination, weight);
            }
            options.push(GroupOption {
                units,
                weight,
                priced,
            });
        }
        self.mixed.rows.push(Row {
            terms: one,
            sense: Sense::Equal,
            right: 1.0,
        });
        for (&count, expression) in counts.iter().zip(expressions) {
            self.gone(count, expression);
        }
        self.groups.push(Group {
            counts,
            part,
            options,
        });
    }

    /// What becomes of the 0/1 columns of one combination's spares.
    fn spares_of(&mut self, part: usize, combination: usize, weight: usize) {
        let choices = self.tables.parts[part][combination].clone();
        if let (None, [only]) = (self.price, choices.as_slice()) {
            // One number of spares: it flies exactly when the units do.
            self.mixed.columns[weight].cost += only.cost;
            self.gone(only.column, vec![(weight, 1.0)]);
            return;
        }
        if self.price.is_some() {
            for choice in choices {
                self.gone(choice.column, Vec::new());
            }
            return;
        }
        let mut link: Vec<(usize, f64)> =
            choices.iter().map(|choice| (choice.column, 1.0)).collect();
        link.push((weight, -1.0));
        self.mixed.rows.push(Row {
            terms: link,
            sense: Sense::Equal,
            right: 0.0,
        });
    }

    fn rows(&mut self) {
        for row in &self.program.rows {
            match row.family {
                Family::Exclusives => continue,
                Family::Spares => {
                    // Of these, only the confidence of the whole system says
                    // more than the weights do.
                    let is_confidence = row.sense == Sense::AtLeast;
                    if self.price.is_some() || !is_confidence {
                        continue;
                    }
                }
                _ => {}
            }
            let mut terms: Vec<(usize, f64)> = Vec::with_capacity(row.terms.len());
            for &(column, factor) in &row.terms {
                match &self.expression[column.0] {
                    None => terms.push((column.0, factor)),
                    Some(expression) => {
                        for &(weight, units) in expression {
                            terms.push((weight, factor * units));
                        }
                    }
                }
            }
            if row.family == Family::Payload {
                self.weigh_spares(&row.terms, &mut terms);
            }
            self.mixed.rows.push(Row {
                terms,
                sense: row.sense,
                right: row.right,
            });
        }
    }

    /// Adds the least mass of the spares to a payload row, and a column for
    /// what the exact ones weigh beyond it.
    fn weigh_spares(&mut self, row: &[(ColumnId, f64)], terms: &mut Vec<(usize, f64)>) {
        let mass: BTreeMap<usize, f64> = row
            .iter()
            .map(|&(column, factor)| (column.0, factor))
            .collect();
        let on_flight = |column: usize| mass.get(&column).copied().unwrap_or(0.0);
        let least: Vec<Vec<f64>> = self
            .tables
            .parts
            .iter()
            .map(|combinations| {
                combinations
                    .iter()
                    .map(|choices| {
                        choices
                            .iter()
                            .map(|choice| on_flight(choice.column))
                            .fold(f64::INFINITY, f64::min)
                    })
                    .collect()
            })
            .collect();
        let any = self.tables.parts.iter().flatten().flatten();
        if any.map(|choice| on_flight(choice.column)).sum::<f64>() == 0.0 {
            return;
        }
        if self.price.is_none() {
            // Every number of spares is a column of its own and weighs itself.
            self.weighed.push(Weighed {
                column: None,
                mass,
                least,
            });
            return;
        }
        for group in &self.groups {
            let Some(part) = group.part else { continue };
            for (option, &least) in group.options.iter().zip(&least[part]) {
                if least > 0.0 {
                    terms.push((option.weight, least));
                }
            }
        }
        let column = self.mixed.columns.len();
        self.mixed.columns.push(Column {
            lower: 0.0,
            upper: f64::INFINITY,
            whole: false,
            kept: true,
            integral: false,
            cost: 0.0,
        });
        terms.push((column, 1.0));
        self.weighed.push(Weighed {
            column: Some(column),
            mass,
            least,
        });
    }

    /// At most one node of an exclusive group: the weights of all its choices
    /// with units add up to at most one.
    fn exclusives(&mut self) {
        for group in &self.program.exclusive {
            let mut terms = Vec::new();
            let mut given = 0_u32;
            for &(count, on) in group {
                let chosen: Vec<(usize, f64)> = match &self.expression[count.0] {
                    Some(expression) => expression
                        .iter()
                        .map(|&(weight, _)| (weight, 1.0))
                        .collect(),
                    None => {
                        given += u32::from(self.program.columns[count.0].lower > 0.0);
                        Vec::new()
                    }
                };
                terms.extend(chosen.iter().copied());
                self.gone(on.0, chosen);
            }
            self.mixed.rows.push(Row {
                terms,
                sense: Sense::AtMost,
                right: 1.0 - f64::from(given),
            });
        }
    }
}
