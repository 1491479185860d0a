//! The mission as written: phases, occasions, flights.

use crate::quantity::{Days, Kilograms, PerDay};
use crate::written::{Entries, Named, Placed, record};

record! {
    /// How long, who, and which flights.
    pub struct Mission {
        /// Phases in order of time.
        phases: Vec<Phase>,
        /// Flights at a steady cadence.
        resupply: Option<Resupply>,
        /// Flights one by one, instead of a cadence.
        flights: Vec<Flight> = Vec::new(),
        /// Date of the departure, day 0, as year-month-day; left out, days are only counted.
        departure: Option<Named>,
        /// What a kilogram of launch mass costs; left out, no cost is reported.
        launch_price: Option<LaunchPrice>,
    }
}

record! {
    /// What a kilogram of launch mass costs, gear ratios included. It changes no
    /// plan, and adds the cost and the saving in money to the report.
    pub struct LaunchPrice {
        /// Money per kilogram, 0 or more.
        per_kilogram: Placed<f64>,
        /// What the money is called.
        currency: Named,
    }
}

record! {
    /// A stretch of the mission with a steady crew.
    pub struct Phase {
        /// Its name.
        name: Named,
        /// How long it lasts.
        length: Placed<Days>,
        /// People aboard.
        crew: u32,
        /// Occasions of the whole crew, so many times a day or week.
        occasions: Entries<Named, PerDay> = Entries::default(),
    }
}

record! {
    /// Flights at a steady cadence; these hold for the arrivals, not for the departure.
    pub struct Resupply {
        /// Days between arrivals.
        every: Placed<Days>,
        /// Largest mass that one flight may carry.
        payload: Option<Kilograms>,
        /// Days that a flight may be late, covered by what is aboard.
        slip: Days = Days(0.0),
        /// Initial mass per delivered kilogram.
        gear_ratio: Placed<f64> = Placed { value: 1.0, place: super::NOWHERE },
    }
}

record! {
    /// One flight; day 0 is the departure.
    pub struct Flight {
        /// The day it arrives.
        day: Placed<Days>,
        /// Largest mass that it may carry.
        payload: Option<Kilograms>,
        /// Days that it may be late, covered by what is aboard.
        slip: Days = Days(0.0),
        /// Initial mass per delivered kilogram.
        gear_ratio: Placed<f64> = Placed { value: 1.0, place: super::NOWHERE },
    }
}
