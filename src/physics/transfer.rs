//! Moving liquids: gas to push a tank empty, and the line it goes through.

use super::{GAS_CONSTANT_J_PER_MOL_K, ZERO_CELSIUS_K};

/// Molar mass of dry air, g/mol, from memory.
pub const MOLAR_MASS_AIR_G_PER_MOL: f64 = 28.9647;

/// Gas in a volume at an absolute pressure and 20 °C, kg: `p V M / (R T)`,
/// ideal gas. It is what a bladder tank has taken up when its liquid is out.
///
/// `volume_m3`: m³ of liquid pushed out, ≥ 0. `absolute_pressure_pa`: Pa, to a
/// few atmospheres (at 300 atm the ideal gas is wrong by 15 % for nitrogen).
/// `molar_mass_g_per_mol`: of the gas.
///
/// ```
/// use loopwright::physics::transfer::pressurising_gas_kg;
/// // 200 L of nitrogen at half an atmosphere gauge: 0.349373 kg; as a real gas
/// // 0.349491 kg (CoolProp 8.0.0)
/// assert!((pressurising_gas_kg(0.2, 151_987.5, 28.014) - 0.349373).abs() < 5e-7);
/// ```
#[must_use]
pub fn pressurising_gas_kg(
    volume_m3: f64,
    absolute_pressure_pa: f64,
    molar_mass_g_per_mol: f64,
) -> f64 {
    const KELVIN: f64 = ZERO_CELSIUS_K + 20.0;
    absolute_pressure_pa * volume_m3 * molar_mass_g_per_mol
        / 1000.0
        / (GAS_CONSTANT_J_PER_MOL_K * KELVIN)
}

/// Flow is laminar below this Reynolds number.
const LAMINAR: f64 = 2040.0;

/// Darcy friction factor of a round pipe: `64/Re` below Re 2040, above it
/// Colebrook's `1/√f = -2 log₁₀(ε/(3.7 D) + 2.51/(Re √f))` (Colebrook 1939),
/// solved to the last digits.
///
/// `reynolds`: > 0. `relative_roughness`: ε/D, 0 to 0.05.
///
/// ```
/// use loopwright::physics::transfer::friction_factor;
/// // fluids 1.3.1
/// assert!((friction_factor(1e5, 1e-4) - 0.0185139).abs() < 1e-6);
/// ```
#[must_use]
pub fn friction_factor(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds < LAMINAR {
        return 64.0 / reynolds;
    }
    // Fixed point in 1/√f; each step gains about one digit or more.
    let mut inverse_root = 7.0;
    for _ in 0..60 {
        inverse_root = -2.0 * f64::log10(relative_roughness / 3.7 + 2.51 * inverse_root / reynolds);
    }
    inverse_root.powi(-2)
}

/// A round line.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Line {
    /// Length, m, > 0.
    pub length_m: f64,
    /// Inner diameter, m, > 0.
    pub bore_m: f64,
    /// Height of the wall's roughness, m, ≥ 0 and far below the bore.
    pub roughness_m: f64,
    /// Sum of the loss coefficients of its bends, valves and couplings, ≥ 0.
    pub fittings: f64,
}

/// A liquid in a line.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Liquid {
    /// Density, kg/m³, > 0.
    pub density_kg_per_m3: f64,
    /// Dynamic viscosity, Pa·s, > 0.
    pub viscosity_pa_s: f64,
}

impl Line {
    /// Reynolds number at a volume flow in m³/s: `4 ρ Q / (π D η)`.
    #[must_use]
    pub fn reynolds(&self, flow_m3_per_s: f64, liquid: Liquid) -> f64 {
        4.0 * liquid.density_kg_per_m3 * flow_m3_per_s
            / (std::f64::consts::PI * self.bore_m * liquid.viscosity_pa_s)
    }

    /// Mean speed, m/s, at a volume flow in m³/s: `4 Q / (π D²)`.
    #[must_use]
    pub fn speed_m_per_s(&self, flow_m3_per_s: f64) -> f64 {
        4.0 * flow_m3_per_s / (std::f64::consts::PI * self.bore_m.powi(2))
    }

