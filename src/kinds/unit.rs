//! Units, counts, spares and cartridges: what every kind with hardware writes.

use crate::diagnostic::{Place, codes};
use crate::quantity::{
    CubicMetres, Days, Fraction, Hours, HoursPerDay, Kilograms, KilogramsPerDay,
    KilogramsPerKilogram, KilowattHoursPerKilogram, Watts,
};
use crate::written::{Named, Placed, choice, record};

use super::LEAST_PIECE_KG;
use super::context::Context;
use super::duty::{self, Activity, Duties, Hardware, SparePart};

record! {
    /// One unit of hardware; Use("its name") in its place takes one from a catalogue.
    pub struct Unit {
        /// Launch mass of one unit.
        mass: Kilograms,
        /// Volume of one unit.
        volume: Option<CubicMetres>,
        /// Feed that one unit can take; a unit whose count is open must state it.
        capacity: Option<Placed<KilogramsPerDay>>,
        /// Share of the time in which it works.
        availability: Placed<Fraction> = Placed { value: Fraction::ONE, place: Place::NOWHERE },
        /// Smallest feed of a running unit as a share of its capacity.
        turndown: Option<Placed<Fraction>>,
        /// Power of one unit whatever it treats.
        power: Option<Watts>,
        /// Heat of one unit beyond its power, such as reaction heat.
        heat: Option<Watts>,
        /// Energy per kilogram of feed.
        energy: Option<KilowattHoursPerKilogram>,
        /// Crew time of one unit.
        crew_time: Option<HoursPerDay>,
        /// Time in service after which a unit is replaced.
        life: Option<Placed<Days>>,
        /// What fails and is exchanged.
        spares: Option<Spares>,
        /// An expendable exchanged whole.
        cartridge: Option<Cartridge>,
        /// Expendables per kilogram of feed.
        expendables: Option<KilogramsPerKilogram>,
        /// Upkeep of one unit whatever it treats.
        upkeep: Option<KilogramsPerDay>,
    }
}

record! {
    /// The spare part that keeps a unit going.
    pub struct Spares {
        /// Mass of one spare.
        mass: Kilograms,
        /// Mean time between failures of a unit at work.
        mtbf: Placed<Hours>,
        /// Share of the time in service at work.
        duty: Placed<Fraction> = Placed { value: Fraction::ONE, place: Place::NOWHERE },
        /// Name under which nodes share one pool.
        part: Option<Named>,
        /// 95th over 50th percentile of the uncertain failure rate.
        error_factor: Option<Placed<f64>>,
    }
}

record! {
    /// A filter bed or the like, exchanged whole.
    pub struct Cartridge {
        /// Mass of one cartridge.
        mass: Kilograms,
        /// Feed that one cartridge treats before it is spent.
        treats: Placed<Kilograms>,
    }
}

choice! {
    /// How many units may fly.
    pub enum Count {
        /// This many.
        Exactly(u32),
        /// None to this many.
        UpTo(u32),
        /// From the first to the second number.
        Between(u32, u32),
        /// Already there: no launch mass, but spares and cartridges.
        Installed(u32),
    }
}

/// More units of one node than any loop flies; a larger number is a slip of the
/// keyboard, and would make the tables of spares endless.
const MOST_UNITS: u32 = 200;

/// What a kind with hardware writes beside its own fields.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hardwares<'a> {
    /// The unit.
    pub unit: Option<&'a Unit>,
    /// How many.
    pub count: Option<&'a Placed<Count>>,
    /// First phase.
    pub from: Option<&'a Named>,
}

impl Hardwares<'_> {
    /// Puts activities and hardware together. `capacity` replaces the unit's own
    /// where a kind works it out; energy per kilogram of feed is added to the
    /// activities.
    pub fn duties(
        self,
        context: &mut Context<'_>,
        mut activities: Vec<Activity>,
        capacity: Option<f64>,
    ) -> Option<Duties> {
        let starts_in_phase = context.start(self.from);
        let count = self.count(context);
        let hardware = match self.unit {
            Some(unit) => Some(unit.hardware(context, capacity)?),
            None => None,
        };
        if let (Some(hardware), Some(count)) = (&hardware, &count)
            && count.is_open()
            && hardware.capacity_kg_per_day.is_none()
        {
            context.error(
                codes::CAPACITY_WANTED,
                context.node.place,
                "the number of units is open, but the unit states no capacity",
                "add capacity: \"... kg/d\" to the unit, or fix the count with Exactly(n)",
            );
            return None;
        }
        if let Some(energy) = self.unit.and_then(|unit| unit.energy) {
            for activity in &mut activities {
                // kWh/kg × kg/d ÷ 24 h/d × 1000 W/kW
                let power_w = energy.0 * activity.load * 1000.0 / 24.0;
                activity.power_w += power_w;
                activity.heat_w += power_w;
            }
        }
        Some(Duties {
            activities,
            hardware,
            count: count?,
            starts_in_phase: starts_in_phase?,
            ..Duties::default()
        })
    }

    fn count(self, context: &mut Context<'_>) -> Option<duty::Count> {
        let Some(written) = self.count else {
            return Some(duty::Count::default());
        };
        if self.unit.is_none() {
            context.error(
                codes::COUNT_WITHOUT_UNIT,
                written.place,
                "a count without a unit",
                "state the unit, or leave out the count: a node without a unit is free and unlimited",
            );
            return None;
        }
        let (lower, upper, installed) = match written.value {
            Count::Exactly(units) => (units, units, false),
            Count::UpTo(units) => (0, units, false),
            Count::Between(least, most) => (least, most, false),
            Count::Installed(units) => (units, units, true),
        };
        if lower > upper {
            context.error(
                codes::COUNT_RANGE,
                written.place,
                &format!("Between({lower}, {upper}) leaves no number of units"),
                &format!("write the smaller number first: Between({upper}, {lower})"),
            );
            return None;
        }
        if upper > MOST_UNITS {
            context.error(
                codes::COUNT_RANGE,
                written.place,
                &format!("{upper} units are more than the {MOST_UNITS} that a node may have"),
                "state a smaller number, or a larger unit",
            );
            return None;
        }
        Some(duty::Count {
            lower,
            upper,
            installed,
        })
    }
}

