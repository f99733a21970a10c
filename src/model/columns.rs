//! The sheets of a job workbook and their columns, declared once: the reader matches headings against this list, the
//! blank workbook takes its headings, notes and drop-downs from it, and the hints suggest names out of it.

use super::range::{Range, Scale, range};

/// What a cell of a column may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Any words.
    Text,
    /// A number, or its text.
    Number,
    /// A number that cannot be negative.
    Positive,
    /// Feet: `12.5`, `12'6"`, `150"`.
    Length,
    /// Nominal pipe size; the column is formatted as text so that 1/2 stays 1/2.
    Size,
    /// One size or several joined by x, as tees are named: `3/4 x 1/2 x 1/2`.
    Sizes,
    Date,
    /// A share such as 7%, or a word that stands for one.
    Share,
    /// One of a list of words.
    Choice(&'static [&'static str]),
}

/// One column of a sheet.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The heading, unit included.
    pub name: &'static str,
    /// Other spellings that mean the same.
    pub aliases: &'static [&'static str],
    pub kind: Kind,
    pub required: bool,
    /// The note on the heading.
    pub help: &'static str,
    /// Of a number, a length, a share and a date: within what it can be meant.
    pub range: Option<Range>,
}

impl Column {
    pub(super) const fn within(self, range: Range) -> Self {
        Self { range: Some(range), ..self }
    }

    /// How its numbers are written for people. The heading names the unit, so they have none.
    pub fn scale(&self) -> Scale<'static> {
        match self.kind {
            Kind::Share => Scale::Share,
            Kind::Date => Scale::Date,
            _ => Scale::In(""),
        }
    }
}

/// One sheet of a job workbook.
#[derive(Debug, Clone, Copy)]
pub struct Sheet {
    pub name: &'static str,
    pub aliases: &'static [&'static str],
    pub required: bool,
    pub help: &'static str,
    pub columns: &'static [Column],
}

pub use super::supply_columns::{ON_HAND, PRICES, RECEIVED, SUPPLIERS};

pub const STATUS: &[&str] = &["new", "existing", "remove", "by others", "installed"];
pub const WHERE: &[&str] =
    &["inside", "inside wall", "outside wall", "joist bay", "crawl space", "attic", "buried", "in slab", "open"];
pub const FORM: &[&str] = &["auto", "stick", "coil"];
pub const JOINTS: &[&str] = &["allowed", "none"];
pub const PHASES: &[&str] = &["underground", "rough-in", "trim", "test"];
/// The waters that pipe has a color for.
pub const WATERS: &[&str] = &["cold", "hot"];
pub const BY: &[&str] = &["owner", "hired"];
pub const DEVICE_KINDS: &[&str] = &[
    "meter",
    "softener",
    "filter",
    "tank heater",
    "tankless heater",
    "backflow preventer",
    "double check valve",
    "regulator",
    "check valve",
    "shutoff valve",
    "manifold",
    "expansion tank",
    "hammer arrester",
    "other",
];
/// Words of a Tax column: what the job's Tax rate says, and nothing.
pub const TAXED: &str = "yes";
pub const UNTAXED: &str = "no";
/// A rate of sales tax.
pub(super) const TAX: Range = range!(0, 0, 0.15, 0.5);
/// What is due at a payment, of the whole.
pub const PAYMENT: Range = range!(0, 0, 1, 1);
pub const TERM_KINDS: &[&str] = &["included", "excluded", "assumption", "allowance", "alternate", "payment", "caution"];

pub(super) const fn column(
    name: &'static str,
    aliases: &'static [&'static str],
    kind: Kind,
    help: &'static str,
) -> Column {
    Column { name, aliases, kind, required: false, help, range: None }
}
pub(super) const fn required(
    name: &'static str,
    aliases: &'static [&'static str],
    kind: Kind,
    help: &'static str,
) -> Column {
    Column { name, aliases, kind, required: true, help, range: None }
}

