//! Water itself.

use crate::rules::{page, rule};
use rust_decimal::Decimal;

rule! {
    /// Water at a temperature: pressure of a foot of it, and its kinematic viscosity.
    WaterProperty "water_properties" overridden by "Water properties" sorted by |row| (row.temperature_f,) {
        /// At atmospheric pressure, as all of the row.
        key temperature_f: Decimal = Positive to 250;
        /// Pressure of a foot of it, psi.
        value psi_per_ft: Decimal = Positive to 1;
        /// Kinematic viscosity, ft²/s.
        value kinematic_viscosity_ft2_s: Decimal = Positive to 0.001;
    }
}

page! {
    WaterCells of WaterProperty {
        temperature_f: "Temperature" Fahrenheit;
        kinematic_viscosity_ft2_s: "Kinematic viscosity, millionths of ft2/s" Ratio, millionths;
    }
}
