//! The settings of the Job sheet: name, kind, default and meaning, declared once.

use super::code_basis::CODES;
use super::range::{Range, Scale, range};
use super::size::Size;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::cmp::Ordering;
use std::ops::Deref;
use std::sync::Arc;

/// What a setting may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettingKind {
    /// Any words.
    Text,
    /// A number of this unit.
    Number(Unit),
    /// A share: `0.07`, `7%`, or `7` read as 7 percent.
    Percent,
    /// A nominal pipe size.
    Size,
    /// A date.
    Date,
    /// One of these words.
    Choice(&'static [&'static str]),
}

/// A setting's value as read.
#[derive(Debug, Clone, PartialEq)]
pub enum SettingValue {
    /// Words, those of a choice in the list's own spelling.
    Text(Arc<str>),
    /// A number in the setting's unit; a percentage as its share.
    Number(Decimal),
    /// A nominal pipe size.
    Size(Size),
    /// Days since 1899-12-30, as spreadsheet programs count.
    Date(Decimal),
}

/// Dates from 1990 to 2099, as serial numbers.
pub const DATES: Range = range!(32874, 32874, 73050, 73050);

/// One item of the Job sheet. `default` is its text as one would type it; empty means "nothing unless you say so".
#[derive(Debug, Clone, Copy)]
pub struct SettingSpec {
    /// As the Job sheet names it.
    pub name: &'static str,
    /// Other names that it is known by.
    pub aliases: &'static [&'static str],
    /// What it may hold.
    pub kind: SettingKind,
    /// As one would type it; empty where there is none.
    pub default: &'static str,
    /// What the guide and the blank workbook say of it.
    pub help: &'static str,
    /// Of a number, a share and a date: within what it can be meant.
    pub range: Option<Range>,
    /// What follows from it.
    pub role: SettingRole,
}

/// What follows from a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettingRole {
    /// Figures and words of the bid go by it.
    Figured,
    /// Likewise, and that it is filled in at all decides which rows and words there are.
    Decides,
    /// Only orders go by it.
    Orders,
    /// No figure goes by it: it is written down for those who do the work.
    Idle,
}

impl SettingSpec {
    /// All that it is called, its own name last.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.aliases.iter().copied().chain([self.name])
    }

    /// How its numbers are written for people.
    pub fn scale(&self) -> Scale<'static> {
        match self.kind {
            SettingKind::Number(Unit::Money | Unit::Each) => Scale::In(""),
            SettingKind::Number(unit) => Scale::In(unit.symbol()),
            SettingKind::Date => Scale::Date,
            // Fittings loss holds words or a share.
            _ => Scale::Share,
        }
    }
}