/// A value that may be stated, with its place and what it is.
fn at<T>(
    stated: Option<&Placed<T>>,
    number: impl Fn(&T) -> f64,
    what: &'static str,
) -> (f64, Option<Place>, &'static str) {
    match stated {
        Some(stated) => (number(&stated.value), Some(stated.place), what),
        None => (0.0, None, what),
    }
}

impl Unit {
    fn hardware(&self, context: &mut Context<'_>, capacity: Option<f64>) -> Option<Hardware> {
        let capacity = capacity.or(self.capacity.as_ref().map(|rate| rate.value.0));
        if let (Some(turndown), None) = (&self.turndown, capacity) {
            context.error(
                codes::CAPACITY_WANTED,
                turndown.place,
                &format!("a turndown of {} without a capacity", turndown.value.0),
                "add capacity: \"... kg/d\" to the unit",
            );
            return None;
        }
        let spares = self.spares.as_ref();
        for (value, place, what) in [
            (
                self.availability.value.0,
                Some(self.availability.place),
                "availability",
            ),
            at(spares.map(|spares| &spares.duty), |duty| duty.0, "duty"),
            at(spares.map(|spares| &spares.mtbf), |mtbf| mtbf.0, "mtbf"),
            at(self.life.as_ref(), |life| life.0, "life"),
            at(self.capacity.as_ref(), |rate| rate.0, "capacity"),
        ] {
            if let Some(place) = place
                && value <= 0.0
            {
                context.error(
                    codes::OUT_OF_RANGE,
                    place,
                    &format!("{what} of the unit must be above zero"),
                    &format!("state a positive {what}, or take the unit out"),
                );
                return None;
            }
        }
        if let Some(turndown) = &self.turndown
            && turndown.value.0 > self.availability.value.0
        {
            context.error(
                codes::OUT_OF_RANGE,
                turndown.place,
                &format!(
                    "a turndown of {} above the availability of {}",
                    turndown.value.0, self.availability.value.0
                ),
                "a running unit could take nothing: state a smaller turndown",
            );
            return None;
        }
        let power_w = self.power.map_or(0.0, |power| power.0);
        Some(Hardware {
            mass_kg: self.mass.0,
            volume_m3: self.volume.map_or(0.0, |volume| volume.0),
            capacity_kg_per_day: capacity,
            availability: self.availability.value.0,
            turndown: self.turndown.as_ref().map(|turndown| turndown.value.0),
            power_w,
            heat_w: power_w + self.heat.map_or(0.0, |heat| heat.0),
            crew_time_h_per_day: self.crew_time.map_or(0.0, |time| time.0),
            life_days: self.life.as_ref().map(|life| life.value.0),
            spares: match &self.spares {
                Some(spares) => Some(spares.part(context)?),
                None => None,
            },
            cartridge: match &self.cartridge {
                Some(cartridge) => Some(cartridge.duty(context)?),
                None => None,
            },
            expendables_kg_per_kg: self.expendables.map_or(0.0, |ratio| ratio.0),
            upkeep_kg_per_day: self.upkeep.map_or(0.0, |rate| rate.0),
        })
    }
}

impl Spares {
    fn part(&self, context: &mut Context<'_>) -> Option<SparePart> {
        if let Some(factor) = &self.error_factor
            && factor.value < 1.0
        {
            context.error(
                codes::OUT_OF_RANGE,
                factor.place,
                &format!("an error factor of {} below 1", factor.value),
                "it is the 95th over the 50th percentile: at least 1",
            );
            return None;
        }
        Some(SparePart {
            mass_kg: self.mass.0,
            mtbf_days: self.mtbf.value.0 / 24.0,
            duty: self.duty.value.0,
            part: self.part.clone(),
            error_factor: self.error_factor.as_ref().map(|factor| factor.value),
        })
    }
}

impl Cartridge {
    fn duty(&self, context: &mut Context<'_>) -> Option<duty::Cartridge> {
        if self.treats.value.0 < LEAST_PIECE_KG {
            context.error(
                codes::OUT_OF_RANGE,
                self.treats.place,
                &format!("a cartridge that treats {}", self.treats.value),
                "state the feed it treats before it is spent: a gram or more",
            );
            return None;
        }
        Some(duty::Cartridge {
            mass_kg: self.mass.0,
            treats_kg: self.treats.value.0,
        })
    }
}
