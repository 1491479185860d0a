//! What a plan has otherwise than the design as written.

use super::page::{Block, Cell, Table};
use crate::quantity::{Dimension, shown};
use crate::study::against::Against;

/// How much heavier or lighter, in words.
pub fn change_words(found: &Against) -> String {
    let change = found.change_kg();
    let amount = shown(change.abs(), Dimension::Mass);
    match change {
        _ if amount == shown(0.0, Dimension::Mass) => "as heavy as written".to_owned(),
        change if change > 0.0 => format!("{amount} more than as written"),
        _ => format!("{amount} less than as written"),
    }
}

/// Units that differ, and the launch mass by category where it differs.
pub fn against(found: &Against) -> Vec<Block> {
    if found.units.is_empty() && found.categories.is_empty() {
        return vec![Block::Paragraph(
            "The same units and the same masses as written.".to_owned(),
        )];
    }
    let units = found.units.iter();
    let units: Vec<String> = units
        .map(|(name, before, after)| format!("{name} {before} → {after}"))
        .collect();
    let words = match units.is_empty() {
        true => "The same units as written.".to_owned(),
        false => format!("Units: {}.", units.join(", ")),
    };
    let mut table = Table::new(&[
        ("category", ""),
        ("as written", "kg"),
        ("now", "kg"),
        ("change", "kg"),
    ]);
    for (category, [before, after]) in &found.categories {
        table.rows.push(vec![
            Cell::text(category.words()),
            Cell::kg(*before),
            Cell::kg(*after),
            Cell::kg(after - before),
        ]);
    }
    let mut blocks = vec![Block::Paragraph(words)];
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
    blocks
}