/// An item of the Job sheet, by its declaration.
#[derive(Debug, Clone, Copy)]
pub struct Setting(&'static SettingSpec);

// By the name alone: no two have the same.
impl PartialEq for Setting {
    fn eq(&self, other: &Self) -> bool {
        self.0.name == other.0.name
    }
}

impl Eq for Setting {}

impl PartialOrd for Setting {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Setting {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.name.cmp(other.0.name)
    }
}

impl Deref for Setting {
    type Target = SettingSpec;

    fn deref(&self) -> &SettingSpec {
        self.0
    }
}

/// Declares settings of the job or of a subject: `Name, "Name", ["other spellings"], kind, "default", "what it means"`, and of a
/// number its range; then its role where that is another than `Figured`. Each becomes `Setting::Name`; together they are `SETTINGS`.
macro_rules! settings {
    ($($variant:ident, $name:literal, [$($alias:literal),*], $kind:expr, $default:literal, $help:literal $(, $range:expr)? $(=> $role:ident)?;)*) => {
        #[allow(non_upper_case_globals, reason = "settings read as the variants of a list")]
        impl $crate::model::Setting {
            $(
                #[doc = $help]
                pub const $variant: Self = Self::of(&$crate::model::SettingSpec {
                    name: $name,
                    aliases: &[$($alias),*],
                    kind: $kind,
                    default: $default,
                    help: $help,
                    range: $crate::model::setting::settings!(@ $($range)?),
                    role: $crate::model::setting::settings!(@role $($role)?),
                });
            )*
        }

        /// The settings that are declared here, in the order the blank workbook lists them.
        pub(crate) const SETTINGS: &[$crate::model::Setting] = &[$($crate::model::Setting::$variant),*];
    };
    (@role) => { $crate::model::setting::SettingRole::Figured };
    (@role $role:ident) => { $crate::model::setting::SettingRole::$role };
    (@) => { None };
    (@ $range:expr) => { Some($range) };
}
pub(crate) use settings;

use SettingKind::{Choice, Date, Number, Percent, Size as SizeKind, Text};

settings! {
    JobName, "Job name", ["Job", "Project"], Text, "", "What the job is called on the bid.";
    Site, "Site", ["Address", "Job site"], Text, "", "Where it is.";
    PreparedFor, "Prepared for", ["Customer", "Client"], Text, "", "Who the bid is for.";
    PreparedBy, "Prepared by", ["Contractor", "Estimator"], Text, "", "Who makes it.";
    License, "License", ["Licence", "License no."], Text, "", "License number printed by the signature, where one is required.";
    BidNumber, "Bid number", ["Bid no.", "Bid no"], Text, "", "Your number for the bid.";
    Revision, "Revision", ["Rev"], Text, "0", "Which revision this is.";
    ChangeReason, "Change reason", ["Reason for change", "Reason"], Text, "", "Why this revision is made; stands on the change order.";
    ChangeDays, "Change days", ["Days for change", "Extra days"], Number(Unit::Days), "", "Working days this revision adds; blank lets the hours speak.", range!(0, 0, 120, 3650);
    Date, "Date", ["Bid date"], Date, "", "The bid's date. Blank prints blank; it never means today.", DATES;
    ValidDays, "Valid days", ["Validity"], Number(Unit::Days), "30", "How many days the price holds.", range!(0, 1, 365, 3650);
    Currency, "Currency", [], Text, "$", "Printed before totals.";
    CodeBasis, "Code basis", ["Code", "Plumbing code"], Choice(CODES), "IRC", "Which code's tables are used. IRC is for dwellings only. An edition may follow: IRC 2021.";
    DemandBetweenRows, "Demand between rows", ["Demand reading"], Choice(&["next row up", "interpolate"]), "next row up", "How the demand table is read between its rows.";
    LossMethod, "Loss method", ["Friction method"], Choice(&["Darcy-Weisbach", "Hazen-Williams"]), "Darcy-Weisbach", "Friction formula; the other one is shown beside it.";
    Occupancy, "Occupancy", ["Use"], Choice(&["private", "public"]), "private", "private: a dwelling; public: anything open to the public.";
    Supply, "Supply", ["Water supply", "Source"], Choice(&["main", "well"]), "main", "main or well.";
    SupplyPressure, "Supply pressure", ["Residual pressure", "Flow pressure"], Number(Unit::Psi), "50", "The lowest pressure to design on, at peak hours, or a pump's cut-in.", range!(1, 20, 150, 300);
    HighestPressure, "Highest pressure", ["Static pressure", "Maximum static pressure", "Night pressure", "Cut-out"], Number(Unit::Psi), "", "Static at night, or a pump's cut-out; over 80 psi a regulator is needed.", range!(1, 20, 200, 400);
    PressureToSpare, "Pressure to spare", ["Spare pressure", "Pressure margin"], Number(Unit::Psi), "0", "What every outlet keeps over the pressure it needs; sizes are chosen to keep it.", range!(0, 0, 30, 150);
    PumpGpm, "Pump gpm", ["Pump flow"], Number(Unit::Gpm), "", "What a well pump delivers.", range!(0.1, 1, 100, 1000);
    TankGallons, "Tank gallons", ["Pressure tank"], Number(Unit::Gallons), "", "Size of the pressure tank.", range!(0.1, 1, 500, 10000);
    Precharge, "Precharge", ["Tank precharge"], Number(Unit::Psi), "", "Air charge of the pressure tank.", range!(0, 5, 100, 300);
    MainSize, "Main size", ["Size of main", "Service size"], SizeKind, "", "Speaks for the runs from SUPPLY down to the first fork; blank lets the engine choose.";
    MainMaterial, "Main material", ["Pipe material", "Material"], Text, "PEX", "Material of runs that name none.";
    ColdWaterTemperature, "Cold water temperature", ["Inlet temperature", "Cold water"], Number(Unit::Fahrenheit), "40", "Coldest water of the year; friction is figured on it. 33 to 180 F.", range!(33, 33, 90, 180);
    HotWaterTemperature, "Hot water temperature", ["Hot water"], Number(Unit::Fahrenheit), "120", "Temperature at the heater.", range!(33, 100, 160, 180);
    Fittings, "Fittings", ["Fitting type"], Choice(&["metal insert", "polymer insert", "expansion"]), "metal insert", "The PEX fittings in use; decides their loss.";
    FittingsLoss, "Fittings loss", ["Fitting allowance"], Text, "by fitting", "by fitting, none, or a percent of length such as 50%.", range!(0, 0, 1, 5);
    Joining, "Joining", ["Joining system"], Choice(&["crimp", "clamp", "expansion"]), "crimp", "How PEX is joined; decides rings or sleeves.";
    PipeColor, "Pipe color", ["Pipe colour", "Color"], Choice(&["one", "by water"]), "one", "one color for all water, or by water.";
    Form, "Form", ["Pipe form"], Choice(&["auto", "stick", "coil"]), "auto", "Sticks or coils where a run does not say; auto takes what costs less, and coil for home runs from a manifold.";
    TailAllowance, "Tail allowance", ["Tail"], Number(Unit::Inches), "6", "Extra pipe left at each end to work with.", range!(0, 0, 24, 120);
    Waste, "Waste", ["Pipe waste"], Percent, "5%", "Extra pipe bought.", range!(0, 0, 0.3, 1);
    UsableOffcut, "Usable offcut", ["Usable off-cut"], Number(Unit::Inches), "36", "Shortest left-over worth keeping.", range!(0, 0, 240, 1200);
    ShortestJoinedPiece, "Shortest joined piece", [], Number(Unit::Inches), "24", "No joined piece is shorter than this.", range!(0, 0, 240, 1200);
    SawKerf, "Saw kerf", ["Kerf"], Number(Unit::Inches), "0", "Lost at each cut.", range!(0, 0, 0.25, 1);
    LeftoverWorth, "Left-over worth", ["Leftover worth"], Percent, "0%", "What a usable left-over is worth, of its price.", range!(0, 0, 1, 1);
    StudDepth, "Stud depth", ["Framing depth"], Number(Unit::Inches), "3.5", "Depth of the studs that runs with Where inside wall or outside wall pass through: 3.5 for a 2x4, 5.5 for a 2x6; decides their nail plates.", range!(0.5, 2.5, 12, 24);
    StudSpacing, "Stud spacing", ["Framing spacing"], Number(Unit::Inches), "16", "From one stud to the next.", range!(4, 12, 48, 240);
    Insulate, "Insulate", ["Insulation"], Choice(&["as listed", "hot", "unheated", "hot and unheated"]), "as listed", "Runs insulated where Insulation in is blank: none, hot ones, those in crawl spaces, attics and outside walls, or both.";
    ShutoffValves, "Shutoff valves", ["Shutoffs", "Valve policy"], Choice(&["as listed", "main", "per bath", "per fixture"]), "as listed", "Valves counted beside those in Devices: none; on the main; also on every bath's lines; also at fixtures without stops of their own.";
    HoseBibbShutoffs, "Hose bibb shutoffs", ["Bibb shutoffs"], Choice(&["as listed", "where it freezes", "all"]), "as listed", "Stop and waste valves counted for hose bibbs: none, all when Design low is under 32 F, or all.";
    HammerArresters, "Hammer arresters", ["Arresters"], Choice(&["as listed", "at quick-closing valves"]), "as listed", "Whether an arrester is counted at every dishwasher and clothes washer that has none in Devices.";
    ExpansionControl, "Expansion control", ["Thermal expansion"], Choice(&["as listed", "where closed"]), "as listed", "Whether an expansion tank is counted at a tank heater on a closed system that has none in Devices.";
    MixingValves, "Mixing valves", ["Tempering valves", "Thermostatic mixing valves"], Choice(&["as listed", "where required"]), "as listed", "Whether a mixing valve is counted at every fixture where the code limits the hot water by one and Assemblies has none.";
    VelocityLimitCold, "Velocity limit cold", ["Cold velocity limit"], Number(Unit::FeetPerSecond), "", "Blank takes the limits table.", range!(0.5, 2, 10, 30);
    VelocityLimitHot, "Velocity limit hot", ["Hot velocity limit"], Number(Unit::FeetPerSecond), "", "Blank takes the limits table.", range!(0.5, 2, 10, 30);
    DesignLow, "Design low", ["Winter low"], Number(Unit::Fahrenheit), "", "Coldest outside air to design on.", range!(-130, -70, 80, 130);
    IndoorTemperature, "Indoor temperature", ["Indoor"], Number(Unit::Fahrenheit), "68", "Heated rooms.", range!(-50, 32, 95, 150) => Idle;
    Altitude, "Altitude", ["Elevation"], Number(Unit::Feet), "", "Feet above sea level.", range!(-1500, -300, 12000, 30000);
    FrostDepth, "Frost depth", ["Frost line"], Number(Unit::Inches), "", "How deep the ground freezes.", range!(0, 0, 120, 240) => Idle;
    Hardness, "Hardness", ["Water hardness"], Number(Unit::Ratio), "", "Grains a gallon.", range!(0, 0, 100, 1000) => Idle;
    Iron, "Iron", [], Number(Unit::Ratio), "", "mg/L of iron.", range!(0, 0, 30, 1000) => Idle;
    People, "People", ["Occupants"], Number(Unit::Each), "", "Who lives there.", range!(0, 1, 50, 10000) => Idle;
    GallonsPerPerson, "Gallons per person", ["Gallons a day"], Number(Unit::Gallons), "75", "Soft water used a day.", range!(0, 20, 150, 1000) => Idle;
    Salt, "Salt", [], Choice(&["sodium", "potassium"]), "sodium", "Softener salt." => Idle;
    BrineTo, "Brine to", ["Brine"], Text, "", "Where the softener's brine goes." => Idle;
    Percolation, "Percolation", ["Perc rate"], Number(Unit::Ratio), "", "Minutes an inch.", range!(0, 0, 240, 10000) => Idle;
    TaxRate, "Tax rate", ["Sales tax", "Tax"], Percent, "0%", "Sales tax on material.", range!(0, 0, 0.15, 0.5);
    Overhead, "Overhead", [], Percent, "0%", "Share for the shop's standing costs.", range!(0, 0, 0.6, 3);
    Profit, "Profit", [], Percent, "0%", "Share for profit.", range!(0, 0, 0.6, 3);
    Contingency, "Contingency", [], Percent, "0%", "Share for what nobody foresaw.", range!(0, 0, 0.3, 1);
    Permit, "Permit", ["Permit fee"], Number(Unit::Money), "0", "Permit and inspection fees, at cost.", range!(0, 0, 25000, 1000000);
    LaborRate, "Labor rate", ["Labour rate", "Hired rate", "Wage"], Number(Unit::Money), "45", "Hired wage an hour, before burden.", range!(0, 0, 250, 1000);
    LaborBurden, "Labor burden", ["Labour burden", "Burden"], Percent, "0%", "Taxes, insurance and benefits on hired wages.", range!(0, 0, 1, 3);
    LaborBy, "Labor by", ["Work by"], Choice(&["owner", "hired"]), "hired", "Who does the tasks and phases that do not say.";
    LaborByUnderground, "Labor by underground", ["Underground by"], Choice(&["as the job", "owner", "hired"]), "as the job", "Who does the underground work that does not say; as the job: Labor by.";
    LaborByRoughIn, "Labor by rough-in", ["Rough-in by"], Choice(&["as the job", "owner", "hired"]), "as the job", "Who does the rough-in, likewise.";
    LaborByTrim, "Labor by trim", ["Trim by"], Choice(&["as the job", "owner", "hired"]), "as the job", "Who does the trim, likewise.";
    LaborByTest, "Labor by test", ["Test by"], Choice(&["as the job", "owner", "hired"]), "as the job", "Who does the test, likewise.";
    LaborFactor, "Labor factor", ["Labour factor", "Hours factor"], Number(Unit::Ratio), "1", "On all hours: under 1 where work goes quicker than the hours of the tasks, over 1 where it goes slower.", range!(0.1, 0.3, 3, 10);
    OwnerRate, "Owner rate", ["Owner's rate"], Number(Unit::Money), "0", "What an owner's hour is worth; not cash.", range!(0, 0, 250, 1000);
    OwnerHoursPerWeek, "Owner hours per week", ["Hours per week"], Number(Unit::Hours), "20", "How many hours a week the owner has.", range!(0.5, 1, 84, 168);
    HiredHoursPerWeek, "Hired hours per week", ["Crew hours per week"], Number(Unit::Hours), "40", "How many hours a week each hired hand works.", range!(0.5, 4, 84, 168);
    Crew, "Crew", ["Crew size"], Number(Unit::Each), "1", "How many hired hands work at once; the owner works alone.", range!(0.1, 0.5, 12, 500);
    Markup, "Markup", ["Mark-up"], Choice(&["on cost", "on price"]), "on cost", "Whether overhead and profit are shares of cost or of price.";
    MinimumCharge, "Minimum charge", ["Minimum"], Number(Unit::Money), "0", "The bid is never less than this.", range!(0, 0, 50000, 10000000);
    DriveHours, "Drive hours", ["Drive time", "Travel hours"], Number(Unit::Hours), "", "Hours on the road to the job, one way; with this or Drive miles the trips of the hired hands are in the price.", range!(0, 0, 6, 48) => Decides;
    DriveMiles, "Drive miles", ["Travel miles", "Miles to job"], Number(Unit::Ratio), "", "Miles to the job, one way.", range!(0, 0, 300, 5000) => Decides;
    MileageRate, "Mileage rate", ["Dollars a mile", "Mileage"], Number(Unit::Money), "0.70", "Dollars for a mile driven.", range!(0, 0.1, 3, 50);
    TripsUnderground, "Trips underground", ["Underground trips"], Number(Unit::Each), "", "Trips to the job for the underground work; blank is one for each day of hired work, 0 leaves them out.", range!(0, 0, 200, 5000);
    TripsRoughIn, "Trips rough-in", ["Rough-in trips"], Number(Unit::Each), "", "Trips for the rough-in, likewise.", range!(0, 0, 200, 5000);
    TripsTrim, "Trips trim", ["Trim trips"], Number(Unit::Each), "", "Trips for the trim, likewise.", range!(0, 0, 200, 5000);
    TripsTest, "Trips test", ["Test trips"], Number(Unit::Each), "", "Trips for the test, likewise.", range!(0, 0, 200, 5000);
    SupplyHours, "Supply house hours", ["Hours to supply house"], Number(Unit::Hours), "", "Hours on the road to the supply house, one way; with this or Supply house miles the runs there are in the price.", range!(0, 0, 6, 48) => Decides;
    SupplyMiles, "Supply house miles", ["Miles to supply house"], Number(Unit::Ratio), "", "Miles to the supply house, one way.", range!(0, 0, 300, 5000) => Decides;
    SupplyRuns, "Supply runs", ["Supply house runs"], Number(Unit::Each), "", "Runs to the supply house; blank is one for the order of each phase, the test's with the rough-in's; 0 leaves them out.", range!(0, 0, 100, 5000);
    Escalation, "Escalation", ["Carry prices"], Choice(&["none", "to start date"]), "none", "Whether material is carried from Quoted to Start date by the shares of the Escalation table.";
    StartDate, "Start date", ["Start"], Date, "", "When work can begin.", DATES;
    WaitBeforeRoughIn, "Wait before rough-in", ["Wait after underground"], Number(Unit::Days), "0", "Days from the end of the underground work to the rough-in: inspection, backfill, the pour.", range!(0, 0, 365, 3650);
    WaitBeforeTrim, "Wait before trim", ["Wait after rough-in", "Other trades"], Number(Unit::Days), "0", "Days from the tested rough-in to the trim: inspection, insulation, walls, other trades.", range!(0, 0, 365, 3650);
    PriceAgeLimit, "Price age limit", ["Price age"], Number(Unit::Days), "90", "A quoted price older than this, by the bid's Date, is a finding.", range!(0, 1, 730, 36500);
    OrderNumber, "Order number", ["PO number", "Order no."], Text, "", "Stands on supplier orders, with a number of each supplier after it: H-14-P-1.";
    DeliverTo, "Deliver to", ["Delivery address"], Text, "", "Where the order goes; blank takes Site.";
    DeliverContact, "Deliver contact", ["Site contact", "Delivery contact"], Text, "", "Who takes the delivery and answers questions on the order, and how to reach them.";
    NeededBy, "Needed by", ["Deliver by", "Required by"], Date, "", "When the first of an order must be there; blank leaves it open.", DATES;
    QuotesFrom, "Quotes from", ["Quote supplier"], Text, "", "The supplier whose order asks for what has no price; blank asks every one.";
    LeadFree, "Lead free", ["Lead-free", "Lead free parts"], Choice(&["yes", "no"]), "yes", "Whether orders ask for parts certified for drinking water." => Orders;
    Substitutes, "Substitutes", ["Substitution"], Choice(&["call first", "as good", "none"]), "call first", "Whether a supplier may send another part than the one ordered." => Orders;
    CoilsMayBeCut, "Coils may be cut", ["Cut coils", "Coils cut"], Choice(&["no", "yes"]), "no", "Whether a coil may be cut to its length from a longer one." => Orders;
    Returns, "Returns", ["Return terms"], Text, "unopened packs and uncut pipe go back for full credit within 90 days", "What orders say about material that comes back.";
    OrderNote, "Order note", ["Order remark"], Text, "", "One more line for every order.";
}

impl Setting {
    pub(crate) const fn of(spec: &'static SettingSpec) -> Self {
        Self(spec)
    }

    /// How it is declared.
    pub fn spec(self) -> &'static SettingSpec {
        self.0
    }

    /// As the Job sheet names it.
    pub fn name(self) -> &'static str {
        self.spec().name
    }

    /// Whether only orders go by its words: they decide nothing of the bid.
    pub fn is_of_orders(self) -> bool {
        self.role == SettingRole::Orders
    }

    /// Whether no figure of a bid goes by it: some are written down for those who do the work.
    pub fn is_idle(self) -> bool {
        self.role == SettingRole::Idle
    }

    /// The setting that a name may be meant for, where it says too little or something else to be read as it.
    pub fn perhaps(name: &str) -> Option<Self> {
        match &*super::fold(name) {
            "pressure" | "waterpressure" | "psi" | "streetpressure" => Some(Self::SupplyPressure),
            "margin" | "profitmargin" | "grossmargin" => Some(Self::Profit),
            _ => None,
        }
    }

    /// Whether a name is that of a reading without flow.
    pub fn is_static_reading(name: &str) -> bool {
        matches!(&*super::fold(name), "staticpressure" | "maximumstaticpressure")
    }

    /// Whether a name is a share of the price, as profit is where Markup is on price.
    pub fn is_margin(name: &str) -> bool {
        Self::perhaps(name) == Some(Self::Profit)
    }

    /// The name under which formulas know the setting: `Tax_rate`.
    pub fn defined_name(self) -> String {
        let name = self.name().replace([' ', '-'], "_");
        // A bare word such as Form or Date could be taken for a function or a cell; the prefix keeps all alike.
        format!("Job_{name}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_settings_share_a_name() {
        let mut seen = std::collections::BTreeMap::new();
        for spec in SETTINGS {
            for name in spec.aliases.iter().chain([&spec.name]) {
                let before = seen.insert(crate::model::fold(name), *spec);
                assert!(before.is_none_or(|b| b == *spec), "{name}");
            }
        }
    }

    #[test]
    fn every_number_has_a_range_in_ascending_order_with_its_default_in_it() {
        for spec in SETTINGS {
            let numeric = matches!(spec.kind, Number(_) | Percent | Date) || *spec == Setting::FittingsLoss;
            assert_eq!(spec.range.is_some(), numeric, "{}", spec.name);
            let Some(range) = spec.range else { continue };
            assert!([range.least, range.low, range.high, range.most].is_sorted(), "{}", spec.name);
            if let Some(SettingValue::Number(default)) = crate::model::default_value(*spec) {
                assert_eq!(range.fit(default), crate::model::Fit::Usual, "{}", spec.name);
            }
        }
    }

    #[test]
    fn every_setting_is_found_by_each_of_its_names() {
        for spec in SETTINGS {
            assert_eq!(spec.spec().name, spec.name);
            for name in spec.aliases.iter().chain([&spec.name]) {
                assert_eq!(Setting::find(&name.to_uppercase()), Some(*spec), "{name}");
            }
        }
    }
}
