//! Small pictures made of letters, for a terminal.

use super::super::number::fixed;

/// Columns of a picture at most.
const WIDTH: usize = 72;
/// Lines of a curve.
const HEIGHT: usize = 14;

/// Which values a picture shows where there are more of them than columns: every
/// so many.
fn stride(values: usize) -> usize {
    values.div_ceil(WIDTH).max(1)
}

/// Says below a picture that it leaves values out, where it does.
pub(super) fn left_out(values: usize) -> String {
    match stride(values) {
        1 => String::new(),
        every => format!("\n\nOne value of every {every} is drawn; all of them were solved."),
    }
}

/// A curve: one column for every so many points, drawn with the sign of the point.
/// Points without a value show their sign at the bottom.
pub(super) fn curve(points: &[(Option<f64>, char)], first: &str, last: &str) -> String {
    let shown: Vec<(Option<f64>, char)> = points
        .iter()
        .copied()
        .step_by(stride(points.len()))
        .collect();
    let masses = shown.iter().filter_map(|(mass, _)| *mass);
    let (low, high) = masses.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), mass| {
        (low.min(mass), high.max(mass))
    });
    if low > high {
        return shown.iter().map(|(_, sign)| *sign).collect();
    }
    let span = (high - low).max(1e-9 * high.abs()).max(1e-9);
    let level = |mass: f64| ((mass - low) / span * (HEIGHT - 1) as f64).round() as usize;
    let labels = [fixed(high, 0), fixed(low, 0)];
    let margin = labels.iter().map(String::len).max().unwrap_or(0);
    let mut lines = Vec::with_capacity(HEIGHT + 2);
    for line in (0..HEIGHT).rev() {
        let label = match line {
            0 => labels[1].as_str(),
            _ if line == HEIGHT - 1 => labels[0].as_str(),
            _ => "",
        };
        let row: String = shown
            .iter()
            .map(|&(mass, sign)| match mass {
                Some(mass) if level(mass) == line => sign,
                None if line == 0 => sign,
                _ => ' ',
            })
            .collect();
        lines.push(format!("{label:>margin$} |{}", row.trim_end()));
    }
    lines.push(format!("{:margin$} +{}", "", "-".repeat(shown.len())));
    lines.push(axis_line(margin + 2, shown.len(), first, last));
    lines.join("\n")
}

/// A grid of signs: one line per value of the second number, the largest on top.
pub(super) fn grid(rows: &[(String, Vec<char>)], first: &str, last: &str) -> String {
    let margin = rows
        .iter()
        .map(|(label, _)| label.chars().count())
        .max()
        .unwrap_or(0);
    let width = rows.first().map_or(0, |(_, signs)| signs.len());
    let every = stride(width);
    let mut lines: Vec<String> = rows
        .iter()
        .rev()
        .map(|(label, signs)| {
            let signs: String = signs.iter().step_by(every).collect();
            format!("{label:>margin$} |{signs}")
        })
        .collect();
    let shown = width.div_ceil(every);
    lines.push(format!("{:margin$} +{}", "", "-".repeat(shown)));
    lines.push(axis_line(margin + 2, shown, first, last));
    lines.join("\n")
}

/// The first and the last value under the ends of an axis.
fn axis_line(margin: usize, width: usize, first: &str, last: &str) -> String {
    let between = width.saturating_sub(first.chars().count() + last.chars().count());
    let between = " ".repeat(between.max(2));
    format!("{:margin$}{first}{between}{last}", "")
}

/// Bars of a histogram at most.
const BARS: usize = 16;
/// Length of its longest bar.
const LONGEST: usize = 50;

/// How many masses lie in each of some equal ranges, as bars; none where there is no
/// range.
pub(super) fn histogram(masses: &[f64]) -> Option<String> {
    let (low, high) = masses
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &mass| {
            (low.min(mass), high.max(mass))
        });
    let span = high - low;
    if masses.len() < 3 || span <= 1e-9 * high.abs() {
        return None;
    }
    let mut counts = [0_usize; BARS];
    for mass in masses {
        let bar = ((mass - low) / span * BARS as f64) as usize;
        counts[bar.min(BARS - 1)] += 1;
    }
    let most = counts.iter().copied().max().unwrap_or(1).max(1);
    let width = span / BARS as f64;
    let decimals = usize::from(width < 2.0) + usize::from(width < 0.2);
    let edges: Vec<String> = (0..=BARS)
        .map(|bar| fixed(low + bar as f64 * width, decimals))
        .collect();
    let margin = edges.iter().map(String::len).max().unwrap_or(0);
    let digits = most.to_string().len();
    let lines = counts.iter().zip(edges.windows(2)).map(|(&count, edges)| {
        let bar = "#".repeat((count * LONGEST).div_ceil(most));
        let (from, to) = (&edges[0], &edges[1]);
        format!("{from:>margin$} to {to:>margin$} kg {count:>digits$} |{bar}")
    });
    Some(lines.collect::<Vec<_>>().join("\n"))
}

/// Columns on either side of a tornado.
const SIDE: usize = 22;

/// A bar to the left or the right for what each number does at its two ends: `-` at
/// the lower, `+` at the upper one.
pub(super) fn tornado(bars: &[(String, [Option<f64>; 2])]) -> String {
    let changes = bars.iter().flat_map(|(_, ends)| ends.iter().flatten());
    let most = changes.fold(0.0_f64, |most, change| most.max(change.abs()));
    let margin = bars
        .iter()
        .map(|(label, _)| label.chars().count())
        .max()
        .unwrap_or(0);
    let unit = if most > 0.0 { most } else { 1.0 };
    let mut lines: Vec<String> = Vec::with_capacity(2 * bars.len() + 1);
    for (label, ends) in bars {
        for (label, sign, change) in [(label.as_str(), '-', ends[0]), ("", '+', ends[1])] {
            let length = change.map_or(0, |change| {
                (change.abs() / unit * SIDE as f64).round() as usize
            });
            let bar = sign.to_string().repeat(length);
            let (left, right) = match change {
                Some(change) if change < 0.0 => (bar, String::new()),
                _ => (String::new(), bar),
            };
            let words = change.map_or("no plan".to_owned(), |change| fixed(change, 1));
            let line = format!("{label:<margin$} {left:>SIDE$}|{right:<SIDE$} {words:>10}");
            lines.push(line.trim_end().to_owned());
        }
    }
    lines.push(format!(
        "{:margin$} {:<SIDE$}0{:>SIDE$}",
        "",
        format!("{} kg", fixed(-most, 0)),
        format!("{} kg", fixed(most, 0))
    ));
    lines.join("\n")
}
