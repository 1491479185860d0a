//! A small loop with one of everything, worked out by hand, for the tests of
//! the answer and of the audit. Every figure is invented.
//!
//! Two people for 60 days, then four for 120; a flight on day 90, up to ten
//! days late, at a gear ratio of 1.5. Per person and day: 3 kg of potable
//! water, 0.8 kg of oxygen and 1.2 kg of rations in, 2.2 kg of humidity, 1.6 kg
//! of urine, 1 kg of carbon dioxide and 0.2 kg of faecal matter out; washing
//! turns 1 kg of potable water into grey water.
//!
//! Phase by phase (kg/d):
//!
//! ```text
//! condensate to the polisher     4.4        8.8 + 1.35 from the methanator
//! grey water                     2          4
//! urine to the still             3.2        6.4
//! distillate, 0.8 of it          2.56       5.12
//! potable water made: 0.99 (4.4 + 2.56) + 0.95 · 2 = 8.7904
//!                     0.99 (10.15 + 5.12) + 0.95 · 4 = 18.9173
//! potable water used: 6 + 2 + 1 = 9; 12 + 4 + 3 + 0.1 dumped = 19.1
//! drawn from cargo:   0.2096; 0.1827, of which 0.0827 from the tanker
//! ```
//!
//! The electrolyser splits 1 and 3 kg/d: `w · 15.999 / 18.015` of oxygen and
//! `w · 2.016 / 18.015` of hydrogen. In the second phase the methanator turns
//! 0.9 of the hydrogen: four molecules of water give four of hydrogen, which
//! give two of water, so it makes 0.9 · 3 / 2 = 1.35 kg/d of water.

use std::collections::BTreeMap;

use crate::answer::{
    Answer, CargoPlan, CartridgePlan, ConsumablePlan, Decisions, FlightsForm, Proof, SparesPlan,
    Status, StorePlan,
};
use crate::catalogue::{Makeup, SubstanceId, Substances, crew_profile};
use crate::diagnostic::{Place, SourceId};
use crate::kinds::{
    Activity, Cartridge, Count, Duties, FeedLimit, Hardware, Level, Packing, Portion, Reserve,
    Role, SparePart, Stock, Tank, Way,
};
use crate::network::{
    Calendar, Exclusive, Flight, Limit, Limits, Network, Node, NodeId, Phase, SparesPolicy, Stream,
};
use crate::written::Named;

pub(crate) const WATER: f64 = 18.015;
pub(crate) const HYDROGEN: f64 = 2.016;
pub(crate) const OXYGEN_OF_WATER: f64 = 15.999;
pub(crate) const CARBON_DIOXIDE: f64 = 44.009;
pub(crate) const METHANE: f64 = 16.043;

const NOWHERE: Place = Place {
    source: SourceId(0),
    start: 0,
    end: 0,
};

/// A network in the making.
pub(crate) struct Sketch {
    pub network: Network,
}

impl Sketch {
    pub fn new(phases: &[(&str, f64, f64)], flights: &[(f64, Option<f64>, f64, f64)]) -> Self {
        let phases = phases.iter().map(|&(name, days, crew)| Phase {
            name: name.to_owned(),
            place: NOWHERE,
            days,
            crew,
            occasions: Vec::new(),
        });
        let flights = flights
            .iter()
            .map(|&(day, payload_kg, slip_days, gear_ratio)| Flight {
                day,
                payload_kg,
                slip_days,
                gear_ratio,
                place: None,
            });
        Sketch {
            network: Network {
                title: "sketch".to_owned(),
                summary: None,
                calendar: Calendar::new(phases.collect(), flights.collect()),
                substances: Substances::builtin(crew_profile("2022").unwrap()),
                graph: petgraph::graph::DiGraph::default(),
                exclusive: Vec::new(),
                limits: Limits::default(),
                spares: None,
                notes: Vec::new(),
            },
        }
    }

    /// Declares a substance that may be anything.
    pub fn opaque(&mut self, name: &str) {
        let substances = &mut self.network.substances;
        substances.declare(name, Makeup::Opaque, NOWHERE).unwrap();
    }

    /// Declares a mixture.
    pub fn mixture(&mut self, name: &str, parts: &[(&str, f64)]) {
        let parts = parts
            .iter()
            .map(|&(part, share)| (self.substance(part), share));
        let makeup = Makeup::Mixture(parts.collect());
        self.network
            .substances
            .declare(name, makeup, NOWHERE)
            .unwrap();
    }

