//! What may go wrong, with every name resolved.

use crate::catalogue::SubstanceId;
use crate::design::{self, Design};
use crate::diagnostic::{Code, Diagnostic, Place, codes, nearest};
use crate::kinds::Role;
use crate::quantity::{Days, Quantity};
use crate::written::{Named, Placed};

use super::{Network, NodeId};

/// Faults that come together, under one name.
#[derive(Clone, Debug, PartialEq)]
pub struct BadDays {
    /// What they are called.
    pub name: String,
    /// What goes wrong.
    pub faults: Vec<Fault>,
    /// What cannot go wrong in this mission, though it might in another of the same
    /// file: a flight or a day that it does not have, a node that a variant takes out.
    pub cannot_be: Vec<Diagnostic>,
}

/// Something that goes wrong.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// A flight that comes late.
    Late {
        /// Its index; never the departure.
        flight: usize,
        /// Days late, above zero.
        days: f64,
    },
    /// A flight that never comes.
    Lost {
        /// Its index; never the departure.
        flight: usize,
    },
    /// A node that does nothing, or has fewer units.
    Down {
        /// The node; never people or what they use.
        node: NodeId,
        /// Units that are down; none means all.
        units: Option<u32>,
        /// When.
        window: Window,
    },
    /// A leak that must be made up for.
    Leak {
        /// The node, which hands the substance through.
        node: NodeId,
        /// What is lost.
        substance: SubstanceId,
        /// How much, kg/d.
        kg_per_day: f64,
        /// When.
        window: Window,
    },
    /// More people aboard.
    MoreCrew {
        /// How many more.
        people: f64,
        /// When.
        window: Window,
    },
    /// A product that comes out short.
    LessYield {
        /// The node.
        node: NodeId,
        /// The product.
        product: SubstanceId,
        /// Share of it that is lost.
        lost: f64,
        /// When.
        window: Window,
    },
}

/// From a day to a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// First day.
    pub from: f64,
    /// Last day.
    pub to: f64,
}

impl Window {
    /// Whether a time lies in it.
    pub fn holds(self, day: f64) -> bool {
        self.from <= day && day < self.to
    }
}

/// The faults that a design names.
pub(super) fn faults(
    design: &Design,
    network: &Network,
    diagnostics: &mut Vec<Diagnostic>,
) -> Vec<BadDays> {
    let mut all = Vec::new();
    for (name, faults) in &design.written.faults {
        if faults.is_empty() {
            diagnostics.push(
                Diagnostic::error(codes::FAULT, format!("faults.{name}: nothing goes wrong"))
                    .at(name.place, "")
                    .help("state what does, such as [Late(flight: 1, by: \"30 d\")]"),
            );
        }
        let mut days = BadDays {
            name: name.text.clone(),
            faults: Vec::new(),
            cannot_be: Vec::new(),
        };
        let at = format!("faults.{name}");
        let reader = Reader {
            network,
            at: &at,
            without: &design.without,
        };
        for fault in faults {
            match reader.fault(fault) {
                Ok(fault) => days.faults.push(fault),
                Err(Refused::Here(complaint)) => days.cannot_be.push(*complaint),
                Err(Refused::Anywhere(complaint)) => diagnostics.push(*complaint),
            }
        }
        all.push(days);
    }
    all
}

impl Network {
    /// A fault with its names resolved; `at` begins its complaints.
    ///
    /// # Errors
    ///
    /// A name, a flight, a day or an amount that cannot be.
    pub fn fault(&self, written: &design::Fault, at: &str) -> Result<Fault, Box<Diagnostic>> {
        let reader = Reader {
            network: self,
            at,
            without: &[],
        };
        reader.fault(written).map_err(|refused| match refused {
            Refused::Here(complaint) | Refused::Anywhere(complaint) => complaint,
        })
    }
}

/// Why a fault cannot be.
enum Refused {
    /// In this mission, or with what a variant leaves.
    Here(Box<Diagnostic>),
    /// Whatever the mission.
    Anywhere(Box<Diagnostic>),
}

type Read<T> = Result<T, Refused>;

/// Reads one fault.
struct Reader<'a> {
    network: &'a Network,
    at: &'a str,
    /// Nodes that a variant takes out.
    without: &'a [Named],
}

