//! What the readers accept and what they say about mistakes.

mod addresses;
mod complaints;
mod figures;
mod syntax;

use super::{Entries, Named, Read, Reading, choice, parse, record};
use crate::diagnostic::{Diagnostic, Sources, render_text};
use crate::quantity::{Celsius, Fraction, Hours, Kilograms, KilogramsPerDay, Watts};

record! {
    /// One unit of hardware.
    pub struct Unit {
        /// Mass of one unit.
        mass: Kilograms,
        /// Feed that it can take.
        capacity: KilogramsPerDay,
        /// What it draws.
        power: Option<Watts>,
        /// The share of time in which it runs.
        availability: Fraction = Fraction::ONE,
        /// Spares carried for it.
        spares: Option<Spares>,
    }
}

record! {
    /// Spares.
    pub struct Spares {
        /// Mass of one spare.
        mass: Kilograms,
        /// Mean time between failures.
        mtbf: Hours,
    }
}

choice! {
    /// How many units there are.
    pub enum Count {
        /// Exactly so many.
        Exactly(u32),
        /// At most so many.
        UpTo(u32),
        /// From so many to so many.
        Between(u32, u32),
    }
}

choice! {
    /// Where waste goes.
    pub enum Way as "way out" {
        /// Over the side.
        Overboard,
        /// With a flight.
        Removed {
            /// By each flight.
            per_flight: Kilograms,
        },
    }
}

record! {
    /// A still.
    pub struct StillNode as "Still" {
        /// What it takes.
        takes: Named,
        /// What it gives.
        gives: Entries<Named, Fraction> = Entries::default(),
        /// The hardware.
        unit: Option<Unit>,
        /// How many.
        count: Count = Count::Exactly(1),
        /// At what temperature.
        temperature: Option<Celsius>,
    }
}

record! {
    /// An outlet.
    pub struct Outlet {
        /// The way out.
        way: Way,
    }
}

choice! {
    /// A kind of node.
    pub enum Kind {
        /// A still.
        Still(StillNode),
        /// An outlet.
        Outlet(Outlet),
        /// Nothing much.
        Junction,
    }
}

record! {
    /// A loop.
    pub struct Loop {
        /// Its nodes.
        nodes: Entries<Named, Kind>,
        /// Names of phases.
        phases: Vec<Phase> = vec![],
    }
}

record! {
    /// A phase.
    pub struct Phase {
        /// Its name.
        name: Named,
        /// Crew in it.
        crew: u32,
    }
}

/// Reads a text, with everything that was complained about.
fn read<T: Read>(text: &str) -> (Option<T>, Reading, Sources) {
    let mut sources = Sources::new();
    let id = sources.add("test.ron", text);
    let mut reading = Reading::new();
    let read = match parse(id, text) {
        Ok(value) => T::read(&value, &mut reading),
        Err(complaint) => {
            reading.complain(complaint);
            None
        }
    };
    assert_eq!(
        read.is_none(),
        reading.has_errors(),
        "nothing read means a complaint and the other way round: {}",
        render_text(&reading.diagnostics, &sources, false)
    );
    (read, reading, sources)
}

/// Reads a text that has no mistake.
fn good<T: Read>(text: &str) -> T {
    let (read, reading, sources) = read(text);
    read.unwrap_or_else(|| panic!("{}", render_text(&reading.diagnostics, &sources, false)))
}

/// The complaints about a text: `line:column code headline | help`.
fn complaints<T: Read>(text: &str) -> Vec<String> {
    let (_, reading, sources) = read::<T>(text);
    reading
        .diagnostics
        .iter()
        .map(|complaint| line(complaint, &sources))
        .collect()
}

fn line(complaint: &Diagnostic, sources: &Sources) -> String {
    let place = complaint.primary.as_ref().map(|(place, _)| {
        let (line, column) = sources.line_column(*place);
        format!("{line}:{column} ")
    });
    let help = complaint
        .help
        .as_ref()
        .map(|help| format!(" | {help}"))
        .unwrap_or_default();
    format!(
        "{}{} {}{help}",
        place.unwrap_or_default(),
        complaint.code,
        complaint.headline
    )
}

#[test]
fn a_loop_reads() {
    let text = r#"// a comment
Loop( /* nested /* block */ comment */
    nodes: {
        "urine still": Still(
            takes: "urine", // the feed
            gives: {"distillate": 0.82, "brine": 0.18},
            unit: Unit(mass: "134 kg", capacity: "9 kg/d", power: "310 W",
                spares: Spares(mass: Figure(value: "9 kg", source: "invented", spread: Triangular("8 kg", "12 kg")), mtbf: "3 yr")),
            count: UpTo(2),
        ),
        "bare": Still(takes: "urine", unit: None, temperature: "300 K"),
        "stowage": Outlet(way: Removed(per_flight: "5 t")),
        "junction": Junction,
    },
    phases: [Phase(name: "one", crew: 4), (name: "two", crew: 6)],
)
// the end"#;
    let (read, reading, sources) = read::<Loop>(text);
    let read = read.unwrap();
    assert_eq!(read.nodes.len(), 4);
    let Some(Kind::Still(still)) = read.nodes.get("urine still") else {
        panic!("{read:?}");
    };
    assert_eq!(still.count, Count::UpTo(2));
    let unit = still.unit.as_ref().unwrap();
    assert_eq!(unit.power, Some(Watts(310.0)));
    assert_eq!(unit.availability, Fraction(1.0));
    assert_eq!(unit.spares.as_ref().unwrap().mtbf, Hours(3.0 * 8766.0));
    assert_eq!(
        read.nodes.get("stowage"),
        Some(&Kind::Outlet(Outlet {
            way: Way::Removed {
                per_flight: Kilograms(5000.0)
            }
        }))
    );
    assert_eq!(read.nodes.get("junction"), Some(&Kind::Junction));
    assert_eq!(read.phases[1].crew, 6);

    let addresses: Vec<String> = reading
        .numbers
        .iter()
        .map(|number| format!("{} = {}", number.address, sources.quote(number.place)))
        .collect();
    assert_eq!(
        addresses,
        [
            "nodes.urine still.gives.distillate = 0.82",
            "nodes.urine still.gives.brine = 0.18",
            "nodes.urine still.unit.mass = \"134 kg\"",
            "nodes.urine still.unit.capacity = \"9 kg/d\"",
            "nodes.urine still.unit.power = \"310 W\"",
            "nodes.urine still.unit.spares.mass = \"9 kg\"",
            "nodes.urine still.unit.spares.mtbf = \"3 yr\"",
            "nodes.urine still.count = 2",
            "nodes.bare.temperature = \"300 K\"",
            "nodes.stowage.way.per_flight = \"5 t\"",
            "phases.one.crew = 4",
            "phases.two.crew = 6",
        ]
    );
    assert_eq!(reading.figures.len(), 1);
    assert_eq!(
        reading.figures[0].address,
        "nodes.urine still.unit.spares.mass"
    );
}