    pub fn substance(&self, name: &str) -> SubstanceId {
        self.network
            .substances
            .find(name)
            .unwrap_or_else(|| panic!("no {name}"))
    }

    pub fn node(&mut self, name: &str, duties: Duties) -> NodeId {
        self.network.graph.add_node(Node {
            name: name.to_owned(),
            place: NOWHERE,
            kind: "sketch",
            duties,
        })
    }

    pub fn stream(&mut self, substance: &str, from: &str, to: &str) {
        let (from, to) = (node(&self.network, from), node(&self.network, to));
        let substance = self.substance(substance);
        let place = NOWHERE;
        self.network
            .graph
            .add_edge(from, to, Stream { substance, place });
    }

    pub fn portions(&self, portions: &[(&str, f64)]) -> Vec<Portion> {
        let portions = portions.iter().map(|&(name, amount)| Portion {
            substance: self.substance(name),
            amount,
        });
        portions.collect()
    }

    /// An activity whose level is free and loads the capacity kg for kg.
    pub fn convert(&self, label: &str, takes: &[(&str, f64)], gives: &[(&str, f64)]) -> Activity {
        Activity {
            label: label.to_owned(),
            level: Level::Free,
            level_unit: "kg/d",
            takes: self.portions(takes),
            gives: self.portions(gives),
            load: 1.0,
            feed_limits: Vec::new(),
            power_w: 0.0,
            heat_w: 0.0,
            role: Role::Convert,
            conserves: true,
        }
    }

    /// An activity at given levels.
    pub fn fixed(
        &self,
        role: Role,
        levels: &[f64],
        takes: &[(&str, f64)],
        gives: &[(&str, f64)],
    ) -> Activity {
        Activity {
            level: Level::Fixed(levels.to_vec()),
            load: 0.0,
            role,
            ..self.convert("", takes, gives)
        }
    }

    /// Cargo of a substance.
    pub fn cargo(&mut self, name: &str, substance: &str, packing: Packing, into: Option<&str>) {
        let bring = Activity {
            load: 0.0,
            role: Role::Bring,
            ..self.convert("", &[], &[(substance, 1.0)])
        };
        let stock = Stock::Delivered {
            substance: self.substance(substance),
            packing,
            into: into.map(named),
        };
        let duties = Duties {
            activities: vec![bring],
            stock: Some(stock),
            ..Duties::default()
        };
        self.node(name, duties);
    }

    /// A disposal of some substances.
    pub fn disposal(&mut self, name: &str, way: Way, substances: &[&str]) {
        let activities = substances.iter().map(|&substance| Activity {
            load: 0.0,
            role: Role::Leave(way.clone()),
            ..self.convert(substance, &[(substance, 1.0)], &[])
        });
        let duties = Duties {
            activities: activities.collect(),
            ..Duties::default()
        };
        self.node(name, duties);
    }

    /// Hardware that does something.
    pub fn hardware(&mut self, name: &str, unit: Hardware, count: (u32, u32), does: Vec<Activity>) {
        let (lower, upper) = count;
        let duties = Duties {
            activities: does,
            hardware: Some(unit),
            count: Count {
                lower,
                upper,
                installed: false,
            },
            ..Duties::default()
        };
        self.node(name, duties);
    }

    /// A node that hands some substances through.
    pub fn junction(&mut self, name: &str, substances: &[&str]) {
        let duties = Duties {
            passes: substances.iter().map(|name| self.substance(name)).collect(),
            ..Duties::default()
        };
        self.node(name, duties);
    }

    /// A store of a substance.
    pub fn store(&mut self, name: &str, substance: &str, reserve: Reserve, tank: Tank) {
        let substance = self.substance(substance);
        let duties = Duties {
            passes: vec![substance],
            stock: Some(Stock::Kept {
                substance,
                reserve: Some(reserve),
                tank: Some(tank),
            }),
            ..Duties::default()
        };
        self.node(name, duties);
    }
}