pub(super) const NOTE: Column = column(
    "Note",
    &["Notes", "Remark", "Comment"],
    Kind::Text,
    "Anything you want to remember; the bid carries it along.",
);
const STATUS_COLUMN: Column = column(
    "Status",
    &["State"],
    Kind::Choice(STATUS),
    "new (blank means new); existing: was there before the job, counted in the hydraulics, not bought; remove: comes out; by others: somebody else's work; installed: part of this job and done, priced but not ordered again.",
);
const PHASE_COLUMN: Column = column(
    "Phase",
    &["Stage"],
    Kind::Choice(PHASES),
    "underground, rough-in, trim or test. Blank lets the engine choose by place and task.",
);
const SIZE_COLUMN: Column = column(
    "Size",
    &["Nominal size", "Size in", "Diameter"],
    Kind::Size,
    "Nominal size: 1/2, 3/4, 1, 1-1/4. Blank lets the engine choose; filled is your word.",
);
pub(super) const MATERIAL_COLUMN: Column = column(
    "Material",
    &["Pipe", "Mat"],
    Kind::Text,
    "PEX, copper L, copper M, copper K, CPVC, galvanized, PE. Blank takes Main material from Job.",
);

pub const JOB: Sheet = Sheet {
    name: "Job",
    aliases: &["Job settings", "Settings"],
    required: true,
    help: "One setting a row. Items left out stand on their defaults, which the bid lists.",
    columns: &[
        required("Item", &["Setting", "Name"], Kind::Text, "The setting's name, from the list in the guide."),
        required("Value", &["Entry"], Kind::Text, "Its value; a blank one takes the default."),
        column("Unit", &["Units"], Kind::Text, "For the reader; the engine goes by the setting's own unit."),
        NOTE,
    ],
};

pub const FIXTURES: Sheet = Sheet {
    name: "Fixtures",
    aliases: &["Fixture list", "Fixture schedule"],
    required: true,
    help: "One fixture a row, or several alike at the end of the same runs.",
    columns: &[
        required("Tag", &["Mark", "Fixture tag", "ID"], Kind::Text, "A short name of your own: WC1, L2."),
        required(
            "Fixture",
            &["Type", "Fixture type"],
            Kind::Text,
            "water closet, lavatory, bathtub, shower, kitchen sink, dishwasher, clothes washer, laundry tray, bar sink, hose bibb, urinal, service sink, drinking fountain, bidet; other needs Gpm.",
        ),
        column("Room", &["Location"], Kind::Text, "Where it stands."),
        column(
            "Group",
            &["Fixture group"],
            Kind::Text,
            "full bath, half bath, kitchen or laundry, with a name after it (full bath A): fixtures of one group share the code's group value.",
        ),
        column("Count", &["Qty", "Quantity", "No."], Kind::Positive, "How many alike; blank means 1.")
            .within(range!(0, 0, 100, 1000)),
        column("Cold run", &["Cold", "Cold from"], Kind::Text, "The run whose end feeds its cold side."),
        column("Hot run", &["Hot", "Hot from"], Kind::Text, "The run whose end feeds its hot side."),
        column(
            "Gpm",
            &["Flow gpm"],
            Kind::Positive,
            "Makes it a continuous flow of this much in place of fixture units (irrigation, a fill valve).",
        )
        .within(range!(0, 0, 100, 1000)),
        column(
            "Need psi",
            &["Required psi", "Flow pressure psi"],
            Kind::Positive,
            "Flow pressure it needs; blank takes the code's table.",
        )
        .within(range!(0, 0, 80, 200)),
        column("Drain", &["Drain run"], Kind::Text, "The drain it empties into."),
        STATUS_COLUMN,
        NOTE,
    ],
};

