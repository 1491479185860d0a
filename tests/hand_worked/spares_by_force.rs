//! Spares of the whole system against trying every number of units and spares.

use loopwright::Planned;

use crate::designs_read::read;

/// A filter that may fly up to twice, and its spares.
#[derive(Clone, Copy)]
struct Filter {
    mass: f64,
    capacity: f64,
    spare: f64,
    /// Mean failures of one unit over the mission.
    mean: f64,
    /// Whether it shares one sort of pump with the others that do.
    shares: bool,
    /// Whether its rate is uncertain, with the error factor of shape 1.
    uncertain: bool,
}

const DAYS: f64 = 100.0;

/// 95th over 50th percentile of an exponentially distributed rate, ln 20 / ln 2.
const SHAPE_ONE: f64 = 4.321928094887363;

/// Probability of at most `spares` failures of mean `mean`: Poisson by adding up
/// its terms; geometric where the rate is exponentially distributed.
fn enough(mean: f64, spares: u32, uncertain: bool) -> f64 {
    if uncertain {
        return 1.0 - (mean / (1.0 + mean)).powi(spares as i32 + 1);
    }
    let mut term = (-mean).exp();
    let mut sum = term;
    for count in 1..=spares {
        term *= mean / f64::from(count);
        sum += term;
    }
    sum
}

/// The lightest of all numbers of units (0 to 2 each) and spares, kg.
fn by_force(filters: &[Filter], demand: f64, confidence: f64) -> f64 {
    let mut lightest = f64::INFINITY;
    for number in 0..3_u32.pow(filters.len() as u32) {
        let units: Vec<f64> = (0..filters.len() as u32)
            .map(|place| f64::from(number / 3_u32.pow(place) % 3))
            .collect();
        let pairs = || filters.iter().zip(&units);
        let treated: f64 = pairs().map(|(filter, units)| filter.capacity * units).sum();
        let hardware: f64 = pairs().map(|(filter, units)| filter.mass * units).sum();
        let water = (demand - treated).max(0.0) * DAYS;
        // Each part: mean, mass of a spare, whether uncertain.
        let mut parts: Vec<(f64, f64, bool)> = Vec::new();
        for (filter, units) in pairs().filter(|(filter, _)| !filter.shares) {
            parts.push((filter.mean * units, filter.spare, filter.uncertain));
        }
        let sharing = || pairs().filter(|(filter, _)| filter.shares);
        if let Some((first, _)) = sharing().next() {
            let mean = sharing().map(|(filter, units)| filter.mean * units).sum();
            parts.push((mean, first.spare, first.uncertain));
        }
        let spares = lightest_spares(&parts, confidence, lightest - hardware - water);
        lightest = lightest.min(hardware + water + spares);
    }
    lightest
}

/// The lightest spares with which all parts together reach a confidence, if they
/// weigh less than `below`.
fn lightest_spares(parts: &[(f64, f64, bool)], confidence: f64, below: f64) -> f64 {
    let Some((&(mean, mass, uncertain), others)) = parts.split_first() else {
        return if confidence <= 1.0 {
            0.0
        } else {
            f64::INFINITY
        };
    };
    let mut lightest = f64::INFINITY;
    for spares in 0..60 {
        let here = f64::from(spares) * mass;
        if here >= below.min(lightest) {
            break;
        }
        let left = confidence / enough(mean, spares, uncertain);
        if left <= 1.0 {
            lightest =
                lightest.min(here + lightest_spares(others, left, below.min(lightest) - here));
        }
    }
    lightest
}