/// A unit of a mass and capacity, and nothing else.
pub(crate) fn unit(mass_kg: f64, capacity_kg_per_day: f64) -> Hardware {
    Hardware {
        mass_kg,
        volume_m3: 0.0,
        capacity_kg_per_day: Some(capacity_kg_per_day),
        availability: 1.0,
        turndown: None,
        power_w: 0.0,
        heat_w: 0.0,
        crew_time_h_per_day: 0.0,
        life_days: None,
        spares: None,
        cartridge: None,
        expendables_kg_per_kg: 0.0,
        upkeep_kg_per_day: 0.0,
    }
}

pub(crate) fn named(text: &str) -> Named {
    Named {
        text: text.to_owned(),
        place: NOWHERE,
    }
}

pub(crate) fn limit(value: f64) -> Option<Limit> {
    Some(Limit {
        value,
        place: NOWHERE,
    })
}

/// The node of a name.
pub(crate) fn node(network: &Network, name: &str) -> NodeId {
    let mut nodes = network.nodes();
    nodes
        .find(|&node| network.name(node) == name)
        .unwrap_or_else(|| panic!("no node {name}"))
}

/// The index of a stream.
pub(crate) fn stream(network: &Network, substance: &str, from: &str, to: &str) -> usize {
    let (from, to) = (node(network, from), node(network, to));
    let mut streams = network.streams();
    let found = streams.find(|&stream| {
        network.ends(stream) == (from, to)
            && network.substances.name(network.graph[stream].substance) == substance
    });
    found
        .unwrap_or_else(|| panic!("no stream of {substance}"))
        .index()
}

/// The index of an activity of a node.
pub(crate) fn activity(network: &Network, name: &str, label: &str) -> (usize, usize) {
    let node = node(network, name);
    let mut activities = network.duties(node).activities.iter();
    let found = activities.position(|activity| activity.label == label);
    let found = found.unwrap_or_else(|| panic!("no {label} at {name}"));
    (node.index(), found)
}

/// The network of the loop.
pub(crate) fn network() -> Network {
    let mut sketch = Sketch::new(
        &[("shakedown", 60.0, 2.0), ("operations", 120.0, 4.0)],
        &[(0.0, None, 0.0, 1.0), (90.0, Some(2000.0), 10.0, 1.5)],
    );
    for name in ["dry ration", "faecal matter", "brine", "reject"] {
        sketch.opaque(name);
    }
    sketch.mixture("ration", &[("water", 0.4), ("dry ration", 0.6)]);
    sketch.mixture("distillate", &[("water", 1.0)]);
    people(&mut sketch);
    water_hardware(&mut sketch);
    gas_hardware(&mut sketch);
    stores_and_cargo(&mut sketch);
    streams(&mut sketch);
    let mut network = sketch.network;
    network.exclusive = vec![Exclusive {
        nodes: vec![node(&network, "urine still"), node(&network, "other still")],
        place: NOWHERE,
    }];
    network.limits = Limits {
        power_w: limit(2000.0),
        heat_w: limit(2500.0),
        volume_m3: limit(2.0),
        crew_time_h_per_day: limit(0.3),
        stowage_kg: limit(400.0),
    };
    network.spares = Some(SparesPolicy::WholeSystem { confidence: 0.97 });
    network
}

fn people(sketch: &mut Sketch) {
    let crew = sketch.fixed(
        Role::Use,
        &[2.0, 4.0],
        &[("potable water", 3.0), ("oxygen", 0.8), ("ration", 1.2)],
        &[
            ("humidity", 2.2),
            ("urine", 1.6),
            ("carbon dioxide", 1.0),
            ("faecal matter", 0.2),
        ],
    );
    sketch.node("crew", doing(vec![crew]));
    let leak = sketch.fixed(Role::Lose, &[0.04, 0.04], &[("oxygen", 1.0)], &[]);
    let air = ["oxygen", "carbon dioxide", "humidity"];
    let cabin = Duties {
        passes: air.iter().map(|name| sketch.substance(name)).collect(),
        ..doing(vec![leak])
    };
    sketch.node("cabin", cabin);
    let washing = sketch.fixed(
        Role::Use,
        &[2.0, 4.0],
        &[("potable water", 1.0)],
        &[("grey water", 1.0)],
    );
    sketch.node("washing", doing(vec![washing]));
}

fn doing(activities: Vec<Activity>) -> Duties {
    Duties {
        activities,
        ..Duties::default()
    }
}

fn spare(mass_kg: f64, mtbf_days: f64, duty: f64, part: Option<&str>) -> Option<SparePart> {
    Some(SparePart {
        mass_kg,
        mtbf_days,
        duty,
        part: part.map(named),
        error_factor: None,
    })
}