impl Reader<'_> {
    fn fault(&self, written: &design::Fault) -> Read<Fault> {
        Ok(match written {
            design::Fault::Late { flight, by } => Fault::Late {
                flight: self.flight(*flight)?,
                days: self.above_zero(by.value.0, by.place, "a delay")?,
            },
            design::Fault::Lost { flight } => Fault::Lost {
                flight: self.flight(*flight)?,
            },
            design::Fault::Down {
                node,
                units,
                from,
                to,
            } => Fault::Down {
                node: self.breakable(node)?,
                units: self.units(node, *units)?,
                window: self.window(*from, *to)?,
            },
            design::Fault::Leak {
                node,
                substance,
                rate,
                from,
                to,
            } => {
                let (id, leaking) = self.leaking(node, substance)?;
                let water = self.network.substances.is_water_alone(leaking);
                let Some(known) = rate.value.known(water) else {
                    return Err(self.complain(
                        codes::LITRES,
                        rate.place,
                        &format!("litres of \"{substance}\", which is not a grade of water"),
                        "state its mass in kg/d",
                    ));
                };
                Fault::Leak {
                    node: id,
                    substance: leaking,
                    kg_per_day: self.above_zero(known.canonical(), rate.place, "a leak")?,
                    window: self.window(*from, *to)?,
                }
            }
            design::Fault::MoreCrew { people, from, to } => Fault::MoreCrew {
                people: self.above_zero(f64::from(people.value), people.place, "a number")?,
                window: self.window(*from, *to)?,
            },
            design::Fault::LessYield {
                node,
                product,
                lost,
                from,
                to,
            } => {
                let (id, product) = self.product(node, product)?;
                Fault::LessYield {
                    node: id,
                    product,
                    lost: self.above_zero(lost.value.0, lost.place, "a share")?,
                    window: self.window(*from, *to)?,
                }
            }
        })
    }

    fn complain(&self, code: Code, place: Place, words: &str, help: &str) -> Refused {
        Refused::Anywhere(self.complaint(code, place, words, help))
    }

    fn complaint(&self, code: Code, place: Place, words: &str, help: &str) -> Box<Diagnostic> {
        let headline = format!("{}: {words}", self.at);
        Box::new(Diagnostic::error(code, headline).at(place, "").help(help))
    }

    fn above_zero(&self, value: f64, place: Place, what: &str) -> Read<f64> {
        match value > 0.0 {
            true => Ok(value),
            false => Err(self.complain(
                codes::FAULT,
                place,
                &format!("{what} of {value}"),
                "state more than nothing",
            )),
        }
    }

    fn flight(&self, flight: Placed<u32>) -> Read<usize> {
        let arrivals = self.network.calendar.flights.len().saturating_sub(1);
        let index = flight.value as usize;
        if (1..=arrivals).contains(&index) {
            return Ok(index);
        }
        let help = match arrivals {
            0 => "nothing arrives after the departure".to_owned(),
            1 => "flight 1 is the only one that arrives".to_owned(),
            _ => format!("flights 1 to {arrivals} arrive"),
        };
        if index == 0 {
            let words = "flight 0 is the departure, which is neither late nor lost";
            return Err(self.complain(codes::FAULT, flight.place, words, &help));
        }
        let words = format!("there is no flight {index}");
        let complaint = self.complaint(codes::FAULT, flight.place, &words, &help);
        Err(Refused::Here(complaint))
    }

    fn window(&self, from: Placed<Days>, to: Option<Placed<Days>>) -> Read<Window> {
        let end = self.network.calendar.mission_days();
        let first = from.value.0;
        if let Some(to) = to.filter(|to| to.value.0 <= first) {
            let words = format!("from day {first} to day {}", to.value.0);
            let help = "it ends after it begins";
            return Err(self.complain(codes::FAULT, to.place, &words, help));
        }
        if first >= end {
            let words = format!("from day {first}, beyond the mission");
            let help = format!("the mission lasts from day 0 to day {end}");
            let complaint = self.complaint(codes::FAULT, from.place, &words, &help);
            return Err(Refused::Here(complaint));
        }
        let last = to.map_or(end, |to| to.value.0.min(end));
        Ok(Window {
            from: first,
            to: last,
        })
    }

    fn node(&self, name: &Named) -> Read<NodeId> {
        let network = self.network;
        let found = network
            .nodes()
            .find(|&node| network.name(node) == name.text);
        found.ok_or_else(|| {
            if self.without.contains(name) {
                let words = format!("a variant takes \"{name}\" out");
                let help = "take the variant away, or the fault";
                let complaint = self.complaint(codes::FAULT, name.place, &words, help);
                return Refused::Here(complaint);
            }
            let names = network.nodes().map(|node| network.name(node));
            let help = match nearest(&name.text, names) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "name a node of the design".to_owned(),
            };
            let words = format!("no node is called \"{name}\"");
            self.complain(codes::UNKNOWN_NODE, name.place, &words, &help)
        })
    }

    fn substance(&self, name: &Named) -> Read<SubstanceId> {
        let substances = &self.network.substances;
        substances.find(&name.text).ok_or_else(|| {
            let help = match nearest(&name.text, substances.names()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "name a substance of the design".to_owned(),
            };
            let words = format!("no substance is called \"{name}\"");
            self.complain(codes::UNKNOWN_SUBSTANCE, name.place, &words, &help)
        })
    }

    /// A node that can stop; people do not.
    fn breakable(&self, name: &Named) -> Read<NodeId> {
        let node = self.node(name)?;
        match self.network.can_be_down(node) {
            true => Ok(node),
            false => Err(self.complain(
                codes::FAULT,
                name.place,
                &format!("\"{name}\" is a need, which is never down"),
                "name what meets it: a node that turns, holds, hands on, brings or takes away",
            )),
        }
    }

    fn units(&self, name: &Named, units: Option<Placed<u32>>) -> Read<Option<u32>> {
        let Some(units) = units else {
            return Ok(None);
        };
        let duties = self.network.duties(self.node(name)?);
        if duties.hardware.is_none() {
            return Err(self.complain(
                codes::FAULT,
                units.place,
                &format!("\"{name}\" has no units"),
                "leave units out: the whole node is down",
            ));
        }
        self.above_zero(f64::from(units.value), units.place, "a number")?;
        Ok(Some(units.value))
    }

    fn leaking(&self, name: &Named, substance: &Named) -> Read<(NodeId, SubstanceId)> {
        let node = self.node(name)?;
        let leaking = self.substance(substance)?;
        let passes = &self.network.duties(node).passes;
        if passes.contains(&leaking) {
            return Ok((node, leaking));
        }
        let names: Vec<&str> = passes
            .iter()
            .map(|&id| self.network.substances.name(id))
            .collect();
        let help = match names.is_empty() {
            true => "name a cabin, a junction or a store".to_owned(),
            false => format!("it holds {}", names.join(", ")),
        };
        let words = format!("\"{name}\" holds no \"{substance}\" that could leak");
        Err(self.complain(codes::FAULT, substance.place, &words, &help))
    }

    /// A product that another product of some feed can take the loss of; feeds
    /// without another product keep their yield.
    fn product(&self, name: &Named, product: &Named) -> Read<(NodeId, SubstanceId)> {
        let node = self.node(name)?;
        let short = self.substance(product)?;
        let activities = &self.network.duties(node).activities;
        let makes = activities.iter().filter(|activity| {
            let mut gives = activity.gives.iter();
            activity.role == Role::Convert && gives.any(|give| give.substance == short)
        });
        let makes: Vec<_> = makes.collect();
        if makes.is_empty() {
            let words = format!("\"{name}\" makes no \"{product}\"");
            let help = "name a product of the node";
            return Err(self.complain(codes::FAULT, product.place, &words, help));
        }
        if makes.iter().all(|activity| activity.gives.len() < 2) {
            let words = format!("nothing but \"{product}\" comes of a feed of \"{name}\"");
            let help = "what it loses has nowhere to go; let the node be Down instead";
            return Err(self.complain(codes::FAULT, product.place, &words, help));
        }
        Ok((node, short))
    }
}

impl Network {
    /// Whether a node can be out of action: needs cannot.
    pub fn can_be_down(&self, node: NodeId) -> bool {
        let activities = &self.duties(node).activities;
        activities.iter().all(|activity| activity.role != Role::Use)
    }
}
