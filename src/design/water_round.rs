//! The water round as written.

use crate::quantity::{
    Celsius, CubicMetres, CubicMetresPerHour, Days, Fraction, Hours, Kilograms, Metres, Pascals,
    PerDay, Volts, Watts, WithLitres,
};
use crate::written::{Entries, Named, Placed, record};

use super::NOWHERE;

/// One standard atmosphere.
const ATMOSPHERE: Pascals = Pascals(crate::physics::ATMOSPHERE_PA);
/// Water of a cabin.
const ROOM: Celsius = Celsius(20.0);
/// A smooth drawn tube.
const SMOOTH: Metres = Metres(1.5e-6);

record! {
    /// The daily round of water through coils, lines, tanks, containers and heaters. It changes no
    /// plan: `loopwright water-round` works out from it, and from the plan's flows, what the
    /// steady balance does not say.
    pub struct WaterRound {
        /// The air of the cabin.
        air: CabinAir,
        /// Condensers, by the names of their nodes.
        coils: Entries<Named, Coil> = Entries::default(),
        /// Lines between nodes, by names of their own.
        lines: Entries<Named, WaterLine> = Entries::default(),
        /// Cargo pushed out of its tanks, by the names of its nodes.
        tanks: Entries<Named, PressedTank> = Entries::default(),
        /// Dispensers fed from containers, by names of their own.
        dispensers: Entries<Named, Dispenser> = Entries::default(),
        /// Heated drinks, by names of their own.
        drinks: Entries<Named, Drink> = Entries::default(),
        /// Electrolysers, by the names of their nodes.
        cells: Entries<Named, Cells> = Entries::default(),
    }
}

record! {
    /// Cabin air, by its dew point or its relative humidity.
    pub struct CabinAir {
        /// Temperature.
        temperature: Placed<Celsius>,
        /// Temperature at which it is saturated.
        dew_point: Option<Placed<Celsius>>,
        /// Relative humidity, instead of the dew point.
        humidity: Option<Placed<Fraction>>,
        /// Total pressure.
        pressure: Placed<Pascals> = Placed { value: ATMOSPHERE, place: NOWHERE },
    }
}

record! {
    /// The cold coil of a condenser.
    pub struct Coil {
        /// Cabin air that one unit draws, volume at the inlet; left out, it is found from
        /// the coil's temperature.
        air_flow: Option<Placed<CubicMetresPerHour>>,
        /// Temperature of the coil, instead of the air flow.
        temperature: Option<Placed<Celsius>>,
    }
}

record! {
    /// A line that carries water from one node to another.
    pub struct WaterLine {
        /// Where it begins.
        from: Named,
        /// Where it ends.
        to: Named,
        /// The grade of water; left out, all that flow there.
        carries: Option<Named>,
        /// The line itself.
        pipe: Pipe,
        /// Temperature of the water.
        temperature: Placed<Celsius> = Placed { value: ROOM, place: NOWHERE },
        /// Share of the time in which it is pumped.
        pumped: Placed<Fraction> = Placed { value: Fraction::ONE, place: NOWHERE },
        /// Pressure that the pump works against beside the line's, such as that of the tank at its end.
        against: Pascals = Pascals(0.0),
        /// Power of the flow over electric power of the pump; left out, there is no pump.
        efficiency: Option<Placed<Fraction>>,
    }
}

record! {
    /// A round line.
    pub struct Pipe {
        /// Length.
        length: Placed<Metres>,
        /// Inner diameter.
        bore: Placed<Metres>,
        /// Height of the wall's roughness; a smooth drawn tube unless stated.
        roughness: Placed<Metres> = Placed { value: SMOOTH, place: NOWHERE },
        /// Sum of the loss coefficients of bends, valves and couplings.
        fittings: Placed<f64> = Placed { value: 0.0, place: NOWHERE },
    }
}

record! {
    /// Tanks of water that gas pushes through a line into the store.
    pub struct PressedTank {
        /// Content of one tank.
        holds: Placed<CubicMetres>,
        /// Absolute pressure of the gas.
        pressure: Placed<Pascals>,
        /// The gas, a formula or a mixture of formulas; left out, nitrogen.
        gas: Option<Named>,
        /// The line from tank to store.
        pipe: Pipe,
        /// Temperature of the water.
        temperature: Placed<Celsius> = Placed { value: ROOM, place: NOWHERE },
        /// Crew time to connect, check, vent and put away one tank.
        set_up: Hours = Hours(0.0),
        /// Share of the flow's time in which someone stands by.
        attended: Fraction = Fraction::ONE,
    }
}

record! {
    /// A dispenser that is fed from containers carried to it.
    pub struct Dispenser {
        /// The grade of water.
        of: Named,
        /// The nodes that drink from it.
        feeds: Vec<Named>,
        /// Content of one container.
        container: Placed<WithLitres<Kilograms>>,
        /// Crew time to fetch and change one container.
        change: Hours = Hours(0.0),
    }
}

record! {
    /// A drink drawn in runs of the dispenser and heated.
    pub struct Drink {
        /// What one run gives.
        run: Placed<CubicMetres>,
        /// Runs of one serving.
        runs: u32,
        /// How long one run takes.
        run_takes: Days = Days(0.0),
        /// Servings per person.
        servings: PerDay,
        /// Temperature of the water before.
        from: Placed<Celsius> = Placed { value: ROOM, place: NOWHERE },
        /// Temperature of the drink.
        to: Placed<Celsius>,
        /// Electric power of the heater.
        heater: Placed<Watts>,
        /// Heat in the water over electric energy.
        efficiency: Placed<Fraction> = Placed { value: Fraction::ONE, place: NOWHERE },
        /// The node whose unit heats, if the design has one.
        at: Option<Named>,
    }
}

record! {
    /// Voltages at which an electrolyser's power is worked out beside its own.
    pub struct Cells {
        /// Cell voltages.
        voltages: Vec<Placed<Volts>>,
    }
}