pub const RUNS: Sheet = Sheet {
    name: "Runs",
    aliases: &["Pipe runs", "Water runs", "Piping"],
    required: true,
    help: "One length of water pipe between two joints a row; the runs are trees from the supply.",
    columns: &[
        required("Run", &["Run name", "Line"], Kind::Text, "A short name of your own, unlike any other."),
        required(
            "From",
            &["Fed by", "Fed from"],
            Kind::Text,
            "The run that feeds it, or SUPPLY where the line leaves the supply.",
        ),
        MATERIAL_COLUMN,
        SIZE_COLUMN,
        required(
            "Length ft",
            &["Length", "Len ft", "Feet", "Length (ft)"],
            Kind::Length,
            "Developed length, risers included: 12.5 or 12'6\".",
        )
        .within(range!(0, 0, 2000, 20000)),
        column(
            "Rise ft",
            &["Rise", "Rise (ft)"],
            Kind::Number,
            "Height gained from its start to its end; down is negative.",
        )
        .within(range!(-2000, -200, 200, 2000)),
        column("Level", &["Floor", "Storey"], Kind::Text, "Which floor it is on."),
        column("Bends", &["Elbows", "Turns"], Kind::Positive, "How many 90 degree turns need a fitting.")
            .within(range!(0, 0, 100, 1000)),
        column(
            "Where",
            &["Place", "Location"],
            Kind::Choice(WHERE),
            "inside wall (or inside) and outside wall: through studs; joist bay: along the joists; crawl space, attic, buried, in slab or open.",
        ),
        column("Form", &["Stock"], Kind::Choice(FORM), "stick, coil or auto."),
        column(
            "Joints",
            &["Joints allowed"],
            Kind::Choice(JOINTS),
            "none: this run must be one piece (buried, in slab).",
        ),
        STATUS_COLUMN,
        column(
            "Insulation in",
            &["Insulation", "Insulation (in)"],
            Kind::Positive,
            "Thickness of pipe insulation in inches; blank is none.",
        )
        .within(range!(0, 0, 4, 12)),
        PHASE_COLUMN,
        NOTE,
    ],
};

pub const DEVICES: Sheet = Sheet {
    name: "Devices",
    aliases: &["Equipment", "In-line devices"],
    required: false,
    help: "Something in the line: it stands at the start of its run; a manifold at its end, and feeds the runs from it. Several \
           on one run stand as they are usually fitted, the regulator behind the meter and before the rest: for another order \
           give each a run of its own.",
    columns: &[
        required("Device", &["Name", "Tag"], Kind::Text, "A short name of your own."),
        required(
            "On run",
            &["Run", "Line"],
            Kind::Text,
            "The run it stands in, at that run's start; a manifold at its end.",
        ),
        required(
            "Kind",
            &["Type", "Device kind"],
            Kind::Choice(DEVICE_KINDS),
            "What it is: decides the law of its loss and what is bought and done for it.",
        ),
        column("Size", &["Nominal size", "Connection size"], Kind::Size, "Connection size."),
        column(
            "Rated gpm",
            &["Rated flow gpm", "Flow gpm"],
            Kind::Positive,
            "The flow at which Loss psi was measured.",
        )
        .within(range!(0.1, 0.5, 200, 1000)),
        column("Loss psi", &["Pressure loss psi", "Loss"], Kind::Positive, "Pressure lost at Rated gpm.")
            .within(range!(0, 0, 50, 200)),
        column("Set psi", &["Setting psi", "Outlet psi"], Kind::Positive, "A regulator's setting.")
            .within(range!(5, 20, 100, 300)),
        column("Ports", &["Outlets", "Port count"], Kind::Positive, "How many ports a manifold has.")
            .within(range!(1, 2, 48, 200)),
        STATUS_COLUMN,
        NOTE,
    ],
};

pub const DRAINS: Sheet = Sheet {
    name: "Drains",
    aliases: &["Drain runs", "Waste"],
    required: false,
    help: "One length of drain between two fittings a row.",
    columns: &[
        required("Drain", &["Name"], Kind::Text, "A short name of your own."),
        required("To", &["Into"], Kind::Text, "The drain it runs into, or SEWER."),
        MATERIAL_COLUMN,
        SIZE_COLUMN,
        required("Length ft", &["Length", "Feet"], Kind::Length, "Developed length.").within(range!(0, 0, 2000, 20000)),
        column("Slope in/ft", &["Slope", "Grade in/ft"], Kind::Positive, "Fall in inches a foot.")
            .within(range!(0, 0, 3, 12)),
        column("Where", &["Place"], Kind::Choice(WHERE), "inside, crawl space, buried, in slab."),
        column("Vent", &["Vented by"], Kind::Text, "How it is vented."),
        STATUS_COLUMN,
        NOTE,
    ],
};

