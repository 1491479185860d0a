//! The duty card: what a node takes, gives and weighs, with numbers.

use std::fmt::{self, Display, Formatter};

use crate::catalogue::{SubstanceId, Substances};
use crate::quantity::{Dimension, shown_number};

use super::duty::{Packing, Reserve, Stock, Tank, Way};
use super::{Activity, Count, Duties, Hardware, Level, Phase, Portion, Role};

/// Everything a node says of itself, as a page of text: one line for each
/// duty, and none for what it does not have.
#[derive(Clone, Copy, Debug)]
pub struct DutyCard<'a> {
    /// The node's name.
    pub node: &'a str,
    /// The name of its kind.
    pub kind: &'a str,
    /// What it does.
    pub duties: &'a Duties,
    /// Every substance of the design.
    pub substances: &'a Substances,
    /// Phases in order of time.
    pub phases: &'a [Phase],
}

impl Display for DutyCard<'_> {
    fn fmt(&self, out: &mut Formatter<'_>) -> fmt::Result {
        writeln!(out, "{}: {}", self.node, self.kind)?;
        let start = self.duties.starts_in_phase;
        if let Some(phase) = self.phases.get(start).filter(|_| start > 0) {
            line(out, "works from", &phase.name)?;
        }
        for &substance in &self.duties.passes {
            line(out, "passes on", self.substances.name(substance))?;
        }
        for activity in &self.duties.activities {
            self.activity(out, activity)?;
        }
        if let Some(hardware) = &self.duties.hardware {
            writeln!(out, "\nunit ({})", count(self.duties.count))?;
            unit(out, hardware)?;
        }
        match &self.duties.stock {
            Some(stock) => self.stock(out, stock),
            None => Ok(()),
        }
    }
}

impl DutyCard<'_> {
    fn activity(&self, out: &mut Formatter<'_>, activity: &Activity) -> fmt::Result {
        let label = match activity.label.as_str() {
            "" => "activity",
            label => label,
        };
        let each = match activity.level_unit {
            "people" => "person",
            "times/d" => "time a day",
            unit => unit,
        };
        writeln!(out, "\n{label}, for each {each}")?;
        line(out, "level", &self.level(&activity.level))?;
        line(out, "it is", role(&activity.role))?;
        match &activity.role {
            Role::Leave(Way::Stowed {
                limit_kg: Some(limit),
            }) => line(out, "at most", &amount(*limit, Dimension::Mass))?,
            Role::Leave(Way::Removed { per_flight_kg }) => {
                let most = amount(*per_flight_kg, Dimension::Mass);
                line(out, "at most", &format!("{most} between two departures"))?;
            }
            _ => {}
        }
        for portion in &activity.takes {
            line(out, "takes", &self.portion(portion))?;
        }
        for portion in &activity.gives {
            line(out, "gives", &self.portion(portion))?;
        }
        for limit in &activity.feed_limits {
            let share = number(limit.share);
            let name = self.substances.name(limit.substance);
            line(out, "uses at most", &format!("{share} of the {name} fed"))?;
        }
        measure(out, "loads a unit by", activity.load, Dimension::MassRate)?;
        measure(out, "power", activity.power_w, Dimension::Power)?;
        measure(out, "heat", activity.heat_w, Dimension::Power)?;
        if !activity.conserves {
            line(
                out,
                "make-up",
                "not checked: these rates are the design's own",
            )?;
        }
        Ok(())
    }

    fn level(&self, level: &Level) -> String {
        let Level::Fixed(values) = level else {
            return "chosen".to_owned();
        };
        let by_phase: Vec<String> = values
            .iter()
            .zip(self.phases)
            .map(|(&value, phase)| format!("{} in {}", number(value), phase.name))
            .collect();
        by_phase.join(", ")
    }

    fn portion(&self, portion: &Portion) -> String {
        let rate = amount(portion.amount, Dimension::MassRate);
        format!("{rate} {}", self.substances.name(portion.substance))
    }

    fn stock(&self, out: &mut Formatter<'_>, stock: &Stock) -> fmt::Result {
        let name = |substance: SubstanceId| self.substances.name(substance);
        match stock {
            Stock::Delivered {
                substance,
                packing,
                into,
                transfer,
            } => {
                writeln!(out, "\nstock of {}, delivered", name(*substance))?;
                match *packing {
                    Packing::Fraction(fraction) => {
                        measure(out, "packaging", fraction, Dimension::MassRatio)?;
                    }
                    Packing::Container { holds_kg, tare_kg } => {
                        measure(out, "a container holds", holds_kg, Dimension::Mass)?;
                        measure(out, "and weighs", tare_kg, Dimension::Mass)?;
                    }
                }
                if let Some(into) = into {
                    line(out, "transferred into", &into.text)?;
                }
                if let Some(transfer) = transfer {
                    let gas = amount(transfer.gas_kg_per_kg, Dimension::MassRatio);
                    line(
                        out,
                        "pushed by",
                        &format!("{gas} of {}", name(transfer.gas)),
                    )?;
                    measure(
                        out,
                        "crew time",
                        transfer.crew_h_per_kg,
                        Dimension::TimePerMass,
                    )?;
                }
                Ok(())
            }
            Stock::Kept {
                substance,
                reserve,
                tank,
            } => {
                writeln!(out, "\nstock of {}, kept", name(*substance))?;
                match *reserve {
                    Some(Reserve::Kilograms(kg)) => measure(out, "reserve", kg, Dimension::Mass)?,
                    Some(Reserve::Days(days)) => {
                        let days = amount(days, Dimension::Time);
                        line(out, "reserve", &format!("{days} of what it feeds"))?;
                    }
                    None => {}
                }
                match *tank {
                    Some(Tank::Tare(tare)) => measure(out, "tank", tare, Dimension::MassRatio),
                    Some(Tank::Whole { mass_kg, holds_kg }) => {
                        measure(out, "a tank holds", holds_kg, Dimension::Mass)?;
                        measure(out, "and weighs", mass_kg, Dimension::Mass)
                    }
                    None => Ok(()),
                }
            }
        }
    }
}

