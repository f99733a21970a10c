//! The words that a job workbook offers in its drop-downs where more than a fixed choice may be typed: fixtures,
//! materials, kinds of parts. A word that is not here is no error by itself; the rule tables and the prices decide.

/// Fixtures by their everyday names.
pub(crate) const FIXTURES: &[&str] = &[
    "water closet",
    "water closet flush valve",
    "lavatory",
    "bathtub",
    "shower",
    "kitchen sink",
    "dishwasher",
    "clothes washer",
    "laundry tray",
    "bar sink",
    "hose bibb",
    "urinal",
    "urinal flush valve",
    "service sink",
    "drinking fountain",
    "bidet",
    "ice maker",
    "other",
];

/// Materials of water pipe. `galvanized` is aged pipe; `PE` is service tube of copper tube size.
pub(crate) const MATERIALS: &[&str] = &[
    "PEX",
    "copper K",
    "copper L",
    "copper M",
    "CPVC",
    "galvanized",
    "galvanized new",
    "galvanized old",
    "PE",
    "PE SIDR",
];

/// The kind of device that holds the pressure behind it down to its Set psi.
pub(crate) const REGULATOR: &str = "regulator";

/// Materials of drain pipe.
pub(crate) const DRAIN_MATERIALS: &[&str] = &["PVC DWV", "ABS DWV", "cast iron"];

/// Kinds of parts bought for most jobs (a drop-down holds 255 letters and no more); devices are bought by their device
/// kind.
pub(crate) const PART_KINDS: &[&str] = &[
    "pipe",
    "tee",
    "elbow",
    "coupling",
    "reducer",
    "adapter",
    "ring",
    "clamp",
    "sleeve",
    "cap",
    "stub-out",
    "drop-ear",
    "stop valve",
    "supply line",
    "washer box",
    "ice maker box",
    "tub and shower valve",
    "frostproof hose bibb",
    "vacuum breaker",
    "ball valve",
    "boiler drain",
    "support",
    "nail plate",
    "pipe insulation",
];

/// How things are sold.
pub(crate) const SOLD_BY: &[&str] = &["each", "bag", "box", "stick", "coil", "ft"];

/// Everyday names of the stop under a fixture, by its own name `stop valve`. It is no valve in the line, though some call
/// that one so too.
const ANGLE_STOPS: &[&str] =
    &["stop valve", "angle stop", "straight stop", "supply stop", "fixture stop", "angle valve"];

/// Whether a name is that of the stop under a fixture.
pub(crate) fn is_angle_stop(name: &str) -> bool {
    let wanted = super::fold(name);
    let wanted = wanted.strip_suffix('s').unwrap_or(&wanted);
    ANGLE_STOPS.iter().any(|stop| super::fold(stop) == wanted)
}

/// Everyday names of device kinds, and the kinds they are.
const DEVICE_ALIASES: &[(&str, &[&str])] = &[
    ("meter", &["water meter"]),
    ("softener", &["water softener", "softner"]),
    ("filter", &["water filter", "sediment filter", "whole house filter"]),
    (
        "tank heater",
        &["tank water heater", "storage heater", "storage water heater", "gas water heater", "electric water heater"],
    ),
    ("tankless heater", &["tankless", "tankless water heater", "instantaneous heater", "on-demand water heater"]),
    (
        "backflow preventer",
        &["backflow", "backflow device", "backflow assembly", "RPZ", "RP", "reduced pressure backflow preventer"],
    ),
    ("double check valve", &["double check", "double check valve assembly", "double check backflow preventer", "DCVA"]),
    (
        "regulator",
        &["PRV", "pressure reducing valve", "pressure reducer", "pressure regulator", "water pressure regulator"],
    ),
    ("check valve", &["check", "non-return valve", "one way valve"]),
    ("shutoff valve", &["shutoff", "main shutoff", "main valve", "ball valve", "gate valve", "isolation valve"]),
    ("manifold", &["header", "PEX manifold"]),
    ("expansion tank", &["thermal expansion tank"]),
    ("hammer arrester", &["arrester", "arrestor", "hammer arrestor", "water hammer arrester", "water hammer arrestor"]),
];

/// The device kind that an everyday name means. A `water heater` may be either of two kinds, and is none.
pub(crate) fn device_kind(name: &str) -> Option<&'static str> {
    let wanted = super::fold(name);
    let means = |(kind, aliases): &&(&'static str, &[&str])| {
        super::fold(kind) == wanted || aliases.iter().any(|alias| super::fold(alias) == wanted)
    };
    DEVICE_ALIASES.iter().find(means).map(|(kind, _)| *kind)
}

/// Every everyday name of a device kind, with the kind.
pub(crate) fn device_aliases() -> impl Iterator<Item = (&'static str, &'static str)> {
    DEVICE_ALIASES.iter().flat_map(|(kind, aliases)| aliases.iter().map(|alias| (*alias, *kind)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::columns::DEVICE_KINDS;
    use std::collections::BTreeSet;

    #[test]
    fn each_everyday_name_means_one_device_kind() {
        let mut seen = BTreeSet::new();
        for (kind, aliases) in DEVICE_ALIASES {
            assert!(DEVICE_KINDS.contains(kind), "{kind}");
            for alias in *aliases {
                assert!(seen.insert(crate::model::fold(alias)), "{alias} twice");
                assert!(!DEVICE_KINDS.contains(alias), "{alias} is a kind itself");
                assert_eq!(device_kind(&alias.to_uppercase()), Some(*kind));
            }
        }
        assert_eq!(device_kind("water heater"), None);
        // Angle stops come with their fixtures; a shutoff in the line is another thing.
        assert_eq!(device_kind("stop valve"), None);
        assert!(is_angle_stop("Angle stops") && is_angle_stop("stop valve") && !is_angle_stop("shutoff valve"));
    }
}