    /// Darcy friction factor at a volume flow in m³/s (> 0), see [`friction_factor`].
    #[must_use]
    pub fn friction_factor(&self, flow_m3_per_s: f64, liquid: Liquid) -> f64 {
        friction_factor(
            self.reynolds(flow_m3_per_s, liquid),
            self.roughness_m / self.bore_m,
        )
    }

    /// Pressure drop, Pa, at a volume flow in m³/s (≥ 0):
    /// `(f L/D + Σζ) ρ v²/2` (Darcy–Weisbach).
    ///
    /// ```
    /// use loopwright::physics::transfer::{Line, Liquid};
    /// let line = Line { length_m: 5.0, bore_m: 0.006, roughness_m: 1.5e-6, fittings: 0.0 };
    /// let water = Liquid { density_kg_per_m3: 998.207, viscosity_pa_s: 1.0015961e-3 };
    /// // 60 L/h: 6023.5 Pa (fluids 1.3.1)
    /// assert!((line.pressure_drop_pa(0.060 / 3600.0, water) - 6023.5).abs() < 0.5);
    /// ```
    #[must_use]
    pub fn pressure_drop_pa(&self, flow_m3_per_s: f64, liquid: Liquid) -> f64 {
        if flow_m3_per_s <= 0.0 {
            return 0.0;
        }
        let factor = self.friction_factor(flow_m3_per_s, liquid);
        let losses = factor * self.length_m / self.bore_m + self.fittings;
        losses * liquid.density_kg_per_m3 * self.speed_m_per_s(flow_m3_per_s).powi(2) / 2.0
    }

    /// Volume flow, m³/s, that a pressure drop in Pa (≥ 0) drives: the inverse
    /// of [`Line::pressure_drop_pa`]. A drop between the last of laminar and the
    /// first of turbulent flow gives the flow at Re 2040.
    ///
    /// ```
    /// use loopwright::physics::transfer::{Line, Liquid};
    /// let line = Line { length_m: 5.0, bore_m: 0.006, roughness_m: 1.5e-6, fittings: 0.0 };
    /// let water = Liquid { density_kg_per_m3: 998.207, viscosity_pa_s: 1.0015961e-3 };
    /// let litres_per_min = line.flow_m3_per_s(50_662.5, water) * 60_000.0;
    /// assert!((litres_per_min - 3.4295).abs() < 5e-4); // fluids 1.3.1
    /// ```
    #[must_use]
    pub fn flow_m3_per_s(&self, pressure_drop_pa: f64, liquid: Liquid) -> f64 {
        // Turbulent flow and fittings are slower than laminar flow at the same drop.
        let laminar = std::f64::consts::PI * self.bore_m.powi(4) * pressure_drop_pa
            / (128.0 * liquid.viscosity_pa_s * self.length_m);
        let (mut low, mut high) = (0.0, laminar.max(0.0));
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            *(if self.pressure_drop_pa(middle, liquid) < pressure_drop_pa {
                &mut low
            } else {
                &mut high
            }) = middle;
        }
        0.5 * (low + high)
    }
}

/// Power of a pump, W: `Δp Q / η`.
///
/// `pressure_pa`: raised by the pump, Pa, ≥ 0. `flow_m3_per_s`: m³/s, ≥ 0.
/// `efficiency`: power of the flow over electric power, in (0, 1].
///
/// ```
/// use loopwright::physics::transfer::pump_power_w;
/// // 60 L/h against 6023.5 Pa: 0.1004 W of flow, a quarter of the electric power
/// assert!((pump_power_w(6023.5, 0.060 / 3600.0, 0.25) - 0.40157).abs() < 1e-5);
/// ```
#[must_use]
pub fn pump_power_w(pressure_pa: f64, flow_m3_per_s: f64, efficiency: f64) -> f64 {
    pressure_pa * flow_m3_per_s / efficiency
}

#[cfg(test)]
mod tests;
