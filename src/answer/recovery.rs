//! How much of what is used comes back.

/// Recovery figures of an answer, over the whole mission.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Recovery {
    /// 1 − (grades of water drawn from cargo − G) / water used, where G is water
    /// split by electrolysis less water made from hydrogen.
    pub water_recovery: Option<f64>,
    /// Water content reaching disposals over water content given back by people
    /// and equipment.
    pub water_lost_share: Option<f64>,
    /// 1 − (oxygen drawn from cargo + 0.888093 G) / oxygen used.
    pub oxygen_closure: Option<f64>,
    /// 1 − cargo drawn / everything people and equipment take.
    pub loop_closure_by_mass: Option<f64>,
}
