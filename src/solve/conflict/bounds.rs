//! Bounds and groups of the program as rows that may give way: least numbers of
//! units, exclusive groups, reserves of stated mass, and what spares weigh.

use super::elastic::Elastic;
use super::statement::What;
use crate::kinds::{Reserve, Stock};
use crate::program::{ColumnId, Family, Sense};

impl Elastic<'_> {
    /// At least so many units of every node that must fly.
    pub(super) fn units(&mut self) {
        for node in self.network.nodes() {
            let least = f64::from(self.network.duties(node).count.lower);
            let Some(count) = self.program.handles.count[node.index()] else {
                continue;
            };
            if least == 0.0 {
                continue;
            }
            let label = format!("least number of units of {}", self.network.name(node));
            let row = self.row(label, vec![(count, 1.0)], Sense::AtLeast, least);
            self.slack(row, What::Units { node }, 1.0, least, 1.0);
        }
    }

    /// `u ≤ upper · on` for every node of a group, and `Σ on ≤ 1`.
    pub(super) fn exclusives(&mut self) {
        for (group, exclusive) in self.network.exclusive.iter().enumerate() {
            let mut chosen = Vec::new();
            for &node in &exclusive.nodes {
                let Some(count) = self.program.handles.count[node.index()] else {
                    continue;
                };
                let name = self.network.name(node);
                let on = self.column(format!("{name} is chosen"), 1.0, true);
                let most = f64::from(self.network.duties(node).count.upper);
                let label = format!("units of {name} only where it is chosen");
                self.row(label, vec![(count, 1.0), (on, -most)], Sense::AtMost, 0.0);
                chosen.push((on, 1.0));
            }
            let most = chosen.len() as f64;
            let row = self.row(
                format!("exclusive group {group}"),
                chosen,
                Sense::AtMost,
                1.0,
            );
            self.slack(row, What::Exclusive { group }, -1.0, most, 1.0);
        }
    }

    /// A reserve of stated mass is a bound; here it is a row that may give way.
    pub(super) fn reserves(&mut self) {
        for node in self.network.nodes() {
            let Some(Stock::Kept {
                reserve: Some(Reserve::Kilograms(kg)),
                ..
            }) = self.network.duties(node).stock
            else {
                continue;
            };
            let Some(column) = self.program.handles.reserve[node.index()] else {
                continue;
            };
            let data = &mut self.program.columns[column.0];
            (data.lower, data.upper) = (0.0, f64::INFINITY);
            let label = format!("reserve of {}", self.network.name(node));
            let row = self.row(label, vec![(column, 1.0)], Sense::AtLeast, kg);
            self.slack(row, What::Reserve { node }, 1.0, kg, kg);
        }
    }

    /// Spares give way by weighing nothing: in the relaxation, every payload is
    /// credited with at most what its spares weigh.
    pub(super) fn spares(&mut self) {
        let parts = self.program.parts.iter();
        let options: Vec<ColumnId> = parts
            .flat_map(|part| part.options.iter().map(|option| option.column))
            .collect();
        for index in 0..self.program.rows.len() {
            let row = &self.program.rows[index];
            if row.family != Family::Payload {
                continue;
            }
            let carried: Vec<(ColumnId, f64)> = row
                .terms
                .iter()
                .filter(|(column, _)| options.contains(column))
                .map(|&(column, kg)| (column, -kg))
                .collect();
            if carried.is_empty() {
                continue;
            }
            let slack = self.slack(index, What::Spares, -1.0, f64::INFINITY, 1.0);
            let credit = self.slacks[slack].column;
            let mut terms = carried;
            terms.push((credit, 1.0));
            self.row("what spares weigh".to_owned(), terms, Sense::AtMost, 0.0);
        }
    }
}