fn design(filters: &[Filter], demand: f64, confidence: f64) -> String {
    let mut nodes = String::new();
    let mut names = Vec::new();
    for (number, filter) in filters.iter().enumerate() {
        let part = if filter.shares {
            ", part: \"pump\""
        } else {
            ""
        };
        let factor = if filter.uncertain {
            format!(", error_factor: {SHAPE_ONE}")
        } else {
            String::new()
        };
        nodes += &format!(
            "\"filter {number}\": Processor(turns: {{\"grey water\": {{\"potable water\": 1.0}}}}, count: UpTo(2), unit: Unit(
                mass: \"{} kg\", capacity: \"{} kg/d\", spares: Spares(mass: \"{} kg\", mtbf: \"{} h\"{part}{factor}))),\n",
            filter.mass,
            filter.capacity,
            filter.spare,
            DAYS * 24.0 / filter.mean,
        );
        names.push(format!("\"filter {number}\""));
    }
    let names = names.join(", ");
    format!(
        "Design(format: 1, title: \"Spares by force\",
        mission: Mission(phases: [Phase(name: \"stay\", length: \"{DAYS} d\", crew: 0)]),
        nodes: {{
            \"use\": Consumer(takes: {{\"potable water\": \"{demand} kg\"}}, per: Day, gives: {{\"grey water\": 1.0}}),
            {nodes}
            \"water cargo\": Cargo(gives: \"potable water\"),
            \"overboard\": Disposal(way: Overboard),
        }},
        streams: {{
            \"potable water\": [[[{names}, \"water cargo\"], \"use\"]],
            \"grey water\": [[\"use\", [{names}, \"overboard\"]]],
        }},
        spares: WholeSystem(confidence: {confidence}))"
    )
}

fn compare(filters: &[Filter], demand: f64, confidence: f64) {
    let text = design(filters, demand, confidence);
    let network = read("spares by force", &text, None, &[]).network();
    let planned = loopwright::plan_network(&network, &Default::default()).unwrap();
    let Planned::Plan(plan) = planned else {
        panic!("{planned:?}\n{text}");
    };
    let found = plan.answer().launch_mass_kg;
    let wanted = by_force(filters, demand, confidence);
    assert!(
        (found - wanted).abs() < 1e-6,
        "{found} found, {wanted} by force\n{text}"
    );
}

const PLAIN: [Filter; 3] = [
    Filter {
        mass: 31.0,
        capacity: 1.0,
        spare: 4.0,
        mean: 0.9,
        shares: false,
        uncertain: false,
    },
    Filter {
        mass: 23.0,
        capacity: 0.7,
        spare: 7.0,
        mean: 0.4,
        shares: false,
        uncertain: false,
    },
    Filter {
        mass: 12.0,
        capacity: 0.4,
        spare: 2.5,
        mean: 1.7,
        shares: false,
        uncertain: false,
    },
];

#[test]
fn the_anchors_of_the_force_itself_hold() {
    // Poisson: P(X ≤ 2; 1) = 0.91969860, P(X ≤ 5; 2) = 0.98343639 (scipy 1.17.1)
    assert!((enough(1.0, 2, false) - 0.919_698_60).abs() < 5e-9);
    assert!((enough(2.0, 5, false) - 0.983_436_39).abs() < 5e-9);
    // geometric of mean 1: 1 − 2⁻⁵
    assert!((enough(1.0, 4, true) - 0.968_75).abs() < 1e-12);
    // 1 spare of 4 kg and 2 of 10 kg are not enough, 3 and 2 are (worked by hand)
    let parts = [(1.0, 4.0, false), (0.5, 10.0, false)];
    assert!((lightest_spares(&parts, 0.965, f64::INFINITY) - 32.0).abs() < 1e-12);
}

#[test]
fn spares_of_the_whole_system_are_the_lightest() {
    for (demand, confidence) in [
        (3.0, 0.9),
        (3.0, 0.99),
        (4.5, 0.95),
        (2.0, 0.999),
        (1.5, 0.8),
    ] {
        compare(&PLAIN, demand, confidence);
    }
}

#[test]
fn shared_parts_are_pooled_in_the_whole_system() {
    let mut filters = PLAIN;
    for filter in &mut filters[..2] {
        filter.shares = true;
        filter.spare = 5.0;
    }
    for (demand, confidence) in [(3.0, 0.9), (3.0, 0.99), (4.5, 0.97)] {
        compare(&filters, demand, confidence);
    }
}

#[test]
fn uncertain_rates_want_more_spares() {
    let mut filters = PLAIN;
    filters[0].uncertain = true;
    filters[2].uncertain = true;
    for (demand, confidence) in [(3.0, 0.9), (3.0, 0.98)] {
        compare(&filters, demand, confidence);
    }
}