fn water_hardware(sketch: &mut Sketch) {
    let condense = Activity {
        heat_w: 28.0,
        ..sketch.convert("", &[("humidity", 1.0)], &[("condensate", 1.0)])
    };
    let condenser = Hardware {
        volume_m3: 0.35,
        power_w: 400.0,
        heat_w: 400.0,
        spares: spare(9.0, 1000.0, 1.0, Some("pump")),
        ..unit(62.0, 12.0)
    };
    sketch.hardware("condenser", condenser, (1, 2), vec![condense]);

    let evaporate = |sketch: &Sketch| {
        sketch.convert(
            "urine",
            &[("urine", 1.0)],
            &[("distillate", 0.8), ("brine", 0.2)],
        )
    };
    let still = Hardware {
        power_w: 300.0,
        heat_w: 310.0,
        life_days: Some(100.0),
        spares: spare(12.0, 900.0, 1.0, None),
        cartridge: Some(Cartridge {
            mass_kg: 5.0,
            treats_kg: 100.0,
        }),
        expendables_kg_per_kg: 0.01,
        upkeep_kg_per_day: 0.02,
        ..unit(134.0, 9.0)
    };
    let does = vec![evaporate(sketch)];
    sketch.hardware("urine still", still, (0, 2), does);
    let does = vec![evaporate(sketch)];
    sketch.hardware("other still", unit(160.0, 12.0), (0, 1), does);

    let polish = |feed: &str, share: f64| {
        let gives = [("potable water", share), ("reject", 1.0 - share)];
        sketch.convert(feed, &[(feed, 1.0)], &gives)
    };
    let does = vec![
        polish("condensate", 0.99),
        polish("distillate", 0.99),
        polish("grey water", 0.95),
    ];
    let polisher = Hardware {
        volume_m3: 0.5,
        availability: 0.9,
        turndown: Some(0.2),
        power_w: 100.0,
        heat_w: 100.0,
        crew_time_h_per_day: 0.1,
        spares: spare(9.0, 1500.0, 0.5, Some("pump")),
        ..unit(140.0, 15.0)
    };
    sketch.hardware("polisher", polisher, (1, 2), does);
}

fn gas_hardware(sketch: &mut Sketch) {
    let split = Activity {
        power_w: 200.0,
        heat_w: 40.0,
        ..sketch.convert(
            "",
            &[("potable water", 1.0)],
            &[
                ("hydrogen", HYDROGEN / WATER),
                ("oxygen", OXYGEN_OF_WATER / WATER),
            ],
        )
    };
    sketch.hardware("electrolyser", unit(190.0, 6.0), (1, 1), vec![split]);
    let electrolyser = node(&sketch.network, "electrolyser");
    sketch.network.graph[electrolyser].duties.count.installed = true;

    // CO2 + 4 H2 -> CH4 + 2 H2O
    let all = CARBON_DIOXIDE + 4.0 * HYDROGEN;
    let limits = ["carbon dioxide", "hydrogen"].map(|name| FeedLimit {
        substance: sketch.substance(name),
        share: 0.9,
    });
    let react = Activity {
        feed_limits: limits.to_vec(),
        ..sketch.convert(
            "reaction",
            &[
                ("carbon dioxide", CARBON_DIOXIDE / all),
                ("hydrogen", 4.0 * HYDROGEN / all),
            ],
            &[
                ("methane", METHANE / all),
                ("condensate", 2.0 * WATER / all),
            ],
        )
    };
    let left_over = ["carbon dioxide", "hydrogen"].map(|name| Activity {
        load: 0.0,
        ..sketch.convert(&format!("left-over {name}"), &[(name, 1.0)], &[(name, 1.0)])
    });
    let does = [react].into_iter().chain(left_over).collect();
    sketch.hardware("methanator", unit(70.0, 5.0), (0, 1), does);
    let methanator = node(&sketch.network, "methanator");
    sketch.network.graph[methanator].duties.starts_in_phase = 1;
}