pub const LABOR: Sheet = Sheet {
    name: "Labor",
    aliases: &["Labour", "Labor hours", "Tasks"],
    required: false,
    help: "Hours for one unit of a task; what stands here goes before the built-in starting values.",
    columns: &[
        required("Task", &["Work", "Activity"], Kind::Text, "The task's name, as the bid's Hours sheet writes it."),
        required("Unit", &["Per"], Kind::Text, "ft or each."),
        required(
            "Hours",
            &["Hours per unit", "Hrs"],
            Kind::Positive,
            "Hours for one unit, one person, before conditions.",
        )
        .within(range!(0, 0, 80, 1000)),
        PHASE_COLUMN,
        column("By", &["Who"], Kind::Choice(BY), "owner or hired; blank takes Labor by from Job."),
        NOTE,
    ],
};

pub const OTHER_COSTS: Sheet = Sheet {
    name: "Other costs",
    aliases: &["Other", "Extras", "Job costs"],
    required: false,
    help: "Travel, rental, digging, subs, consumables, fees.",
    columns: &[
        required("Item", &["Cost", "What"], Kind::Text, "What it is."),
        PHASE_COLUMN,
        column("Unit", &["UOM"], Kind::Text, "day, trip, hour, lot."),
        required("Quantity", &["Qty"], Kind::Positive, "How many.").within(range!(0, 0, 10000, 1000000)),
        required("Price", &["Unit price", "Each"], Kind::Positive, "Price of one.")
            .within(range!(0, 0, 100000, 10000000)),
        column(
            "Tax",
            &["Sales tax", "Taxed"],
            Kind::Share,
            "Sales tax on this row: blank or no is untaxed, yes takes Tax rate from Job, 3% is a rate of its own.",
        )
        .within(TAX),
        NOTE,
    ],
};

pub const TERMS: Sheet = Sheet {
    name: "Terms",
    aliases: &["Conditions", "Bid terms"],
    required: false,
    help: "A line of the bid's words.",
    columns: &[
        required(
            "Kind",
            &["Type"],
            Kind::Choice(TERM_KINDS),
            "included, excluded, assumption, allowance, alternate, payment or caution.",
        ),
        required("Text", &["Wording", "Line"], Kind::Text, "What the bid says."),
        column(
            "Amount",
            &["Value", "$"],
            Kind::Number,
            "Dollars of an allowance or an alternate (a deduct is negative); for a payment, the share due, such as 30%.",
        ).within(range!(-10000000, -100000, 100000, 10000000)),
        column(
            "Change",
            &["Changes"],
            Kind::Text,
            "What an alternate changes, for the engine to price it: main size=1; run M1 material=copper L. Several are parted by semicolons.",
        ),
    ],
};

pub const TEST_LOG: Sheet = Sheet {
    name: "Test log",
    aliases: &["Tests", "Gauge log"],
    required: false,
    help: "A gauge reading.",
    columns: &[
        required("Test", &["Name"], Kind::Text, "Which test."),
        required("Read at", &["Time", "When"], Kind::Text, "When the gauge was read."),
        required("Gauge psi", &["Gauge", "Psi"], Kind::Positive, "What it read.").within(range!(0, 0, 250, 1000)),
        column("Temperature F", &["Temp F", "Temperature"], Kind::Number, "Temperature at the pipe.")
            .within(range!(-130, -40, 150, 250)),
        column("Medium", &["Test medium"], Kind::Choice(&["air", "water"]), "air or water."),
        NOTE,
    ],
};

/// Every sheet of a job workbook, in the order the blank one has them.
pub const SHEETS: &[Sheet] =
    &[JOB, FIXTURES, RUNS, DEVICES, DRAINS, PRICES, SUPPLIERS, LABOR, OTHER_COSTS, ON_HAND, RECEIVED, TERMS, TEST_LOG];

/// Heading of the column in which a bid keeps what its rule figures and settings were when it was written, so that what
/// somebody types over them is seen when the bid is read again.
pub const AS_WRITTEN: &str = "As written";

/// Stands there for a value that was written as a formula.
pub const BY_FORMULA: &str = "by formula";

/// The custom document property that marks a bid of ours.
pub const BID_PROPERTY: &str = "tallybore-bid";
