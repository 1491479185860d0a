//! From an answer back to the columns of its program, so that rows can be read
//! with numbers put in.

use super::Answer;
use crate::program::{ColumnId, Program};

/// The value of every column of a program written flight by flight, as an answer
/// to the same network has it.
pub fn column_values(program: &Program, answer: &Answer) -> Vec<f64> {
    let mut values = Values(vec![0.0; program.columns.len()]);
    let handles = &program.handles;
    let decisions = &answer.decisions;
    for (stream, columns) in handles.flow.iter().enumerate() {
        values.put_some(columns, &decisions.flows[stream]);
    }
    for (node, activities) in handles.level.iter().enumerate() {
        for (activity, columns) in activities.iter().enumerate() {
            values.put_some(columns, &decisions.levels[node][activity]);
        }
        values.put_some(
            &handles.count[node..=node],
            &[f64::from(decisions.counts[node])],
        );
        if let Some(running) = &decisions.running[node] {
            values.put_some(&handles.running[node], &numbers(running));
        }
    }
    for plan in &decisions.cargo {
        let node = plan.node.index();
        values.put(&handles.cargo[node], &plan.kg);
        if let Some(containers) = &plan.containers {
            values.put(&handles.containers[node], &numbers(containers));
        }
    }
    for stock in &answer.stock {
        let ends: Vec<f64> = stock.levels.iter().map(|level| level.end_kg).collect();
        values.put(&handles.stock[stock.node.index()], &ends);
    }
    for plan in &decisions.cartridges {
        let columns = &handles.cartridges[plan.node.index()];
        values.put(columns, &numbers(&plan.by_flight));
    }
    for plan in &decisions.consumables {
        let node = plan.node.index();
        values.put(&handles.expendables[node], &plan.expendables_kg);
        values.put(&handles.upkeep[node], &plan.upkeep_kg);
    }
    for plan in &decisions.stores {
        let node = plan.node.index();
        values.put_some(&handles.reserve[node..=node], &[plan.reserve_kg]);
        values.put_some(&handles.holds[node..=node], &[plan.holds_kg]);
        let tanks = plan.tanks.map(f64::from).unwrap_or_default();
        values.put_some(&handles.tanks[node..=node], &[tanks]);
    }
    for (part, plan) in program.parts.iter().zip(&decisions.spares) {
        let units: Vec<u32> = part
            .nodes
            .iter()
            .map(|node| decisions.counts[node.index()])
            .collect();
        for option in &part.options {
            let chosen = option.counts == units && option.spares == plan.spares;
            values.put(&[option.column], &[f64::from(u8::from(chosen))]);
        }
    }
    for &(count, on) in program.exclusive.iter().flatten() {
        let chosen = values.0[count.0] > 0.5;
        values.put(&[on], &[f64::from(u8::from(chosen))]);
    }
    for (total, pieces) in &handles.running_totals {
        let sum = pieces.iter().map(|piece| values.0[piece.0]).sum();
        values.put(&[*total], &[sum]);
    }
    let lines = answer.equivalents.iter().flat_map(|mass| &mass.lines);
    for line in lines {
        for (what, column) in &handles.equivalents {
            if *what == line.item {
                values.put(&[*column], &[line.kg]);
            }
        }
    }
    values.0
}

struct Values(Vec<f64>);

impl Values {
    fn put(&mut self, columns: &[ColumnId], values: &[f64]) {
        for (column, value) in columns.iter().zip(values) {
            self.0[column.0] = *value;
        }
    }

    fn put_some(&mut self, columns: &[Option<ColumnId>], values: &[f64]) {
        for (column, value) in columns.iter().zip(values) {
            if let Some(column) = column {
                self.0[column.0] = *value;
            }
        }
    }
}

fn numbers(wholes: &[u32]) -> Vec<f64> {
    wholes.iter().map(|&whole| f64::from(whole)).collect()
}
