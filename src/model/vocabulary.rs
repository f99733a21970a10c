//! The words that a job workbook offers in its drop-downs where more than a fixed choice may be typed: fixtures,
//! materials, kinds of parts. A word that is not here is no error by itself; the rule tables and the prices decide.

/// Fixtures by their everyday names.
pub const FIXTURES: &[&str] = &[
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
    "other",
];

/// Materials of water pipe. `galvanized` is aged pipe; `PE` is service tube of copper tube size.
pub const MATERIALS: &[&str] = &[
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

/// Materials of drain pipe.
pub const DRAIN_MATERIALS: &[&str] = &["PVC DWV", "ABS DWV", "cast iron"];

/// Kinds of parts bought for most jobs (a drop-down holds 255 letters and no more); devices are bought by their device
/// kind.
pub const PART_KINDS: &[&str] = &[
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
pub const SOLD_BY: &[&str] = &["each", "bag", "box", "stick", "coil", "ft"];
