//! A small plot for a terminal.

/// Columns and rows of the drawing itself.
const WIDTH: usize = 66;
const HEIGHT: usize = 16;

/// An axis.
#[derive(Clone, Debug)]
pub(super) struct Axis<'a> {
    /// Name and unit: "power, W".
    pub name: &'a str,
    /// What stands at its least and at its largest value.
    pub ends: [String; 2],
}

/// Points as letters, `x` to the right and `y` upwards, with the ends of both axes;
/// nothing where there are no two points apart. The first point of a place keeps it.
pub(super) fn scatter(points: &[(f64, f64, char)], x: &Axis, y: &Axis) -> Option<String> {
    let ends = |of: fn(&(f64, f64, char)) -> f64| {
        let values = points.iter().map(of).filter(|value| value.is_finite());
        values.fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (least.min(value), most.max(value)),
        )
    };
    let (left, right) = ends(|point| point.0);
    let (low, high) = ends(|point| point.1);
    let apart = |least: f64, most: f64| most - least > 1e-9 * most.abs().max(least.abs());
    if !apart(left, right) || !apart(low, high) {
        return None;
    }
    let mut lines = vec![vec![' '; WIDTH]; HEIGHT];
    for &(across, up, letter) in points {
        let column = place(across, left, right, WIDTH);
        let row = HEIGHT - 1 - place(up, low, high, HEIGHT);
        let cell = &mut lines[row][column];
        if *cell == ' ' {
            *cell = letter;
        }
    }
    let [bottom, top] = &y.ends;
    let margin = top.chars().count().max(bottom.chars().count());
    let mut text = format!("{}\n", y.name);
    for (row, line) in lines.iter().enumerate() {
        let label = match row {
            0 => top,
            row if row + 1 == HEIGHT => bottom,
            _ => "",
        };
        let line: String = line.iter().collect();
        text.push_str(format!("{label:>margin$} │{line}").trim_end());
        text.push('\n');
    }
    let [first, last] = &x.ends;
    let gap = WIDTH.saturating_sub(first.chars().count() + last.chars().count());
    text.push_str(&format!("{:margin$} └{}\n", "", "─".repeat(WIDTH)));
    text.push_str(&format!(
        "{:margin$}  {first}{}{last}\n",
        "",
        " ".repeat(gap)
    ));
    text.push_str(&format!("{:margin$}  {:^WIDTH$}", "", x.name));
    Some(text.trim_end().to_owned())
}

fn place(value: f64, least: f64, most: f64, cells: usize) -> usize {
    let last = cells - 1;
    (((value - least) / (most - least) * last as f64).round() as usize).min(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis<'a>(name: &'a str, ends: [&str; 2]) -> Axis<'a> {
        Axis {
            name,
            ends: ends.map(str::to_owned),
        }
    }

    fn plot(points: &[(f64, f64, char)]) -> Option<String> {
        let (x, y) = (
            axis("power, W", ["0", "100"]),
            axis("mass, kg", ["10.0", "30.0"]),
        );
        scatter(points, &x, &y)
    }

    #[test]
    fn points_stand_where_they_belong() {
        let points = [(0.0, 30.0, 'a'), (50.0, 20.0, 'b'), (100.0, 10.0, 'c')];
        let text = plot(&points).unwrap_or_default();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 1 + HEIGHT + 3);
        assert_eq!(lines[0], "mass, kg");
        assert_eq!(lines[1], "30.0 │a");
        assert_eq!(lines[HEIGHT].chars().last(), Some('c'));
        assert!(lines[HEIGHT].starts_with("10.0 │"));
        assert_eq!(lines[HEIGHT].chars().count(), 6 + WIDTH);
        assert!(text.contains('b') && lines[HEIGHT + 2].ends_with("100"));
    }

    #[test]
    fn one_place_is_no_plot() {
        assert_eq!(plot(&[(1.0, 2.0, 'a'), (1.0, 3.0, 'b')]), None);
        assert_eq!(plot(&[]), None);
    }
}