fn stores_and_cargo(sketch: &mut Sketch) {
    let tank = Tank::Whole {
        mass_kg: 21.0,
        holds_kg: 120.0,
    };
    sketch.store("water tank", "potable water", Reserve::Days(10.0), tank);
    let reserve = Reserve::Kilograms(20.0);
    sketch.store("oxygen bottle", "oxygen", reserve, Tank::Tare(0.3));
    let container = Packing::Container {
        holds_kg: 5.0,
        tare_kg: 0.5,
    };
    let packaging = Packing::Fraction;
    sketch.cargo("water cargo", "potable water", container, None);
    sketch.cargo(
        "tanker water",
        "potable water",
        packaging(0.21),
        Some("water tank"),
    );
    sketch.cargo("oxygen cargo", "oxygen", packaging(0.45), None);
    sketch.cargo("ration cargo", "ration", packaging(0.2), None);
    let vented = ["carbon dioxide", "hydrogen", "methane", "potable water"];
    sketch.disposal("overboard", Way::Overboard, &vented);
    let way = Way::Stowed {
        limit_kg: Some(300.0),
    };
    sketch.disposal("stowage", way, &["brine", "reject"]);
    let way = Way::Removed {
        per_flight_kg: 80.0,
    };
    sketch.disposal("removal", way, &["faecal matter"]);
    sketch.junction("manifold", &["potable water"]);
    sketch.junction("dump line", &["potable water"]);
}

fn streams(sketch: &mut Sketch) {
    for (substance, from, to, _) in flows() {
        sketch.stream(substance, from, to);
    }
}

/// Hydrogen from the electrolyser in the second phase, kg/d.
pub(crate) fn hydrogen() -> f64 {
    3.0 * HYDROGEN / WATER
}

/// Carbon dioxide that reacts in the second phase, kg/d.
fn carbon_dioxide_reacting() -> f64 {
    0.9 * hydrogen() * CARBON_DIOXIDE / (4.0 * HYDROGEN)
}

/// Oxygen drawn from cargo by phase, kg/d: crew and leak less the electrolyser.
pub(crate) fn oxygen_drawn() -> [f64; 2] {
    let made = OXYGEN_OF_WATER / WATER;
    [1.64 - made, 3.24 - 3.0 * made]
}

/// Every stream with its flows by phase, kg/d.
fn flows() -> Vec<(&'static str, &'static str, &'static str, [f64; 2])> {
    let oxygen = oxygen_drawn();
    let made = OXYGEN_OF_WATER / WATER;
    let left_hydrogen = 0.1 * hydrogen();
    let left_carbon_dioxide = 2.0 - carbon_dioxide_reacting();
    let methane = 1.35 * METHANE / (2.0 * WATER);
    let hydrogen = hydrogen();
    vec![
        ("ration", "ration cargo", "crew", [2.4, 4.8]),
        ("oxygen", "electrolyser", "cabin", [made, 3.0 * made]),
        ("oxygen", "oxygen cargo", "oxygen bottle", oxygen),
        ("oxygen", "oxygen bottle", "cabin", oxygen),
        ("oxygen", "cabin", "crew", [1.6, 3.2]),
        ("carbon dioxide", "crew", "cabin", [2.0, 4.0]),
        ("carbon dioxide", "cabin", "methanator", [0.0, 2.0]),
        ("carbon dioxide", "cabin", "overboard", [2.0, 2.0]),
        (
            "carbon dioxide",
            "methanator",
            "overboard",
            [0.0, left_carbon_dioxide],
        ),
        ("humidity", "crew", "cabin", [4.4, 8.8]),
        ("humidity", "cabin", "condenser", [4.4, 8.8]),
        ("condensate", "condenser", "polisher", [4.4, 8.8]),
        ("condensate", "methanator", "polisher", [0.0, 1.35]),
        ("grey water", "washing", "polisher", [2.0, 4.0]),
        ("urine", "crew", "urine still", [3.2, 6.4]),
        ("urine", "crew", "other still", [0.0, 0.0]),
        ("distillate", "urine still", "polisher", [2.56, 5.12]),
        ("distillate", "other still", "polisher", [0.0, 0.0]),
        ("brine", "urine still", "stowage", [0.64, 1.28]),
        ("brine", "other still", "stowage", [0.0, 0.0]),
        // 0.01 · 6.96 + 0.05 · 2 and 0.01 · 15.27 + 0.05 · 4
        ("reject", "polisher", "stowage", [0.1696, 0.3527]),
        ("potable water", "water cargo", "water tank", [0.2096, 0.1]),
        ("potable water", "tanker water", "water tank", [0.0, 0.0827]),
        ("potable water", "polisher", "water tank", [8.7904, 18.9173]),
        ("potable water", "water tank", "manifold", [8.0, 16.0]),
        ("potable water", "manifold", "crew", [6.0, 12.0]),
        ("potable water", "manifold", "washing", [2.0, 4.0]),
        ("potable water", "water tank", "electrolyser", [1.0, 3.0]),
        ("potable water", "water tank", "dump line", [0.0, 0.1]),
        ("potable water", "dump line", "overboard", [0.0, 0.1]),
        ("hydrogen", "electrolyser", "methanator", [0.0, hydrogen]),
        (
            "hydrogen",
            "electrolyser",
            "overboard",
            [HYDROGEN / WATER, 0.0],
        ),
        ("hydrogen", "methanator", "overboard", [0.0, left_hydrogen]),
        ("methane", "methanator", "overboard", [0.0, methane]),
        ("faecal matter", "crew", "removal", [0.4, 0.8]),
    ]
}

