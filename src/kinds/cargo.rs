//! Cargo: what flights bring.

use crate::diagnostic::codes;
use crate::catalogue::SubstanceId;
use crate::physics::transfer::pressurising_gas_kg;
use crate::quantity::{
    Dimension, HoursPerKilogram, Kilograms, KilogramsPerCubicMetre, Pascals, WithLitres, shown,
};
use crate::written::{Named, Placed, record};

use super::duty::{self, Packing, Stock};
use super::{Activity, Context, Duties, Kind, LEAST_PIECE_KG, Level, MOST_TARE, Portion, Role, kind};

record! {
    /// What flights bring: drawn from what has been delivered.
    pub struct Cargo {
        /// What it is.
        gives: Named,
        /// Packaging as a fraction of the cargo's own mass.
        packaging: Option<Placed<f64>>,
        /// Whole containers.
        container: Option<Container>,
        /// The store into which it is transferred on arrival.
        into: Option<Named>,
        /// What the transfer takes beside the cargo; left out, nothing.
        transfer: Option<Transfer>,
    }
}

record! {
    /// How cargo is pushed into its store when it arrives, the departure's included.
    /// The gas is `p V M / (R T)` of an ideal gas at 20 °C, with V the volume pushed;
    /// it flies with the cargo, and takes no part in the flows. The hours count in
    /// the crew time of the phase in which the flight arrives, spread over its days.
    pub struct Transfer {
        /// Absolute pressure of the gas that pushes; left out, no gas is needed.
        pressure: Option<Placed<Pascals>>,
        /// The gas: a formula or a mixture of formulas; left out, nitrogen.
        gas: Option<Named>,
        /// Density of the cargo; left out, a grade of water has a kilogram a litre.
        density: Option<Placed<KilogramsPerCubicMetre>>,
        /// Crew time per kilogram.
        crew_time: HoursPerKilogram = HoursPerKilogram(0.0),
    }
}

record! {
    /// A container flown whole.
    pub struct Container {
        /// Content of one.
        holds: Placed<WithLitres<Kilograms>>,
        /// Empty mass of one.
        tare: Kilograms,
    }
}

kind!(Cargo);

impl Kind for Cargo {
    /// One activity, kg/d drawn; delivered stock.
    fn duties(&self, context: &mut Context<'_>) -> Option<Duties> {
        let substance = context.substance(&self.gives)?;
        let packing = self.packing(context, substance)?;
        let transfer = self.transfer(context, substance)?;
        Some(Duties {
            activities: vec![Activity {
                label: String::new(),
                level: Level::Free,
                level_unit: "kg/d",
                takes: Vec::new(),
                gives: vec![Portion {
                    substance,
                    amount: 1.0,
                }],
                load: 0.0,
                feed_limits: Vec::new(),
                power_w: 0.0,
                heat_w: 0.0,
                role: Role::Bring,
                conserves: true,
            }],
            stock: Some(Stock::Delivered {
                substance,
                packing,
                into: self.into.clone(),
                transfer,
            }),
            ..Duties::default()
        })
    }
}

/// Litres of a grade of water are kilograms.
const WATER_KG_PER_M3: f64 = 1000.0;

impl Cargo {
    /// What a transferred kilogram takes; `Some(None)` where nothing is described.
    fn transfer(
        &self,
        context: &mut Context<'_>,
        substance: SubstanceId,
    ) -> Option<Option<duty::Transfer>> {
        let Some(written) = &self.transfer else {
            return Some(None);
        };
        if self.into.is_none() {
            context.error(
                codes::TRANSFER,
                context.node.place,
                "a transfer into nothing",
                "name the store: into: \"...\", or take the transfer out",
            );
            return None;
        }
        let nitrogen = Named::new("nitrogen", context.node.place);
        let gas = context.substance(written.gas.as_ref().unwrap_or(&nitrogen))?;
        let gas_kg_per_kg = match (&written.pressure, &written.gas) {
            (Some(pressure), _) => written.gas_kg_per_kg(context, substance, gas, *pressure)?,
            (None, None) => 0.0,
            (None, Some(named)) => {
                context.error(
                    codes::TRANSFER,
                    named.place,
                    "a gas that pushes without a pressure",
                    "state its absolute pressure, such as pressure: \"1.5 atm\"",
                );
                return None;
            }
        };
        Some(Some(duty::Transfer {
            gas,
            gas_kg_per_kg,
            crew_h_per_kg: written.crew_time.0,
        }))
    }

    fn packing(
        &self,
        context: &mut Context<'_>,
        substance: SubstanceId,
    ) -> Option<Packing> {
        match (&self.packaging, &self.container) {
            (None, None) => Some(Packing::Fraction(0.0)),
            (Some(packaging), None) if (0.0..=MOST_TARE).contains(&packaging.value) => {
                Some(Packing::Fraction(packaging.value))
            }
            (Some(packaging), None) => {
                context.error(
                    codes::OUT_OF_RANGE,
                    packaging.place,
                    &format!("a packaging of {}", packaging.value),
                    "packaging is a fraction of the cargo's mass, 0 or more and at most 1000",
                );
                None
            }
            (None, Some(container)) => {
                let holds_kg = context.amount(container.holds.value, substance, container.holds.place)?;
                if holds_kg < LEAST_PIECE_KG {
                    context.error(
                        codes::OUT_OF_RANGE,
                        container.holds.place,
                        &format!("a container that holds {}", shown(holds_kg, Dimension::Mass)),
                        "state what one container holds: a gram or more",
                    );
                    return None;
                }
                Some(Packing::Container {
                    holds_kg,
                    tare_kg: container.tare.0,
                })
            }
            (Some(packaging), Some(_)) => {
                context.error(
                    codes::PACKING,
                    packaging.place,
                    "packaging beside a container",
                    "keep one of them",
                );
                None
            }
        }
    }
}

impl Transfer {
    /// `p M / (ρ R T)`: gas that takes the place of a kilogram.
    fn gas_kg_per_kg(
        &self,
        context: &mut Context<'_>,
        substance: SubstanceId,
        gas: SubstanceId,
        pressure: Placed<Pascals>,
    ) -> Option<f64> {
        let Some(molar_mass) = context.substances.molar_mass_g_per_mol(gas) else {
            let place = self.gas.as_ref().map_or(pressure.place, |named| named.place);
            let name = context.substances.name(gas);
            let message = format!("\"{name}\" pushes cargo, but has no stated formula");
            let help = "name a gas declared as Pure(\"...\") or as a Mixture of such gases";
            context.error(codes::TRANSFER, place, &message, help);
            return None;
        };
        let density = match self.density {
            Some(density) if density.value.0 > 0.0 => density.value.0,
            Some(density) => {
                let help = "state the kilograms that a cubic metre of the cargo weighs";
                context.error(codes::OUT_OF_RANGE, density.place, "a density of nothing", help);
                return None;
            }
            None if context.substances.is_water_alone(substance) => WATER_KG_PER_M3,
            None => {
                let name = context.substances.name(substance);
                let message = format!("no density of \"{name}\", which is not a grade of water");
                let help = "state density, such as \"1140 kg/m³\": the gas fills the cargo's volume";
                context.error(codes::TRANSFER, pressure.place, &message, help);
                return None;
            }
        };
        Some(pressurising_gas_kg(1.0 / density, pressure.value.0, molar_mass))
    }
}
