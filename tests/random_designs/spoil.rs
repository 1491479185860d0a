//! Reasons for which a design has no balance.

use super::dice::Dice;

/// A reason for which a design has no balance.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Spoil {
    /// Units that must fly draw more than the power limit.
    Power,
    /// They give off more than the heat limit.
    Heat,
    /// They need more room than there is.
    Volume,
    /// They need more hands than there are.
    CrewTime,
    /// Flights carry next to nothing.
    Payload,
    /// Solids have no room aboard and no other way.
    Stowage,
    /// Solids leave with flights alone, and those take next to nothing.
    Removal,
    /// The air is dried by a condenser that is too small.
    Condenser,
    /// Oxygen comes from cells that are too small.
    Oxygen,
    /// Oxygen comes from cells that start too late.
    LateOxygen,
    /// Two units that are both needed exclude each other.
    Exclusive,
    /// Recovered water has no way out.
    Surplus,
    /// A late flight is to be covered by a departure that cannot lift it.
    Slip,
}

impl Spoil {
    pub const ALL: [Spoil; 13] = [
        Spoil::Power,
        Spoil::Heat,
        Spoil::Volume,
        Spoil::CrewTime,
        Spoil::Payload,
        Spoil::Stowage,
        Spoil::Removal,
        Spoil::Condenser,
        Spoil::Oxygen,
        Spoil::LateOxygen,
        Spoil::Exclusive,
        Spoil::Surplus,
        Spoil::Slip,
    ];

    /// A reason in one case of six; limits and payloads leave others without a balance.
    pub fn thrown(dice: &mut Dice) -> Option<Spoil> {
        let chosen = Spoil::ALL[dice.below(Spoil::ALL.len())];
        (dice.below(6) == 0).then_some(chosen)
    }
}
