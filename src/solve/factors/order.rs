//! In which order the columns of a basis are eliminated.

/// The order of elimination: columns with one entry left, then rows with one
/// entry left, each with its pivot; then the rest, emptiest columns first.
pub(super) struct Order {
    /// Every place, with the row to eliminate it with where that is known.
    pub steps: Vec<(usize, Option<usize>)>,
    /// Entries of every row among the rest.
    pub filled: Vec<usize>,
}

impl Order {
    /// The order for these columns, place by place.
    pub fn of(columns: &[&[(usize, f64)]]) -> Self {
        let size = columns.len();
        let by_row = Places::of(columns);
        let mut in_column: Vec<usize> = columns.iter().map(|column| column.len()).collect();
        let mut in_row = vec![0; size];
        let mut column_open = vec![true; size];
        let mut row_open = vec![true; size];
        let mut steps = Vec::with_capacity(size);
        let single = |counts: &[usize]| -> Vec<usize> {
            (0..counts.len()).filter(|&at| counts[at] == 1).collect()
        };
        let mut waiting = single(&in_column);
        while let Some(place) = waiting.pop() {
            let mut rows = columns[place].iter().map(|&(row, _)| row);
            let Some(row) = rows.find(|&row| row_open[row]) else {
                continue;
            };
            steps.push((place, Some(row)));
            column_open[place] = false;
            row_open[row] = false;
            for &other in by_row.of_row(row) {
                in_column[other] -= 1;
                if column_open[other] && in_column[other] == 1 {
                    waiting.push(other);
                }
            }
        }
        for (row, count) in in_row.iter_mut().enumerate() {
            let open = by_row
                .of_row(row)
                .iter()
                .filter(|&&place| column_open[place]);
            *count = if row_open[row] { open.count() } else { 0 };
        }
        let mut waiting = single(&in_row);
        while let Some(row) = waiting.pop() {
            let mut places = by_row.of_row(row).iter().copied();
            let Some(place) = places.find(|&place| column_open[place]) else {
                continue;
            };
            steps.push((place, Some(row)));
            column_open[place] = false;
            row_open[row] = false;
            for &(other, _) in columns[place] {
                in_row[other] = in_row[other].saturating_sub(1);
                if row_open[other] && in_row[other] == 1 {
                    waiting.push(other);
                }
            }
        }
        let rest = (0..size).filter(|&place| column_open[place]);
        let mut rest: Vec<(usize, usize)> = rest
            .map(|place| {
                let open = columns[place].iter().filter(|&&(row, _)| row_open[row]);
                (open.count(), place)
            })
            .collect();
        rest.sort_unstable();
        steps.extend(rest.into_iter().map(|(_, place)| (place, None)));
        Order {
            steps,
            filled: in_row,
        }
    }
}

/// The places whose columns have an entry in a row, row by row.
struct Places {
    starts: Vec<usize>,
    places: Vec<usize>,
}

impl Places {
    fn of(columns: &[&[(usize, f64)]]) -> Self {
        let size = columns.len();
        // Where the next place of every row goes; at first, one row further.
        let mut next = vec![0; size + 2];
        for &(row, _) in columns.iter().copied().flatten() {
            next[row + 2] += 1;
        }
        for row in 2..next.len() {
            next[row] += next[row - 1];
        }
        let mut places = vec![0; next[size + 1]];
        for (place, column) in columns.iter().enumerate() {
            for &(row, _) in *column {
                places[next[row + 1]] = place;
                next[row + 1] += 1;
            }
        }
        Places {
            starts: next,
            places,
        }
    }

    fn of_row(&self, row: usize) -> &[usize] {
        &self.places[self.starts[row]..self.starts[row + 1]]
    }
}
