//! The rule tables of water: how it flows through fittings and devices, how pipe turns and is held, what the codes' size
//! tables say. Their rows stand in `templates/rules`.

mod bends;
mod code_sizes;
mod devices;
mod ends;
mod fittings;
mod manifolds;
mod properties;
mod sleeves;
mod supports;

pub use bends::{BEND_SUPPORT, Bend, BendCells, NOTHING};
pub use code_sizes::{CODE_LENGTHS, CodeSize};
pub use devices::{DeviceCells, DeviceLoss};
pub use ends::{Between, DeviceEnds, JointEnds, PipeEnd, SUPPLY_END, Transition};
pub use fittings::{FITTING_SYSTEMS, FittingCells, FittingLengths};
pub use manifolds::ManifoldFlow;
pub use properties::{WaterCells, WaterProperty};
pub use sleeves::{Sleeve, SleeveCells};
pub use supports::{Support, SupportCells};

crate::rules::tables! {
    all_fitting_lengths: fittings::FittingLengths;
    device_losses: devices::DeviceLoss;
    water_properties: properties::WaterProperty;
    supports: supports::Support;
    bends: bends::Bend;
    sleeves: sleeves::Sleeve;
    manifold_flows: manifolds::ManifoldFlow;
    joints: ends::JointEnds;
    pipe_ends: ends::PipeEnd;
    device_ends: ends::DeviceEnds;
    transitions: ends::Transition;
    code_size_rows: code_sizes::CodeSize;
}
