//! The rule tables of water: what fixtures draw and need, how it flows through fittings and devices, how pipe turns and is held, what the codes' size
//! tables say. Their rows stand in `templates/rules`.

mod bends;
mod code_sizes;
mod demand;
mod devices;
mod ends;
mod fittings;
mod groups;
mod manifolds;
mod meters;
mod outlets;
mod properties;
mod room;
mod sleeves;
mod supports;
mod tempered;
mod units;

pub use bends::{BEND_SUPPORT, Bend, BendCells, NOTHING};
pub use code_sizes::{CODE_LENGTHS, CodeSize};
pub use demand::{Demand, DemandCells};
pub use devices::{DeviceCells, DeviceLoss};
pub use ends::{Between, DeviceEnds, JointEnds, PipeEnd, SUPPLY_END, Transition};
pub use fittings::{FITTING_SYSTEMS, FittingCells, FittingLengths};
pub use groups::{FixtureGroup, GROUPS, GroupCells, split_group};
pub use manifolds::ManifoldFlow;
pub use meters::{MeterFlow, MeterFlowCells};
pub use outlets::{Outlet, OutletCells};
pub use properties::{WaterCells, WaterProperty};
pub use room::{DeviceRoom, DeviceRoomCells};
pub use sleeves::{Sleeve, SleeveCells};
pub use supports::{Support, SupportCells};
pub use tempered::{TemperedCells, TemperedWater};
pub use units::{FixtureUnits, UnitCells};

crate::rules::tables! {
    unit_rows: units::FixtureUnits;
    group_rows: groups::FixtureGroup;
    demand_rows: demand::Demand;
    outlets: outlets::Outlet;
    all_fitting_lengths: fittings::FittingLengths;
    device_losses: devices::DeviceLoss;
    water_properties: properties::WaterProperty;
    supports: supports::Support;
    bends: bends::Bend;
    sleeves: sleeves::Sleeve;
    device_room: room::DeviceRoom;
    tempered_rows: tempered::TemperedWater;
    manifold_flows: manifolds::ManifoldFlow;
    meter_flows: meters::MeterFlow;
    joints: ends::JointEnds;
    pipe_ends: ends::PipeEnd;
    device_ends: ends::DeviceEnds;
    transitions: ends::Transition;
    code_size_rows: code_sizes::CodeSize;
}
