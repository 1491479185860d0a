//! Tables: what they show, whose column and whose row.

use maud::{Markup, html};

use super::blocks::{BLANK, joined};
use crate::report::page::{Cell, Column, Table};

/// A table with more columns than this is set smaller.
const MANY_COLUMNS: usize = 8;

/// A table in a frame that scrolls by itself and can be reached by keyboard. Without a
/// caption the heading above names it. The id is for the caption.
pub(super) fn table(table: &Table, above: &str, id: &str) -> Markup {
    let numbers: Vec<bool> = (0..table.columns.len())
        .map(|column| {
            let mut cells = table.rows.iter().filter_map(|row| row.get(column));
            cells.any(Cell::is_number)
        })
        .collect();
    let (named, caption) = match table.caption.as_str() {
        "" => (false, above),
        caption => (true, caption),
    };
    let small = table.columns.len() > MANY_COLUMNS;
    html! {
        div.scroll tabindex="0" role="group" aria-labelledby=(id) {
            table class=[small.then_some("small")] {
                caption id=(id) class=[(!named).then_some("unseen")] { (caption) }
                thead {
                    tr {
                        @for (column, number) in table.columns.iter().zip(&numbers) {
                            (heading(column, *number))
                        }
                    }
                }
                tbody {
                    @for row in &table.rows { (cells(row, &numbers, BLANK)) }
                }
                @if let Some(total) = &table.total {
                    tfoot { (cells(total, &numbers, "")) }
                }
            }
        }
    }
}

fn heading(column: &Column, number: bool) -> Markup {
    let class = number.then_some("number");
    if column.heading.is_empty() && column.unit.is_empty() {
        // Nothing heads this column, so it has no header to read out.
        return html! { td class=[class] {} };
    }
    html! {
        th scope="col" class=[class] {
            (column.heading)
            @if !column.unit.is_empty() {
                @if !column.heading.is_empty() { ", " }
                span.unit { (column.unit) }
            }
        }
    }
}

/// A row, its first cell heading it where there is something in it.
fn cells(row: &[Cell], numbers: &[bool], blank: &str) -> Markup {
    html! {
        tr {
            @for (index, (cell, number)) in row.iter().zip(numbers).enumerate() {
                @let class = class(cell, *number);
                @if index == 0 && *cell != Cell::Blank {
                    th scope="row" class=[class] { (joined(&cell.words(blank))) }
                } @else {
                    td class=[class] { (words(cell, blank)) }
                }
            }
        }
    }
}

/// Numbers stand on the right; they and a few letters stay on one line, and many letters
/// keep room for some words beside each other.
fn class(cell: &Cell, number: bool) -> Option<&'static str> {
    const FEW: usize = 14;
    const MANY: usize = 40;
    let Cell::Text(words) = cell else {
        return number.then_some("number");
    };
    match words.chars().count() {
        _ if number => Some("number"),
        ..=FEW => Some("few"),
        MANY.. => Some("many"),
        _ => None,
    }
}

/// Words of a cell, in which an address may go on in the next line after each of its dots.
fn words(cell: &Cell, blank: &str) -> Markup {
    html! {
        @for (index, part) in cell.words(blank).split_inclusive('.').enumerate() {
            @if index > 0 && part.starts_with(char::is_alphabetic) { wbr; }
            (joined(part))
        }
    }
}