fn unit(out: &mut Formatter<'_>, unit: &Hardware) -> fmt::Result {
    measure(out, "mass", unit.mass_kg, Dimension::Mass)?;
    measure(out, "volume", unit.volume_m3, Dimension::Volume)?;
    if let Some(capacity) = unit.capacity_kg_per_day {
        measure(out, "capacity", capacity, Dimension::MassRate)?;
        measure(out, "availability", unit.availability, Dimension::Fraction)?;
    }
    if let Some(turndown) = unit.turndown {
        measure(out, "turndown", turndown, Dimension::Fraction)?;
    }
    measure(out, "power", unit.power_w, Dimension::Power)?;
    measure(out, "heat", unit.heat_w, Dimension::Power)?;
    measure(
        out,
        "crew time",
        unit.crew_time_h_per_day,
        Dimension::CrewTime,
    )?;
    if let Some(life) = unit.life_days {
        measure(out, "life", life, Dimension::Time)?;
    }
    if let Some(part) = &unit.spares {
        measure(out, "a spare weighs", part.mass_kg, Dimension::Mass)?;
        measure(out, "fails once in", part.mtbf_days, Dimension::Time)?;
        measure(out, "at work", part.duty, Dimension::Fraction)?;
        if let Some(name) = &part.part {
            line(out, "shared part", &name.text)?;
        }
        if let Some(factor) = part.error_factor {
            measure(out, "error factor", factor, Dimension::Number)?;
        }
    }
    if let Some(cartridge) = &unit.cartridge {
        measure(
            out,
            "a cartridge treats",
            cartridge.treats_kg,
            Dimension::Mass,
        )?;
        measure(out, "and weighs", cartridge.mass_kg, Dimension::Mass)?;
    }
    measure(
        out,
        "expendables",
        unit.expendables_kg_per_kg,
        Dimension::MassRatio,
    )?;
    measure(out, "upkeep", unit.upkeep_kg_per_day, Dimension::MassRate)
}

fn count(count: Count) -> String {
    let Count {
        lower,
        upper,
        installed,
    } = count;
    match (installed, lower == upper) {
        (true, _) => format!("{upper} installed"),
        (false, true) => format!("{upper} flown"),
        (false, false) => format!("{lower} to {upper} flown"),
    }
}

fn role(role: &Role) -> &'static str {
    match role {
        Role::Use => "use",
        Role::Convert => "conversion",
        Role::Bring => "supply from outside",
        Role::Leave(Way::Overboard) => "waste let overboard",
        Role::Leave(Way::Stowed { .. }) => "waste stowed aboard",
        Role::Leave(Way::Removed { .. }) => "waste taken away by flights",
        Role::Lose => "loss",
    }
}

/// A line for a number that is not zero.
fn measure(out: &mut Formatter<'_>, what: &str, value: f64, dimension: Dimension) -> fmt::Result {
    if value == 0.0 {
        return Ok(());
    }
    line(out, what, &amount(value, dimension))
}

fn line(out: &mut Formatter<'_>, what: &str, words: &str) -> fmt::Result {
    writeln!(out, "  {what:<19}{words}")
}

fn amount(value: f64, dimension: Dimension) -> String {
    match dimension.unit() {
        "" => number(value),
        unit => format!("{} {unit}", number(value)),
    }
}

/// Six decimals at most, so that a card shows the digits of a yield; very small
/// numbers keep four significant ones.
fn number(value: f64) -> String {
    if value.abs() < 1e-3 {
        return shown_number(value);
    }
    let fixed = format!("{value:.6}");
    fixed.trim_end_matches('0').trim_end_matches('.').to_owned()
}