/// Every level by phase.
fn levels() -> Vec<(&'static str, &'static str, [f64; 2])> {
    let all = CARBON_DIOXIDE + 4.0 * HYDROGEN;
    let hydrogen = hydrogen();
    let reaction = 0.9 * hydrogen * all / (4.0 * HYDROGEN);
    let left_carbon_dioxide = 2.0 - carbon_dioxide_reacting();
    let methane = 1.35 * METHANE / (2.0 * WATER);
    vec![
        ("crew", "", [2.0, 4.0]),
        ("cabin", "", [0.04, 0.04]),
        ("washing", "", [2.0, 4.0]),
        ("condenser", "", [4.4, 8.8]),
        ("urine still", "urine", [3.2, 6.4]),
        ("polisher", "condensate", [4.4, 10.15]),
        ("polisher", "distillate", [2.56, 5.12]),
        ("polisher", "grey water", [2.0, 4.0]),
        ("electrolyser", "", [1.0, 3.0]),
        ("methanator", "reaction", [0.0, reaction]),
        (
            "methanator",
            "left-over carbon dioxide",
            [0.0, left_carbon_dioxide],
        ),
        ("methanator", "left-over hydrogen", [0.0, 0.1 * hydrogen]),
        ("water cargo", "", [0.2096, 0.1]),
        ("tanker water", "", [0.0, 0.0827]),
        ("oxygen cargo", "", oxygen_drawn()),
        ("ration cargo", "", [2.4, 4.8]),
        (
            "overboard",
            "carbon dioxide",
            [2.0, 2.0 + left_carbon_dioxide],
        ),
        ("overboard", "hydrogen", [HYDROGEN / WATER, 0.1 * hydrogen]),
        ("overboard", "methane", [0.0, methane]),
        ("overboard", "potable water", [0.0, 0.1]),
        ("stowage", "brine", [0.64, 1.28]),
        ("stowage", "reject", [0.1696, 0.3527]),
        ("removal", "faecal matter", [0.4, 0.8]),
    ]
}

