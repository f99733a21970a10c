//! The tables that the program carries, one line each. The four tables of names come first: the others are read with
//! the names they teach.

use super::table::Spec;
use super::{
    assemblies, bends, code_sizes, conditions, devices, fittings, fixtures, labor, limits, manifolds, picking, pipe,
    sleeves, supports, waste_allowance, water,
};

pub(super) const TABLES: &[(&Spec, &str)] = &[
    (&fixtures::FIXTURES, include_str!("../../templates/rules/fixtures.csv")),
    (&fixtures::FIXTURE_ALIASES, include_str!("../../templates/rules/fixture_aliases.csv")),
    (&pipe::MATERIALS, include_str!("../../templates/rules/materials.csv")),
    (&pipe::MATERIAL_ALIASES, include_str!("../../templates/rules/material_aliases.csv")),
    (&fixtures::FIXTURE_UNITS, include_str!("../../templates/rules/fixture_units.csv")),
    (&fixtures::FIXTURE_GROUPS, include_str!("../../templates/rules/fixture_groups.csv")),
    (&water::DEMAND, include_str!("../../templates/rules/demand.csv")),
    (&water::OUTLETS, include_str!("../../templates/rules/outlets.csv")),
    (&water::WATER_PROPERTIES, include_str!("../../templates/rules/water_properties.csv")),
    (&pipe::PIPE, include_str!("../../templates/rules/pipe.csv")),
    (&fittings::FITTING_LENGTHS, include_str!("../../templates/rules/fitting_lengths.csv")),
    (&devices::DEVICE_LOSSES, include_str!("../../templates/rules/device_losses.csv")),
    (&limits::LIMITS, include_str!("../../templates/rules/limits.csv")),
    (&supports::SUPPORTS, include_str!("../../templates/rules/supports.csv")),
    (&bends::BENDS, include_str!("../../templates/rules/bends.csv")),
    (&code_sizes::CODE_SIZES, include_str!("../../templates/rules/code_sizes.csv")),
    (&sleeves::SLEEVES, include_str!("../../templates/rules/sleeves.csv")),
    (&manifolds::MANIFOLD_FLOWS, include_str!("../../templates/rules/manifold_flows.csv")),
    (&waste_allowance::SPARES, include_str!("../../templates/rules/spares.csv")),
    (&picking::PICKING, include_str!("../../templates/rules/picking.csv")),
    (&labor::LABOR, include_str!("../../templates/rules/labor.csv")),
    (&conditions::LABOR_CONDITIONS, include_str!("../../templates/rules/labor_conditions.csv")),
    (&assemblies::ASSEMBLIES, include_str!("../../templates/rules/assemblies.csv")),
];
