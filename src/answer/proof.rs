//! How sure an answer is, and what proved it.

/// How sure the answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Proved the lightest, to the gap asked for.
    Optimal,
    /// The best found before the search was stopped.
    Feasible,
}

/// What proved it.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// Optimal, or the best so far.
    pub status: Status,
    /// No answer can be lighter than this, kg.
    pub bound_kg: f64,
    /// (mass − bound) / mass.
    pub gap: f64,
    /// Which linear-programming back-end was used.
    pub backend: &'static str,
    /// Its version.
    pub backend_version: &'static str,
    /// Linear programs solved.
    pub relaxations: usize,
    /// How the deliveries were placed on the flights.
    pub flights_form: FlightsForm,
}

/// How the deliveries were placed on the flights.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlightsForm {
    /// Totals were solved and split over the flights afterwards, as late as possible.
    TotalsSplit,
    /// Every delivery was chosen flight by flight.
    PerFlight,
}