/// What was decided, flight by flight.
///
/// By the first flight there must be aboard what is drawn until day 100, when
/// the second may at last arrive.
///
/// - water cargo: 60 · 0.2096 + 40 · 0.1 = 16.576 of 24.576 kg: four
///   containers of 5 kg, then one; the first four must leave no more than 5 kg
///   to the fifth, so they hold 19.576 kg
/// - tanker water: 40 · 0.0827 = 3.308 of 9.924 kg
/// - rations: 60 · 2.4 + 40 · 4.8 = 336 of 720 kg
/// - still, until day 90: 60 · 3.2 + 30 · 6.4 = 384 of 960 kg: four cartridges
///   of ten; 3.84 kg of expendables of 9.6; 90 · 0.02 = 1.8 kg of upkeep of 3.6
/// - reserve: ten days of 16 + 3 = 19 kg/d; on it at most, on day 90, tanker
///   water of 9.924 − 30 · 0.0827 = 7.443 kg: two tanks of 120 kg
/// - pumps fail 180 / 1000 + 2 · 0.5 · 180 / 1500 = 0.30 times on average, the
///   still 180 / 900 = 0.2 times: two spares and one suffice with
///   0.9964005 · 0.9824769 = 0.9789405
pub(crate) fn decisions(network: &Network) -> Decisions {
    let count = network.graph.node_count();
    let mut decisions = Decisions {
        counts: vec![1; count],
        running: vec![None; count],
        levels: network
            .nodes()
            .map(|node| vec![vec![0.0; 2]; network.duties(node).activities.len()])
            .collect(),
        flows: flows()
            .into_iter()
            .map(|(.., flow)| flow.to_vec())
            .collect(),
        ..Decisions::default()
    };
    for (name, label, level) in levels() {
        let (node, activity) = activity(network, name, label);
        decisions.levels[node][activity] = level.to_vec();
    }
    let at = |name: &str| node(network, name);
    decisions.counts[at("other still").index()] = 0;
    decisions.counts[at("polisher").index()] = 2;
    decisions.running[at("polisher").index()] = Some(vec![1, 2]);
    let [first, second] = oxygen_drawn();
    let by_flight: BTreeMap<&str, [f64; 2]> = BTreeMap::from([
        ("water cargo", [19.576, 5.0]),
        ("tanker water", [3.308, 6.616]),
        (
            "oxygen cargo",
            [60.0 * first + 40.0 * second, 80.0 * second],
        ),
        ("ration cargo", [336.0, 384.0]),
    ]);
    for name in [
        "water cargo",
        "tanker water",
        "oxygen cargo",
        "ration cargo",
    ] {
        decisions.cargo.push(CargoPlan {
            node: at(name),
            kg: by_flight[name].to_vec(),
            containers: (name == "water cargo").then(|| vec![4, 1]),
        });
    }
    decisions.cartridges = vec![CartridgePlan {
        node: at("urine still"),
        by_flight: vec![4, 6],
    }];
    decisions.consumables = vec![ConsumablePlan {
        node: at("urine still"),
        expendables_kg: vec![3.84, 5.76],
        upkeep_kg: vec![1.8, 1.8],
    }];
    let spares = |part: &str, nodes: &[&str], spares: u32, confidence: f64| SparesPlan {
        part: part.to_owned(),
        nodes: nodes.iter().map(|name| at(name)).collect(),
        spares,
        confidence,
    };
    decisions.spares = vec![
        spares(
            "pump",
            &["condenser", "polisher"],
            2,
            1.345 * f64::exp(-0.3),
        ),
        spares("urine still", &["urine still"], 1, 1.2 * f64::exp(-0.2)),
    ];
    decisions.stores = vec![
        StorePlan {
            node: at("water tank"),
            reserve_kg: 190.0,
            holds_kg: 197.443,
            tanks: Some(2),
        },
        StorePlan {
            node: at("oxygen bottle"),
            reserve_kg: 20.0,
            holds_kg: 20.0,
            tanks: None,
        },
    ];
    decisions
}

/// Launch mass by hand.
///
/// First flight: hardware 62 + 134 + 2 · 140 + 70 = 546 (the electrolyser is
/// there already); spares 2 · 9 + 12 = 30; cartridges 4 · 5 = 20; expendables
/// 3.84; upkeep 1.8; reserves 190 + 20; tanks 2 · 21 + 0.3 · 20 = 48; water
/// 19.576 in 4 · 0.5 = 2; tanker water 3.308 · 1.21 = 4.00268; rations
/// 336 · 1.2 = 403.2; oxygen 1.45 · (60 · first + 40 · second). Second flight,
/// at a gear ratio of 1.5: the still that replaces the first after 100 of 180
/// days, 134; cartridges 30; 5.76 and 1.8; water 5 in 0.5; tanker water
/// 6.616 · 1.21 = 8.00536; rations 384 · 1.2 = 460.8; oxygen
/// 1.45 · 80 · second.
pub(crate) fn launch_mass_kg() -> f64 {
    let [first, second] = oxygen_drawn();
    let departure = 1288.41868 + 1.45 * (60.0 * first + 40.0 * second);
    let arrival = 645.86536 + 1.45 * 80.0 * second;
    departure + 1.5 * arrival
}

pub(crate) fn proof() -> Proof {
    Proof {
        status: Status::Optimal,
        bound_kg: launch_mass_kg(),
        gap: 0.0,
        backend: "by hand",
        backend_version: "1",
        relaxations: 0,
        flights_form: FlightsForm::PerFlight,
    }
}

/// The whole answer.
pub(crate) fn answer(network: &Network) -> Answer {
    Answer::of(network, decisions(network), proof())
}
