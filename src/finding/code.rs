//! Every finding the engine can make: a variant each, facts as fields. The words are made in `super::words`.

use super::Severity;
use super::sizes::{FastRun, LargerRun, ShortOutlet, SingleChange};
use crate::model::book_text::TextProblem;
use rust_decimal::Decimal;

/// What was found, with the facts needed to say it.
#[derive(Debug, Clone, PartialEq)]
pub enum Code {
    /// A name that nothing bears. `what` is the kind of thing looked for: "run", "setting", "fixture".
    UnknownName {
        what: &'static str,
        found: String,
        nearest: Option<String>,
        remedy: String,
    },
    /// Two rows of one sheet bear the same name.
    DuplicateName {
        what: &'static str,
        name: String,
        first: String,
    },
    /// Runs that feed each other in a ring.
    LoopedRuns {
        runs: Vec<String>,
    },

    // The file as a whole.
    NoSuchFile {
        path: String,
    },
    FolderGiven {
        path: String,
    },
    /// The system would not let us read it.
    UnreadableFile {
        reason: String,
    },
    EmptyFile,
    /// Its first bytes or its parts are those of something else.
    NotAWorkbook {
        looks_like: &'static str,
    },
    /// A compound file: an old .xls, or a workbook locked with a password (known to be one when `encrypted`).
    OldWorkbook {
        encrypted: bool,
    },
    /// An .xlsb.
    BinaryWorkbook,
    PasswordProtected,
    DamagedFile {
        detail: String,
    },
    /// More than a job workbook could need: `found` of `what`, where `limit` is the most that is read.
    OversizeFile {
        what: &'static str,
        found: u64,
        limit: u64,
    },
    MacrosLeftOut,
    /// Something typed over a figure of the bid's own sheets, now a row of the user's.
    EditReadBack {
        what: String,
        from: &'static str,
        /// Empty where a formula stood there.
        was: String,
        now: String,
    },
    /// Choices of a bid in rows whose names were never worked out.
    ChoicesNotRead {
        count: usize,
    },

    // Sheets.
    /// `needed` when the sheet is one that this program reads.
    UnreadableSheet {
        sheet: String,
        reason: String,
        needed: bool,
    },
    MissingSheet {
        sheet: &'static str,
        nearest: Option<String>,
        present: Vec<String>,
    },
    /// A sheet that is not read, with a name near to one that would be.
    /// `alike`: its headings are those of that sheet.
    NearSheet {
        found: String,
        nearest: &'static str,
        alike: bool,
    },
    /// Two sheets whose names both mean `meant`; `read` is the one that was read.
    TwoSheets {
        found: String,
        read: String,
        meant: &'static str,
    },
    HiddenSheet {
        sheet: String,
    },
    /// Merged cells that reach far beyond what the sheet holds; `area` is the first of them.
    MergesCut {
        area: String,
        count: usize,
    },
    RenamedSheet {
        sheet: String,
        kept_as: String,
    },
    /// No row of the sheet has headings we know.
    NoHeadings {
        sheet: String,
        expected: Vec<&'static str>,
        needed: bool,
    },
    /// Headings, and nothing under them.
    NoRows {
        sheet: &'static str,
        needed: bool,
    },
    /// More findings on one sheet than anyone would read.
    MoreFindings {
        sheet: String,
        count: usize,
    },

    // Headings.
    MissingColumn {
        column: &'static str,
        nearest: Option<String>,
        present: Vec<String>,
    },
    /// `cells` says which cells stand under it, if any do: `C2 to C14`.
    NearHeading {
        found: String,
        nearest: &'static str,
        cells: Option<String>,
    },
    /// Cells beside the rows of a sheet, in a column without a heading.
    HeadingMissing {
        cells: String,
        count: usize,
    },
    /// Columns that are none of ours.
    OwnColumns {
        headings: Vec<String>,
    },
    /// `same` when the two headings are written alike; otherwise both mean `column`.
    DuplicateHeading {
        found: String,
        column: &'static str,
        first: String,
        same: bool,
    },
    /// A heading whose unit is not the column's.
    WrongUnit {
        found: String,
        column: &'static str,
        unit: String,
    },

    // Cells. `column` is the heading or the Job item.
    MissingValue {
        column: String,
    },
    WrongKind {
        column: String,
        found: String,
        expected: String,
        needed: bool,
    },
    UnknownChoice {
        column: String,
        found: String,
        nearest: Option<String>,
        list: Vec<&'static str>,
    },
    /// A size that a spreadsheet program turned into a date, read as the one size it can have been.
    SizeFromDate {
        date: String,
        size: String,
    },
    /// A date typed as text in the way of the US, and what it was read as.
    DateFromText {
        column: String,
        found: String,
        date: String,
    },
    DateInCell {
        column: String,
        date: String,
        size: bool,
        needed: bool,
    },
    FaultInCell {
        column: String,
        fault: String,
        needed: bool,
    },
    NegativeValue {
        column: String,
        found: String,
    },
    /// A formula that no program has worked out yet.
    BlankFormula {
        column: String,
        needed: bool,
    },
    BarePercent {
        column: String,
        found: String,
        percent: String,
    },
    LongText {
        length: usize,
        kept: usize,
    },
    /// Formulas of a sheet that stand in the bid as values; `cell` is the first, `reason` says why.
    FormulasDropped {
        count: usize,
        cell: String,
        reason: &'static str,
    },

    /// A text for a price that is none for the row's Unit, or can mean two.
    PriceNotRead {
        found: String,
        why: String,
        unit: String,
    },
    /// A price typed with words beside it, and what it was read as.
    PriceFromText {
        found: String,
        value: String,
        unit: String,
    },
    /// The stop under a fixture listed as a device.
    AngleStopAsDevice {
        found: String,
    },

    // The Job sheet.
    UnknownSetting {
        found: String,
        nearest: Option<&'static str>,
    },
    /// A margin, a share of the price, where profit is a share of the cost.
    MarginOnCost {
        found: String,
        value: String,
    },
    /// A no-flow reading and no reading at flow; `used` is the default in its place, psi.
    StaticPressureAlone {
        used: &'static str,
    },

    // What the rows say together.
    /// `user` (a run, a fixture, a device) hangs on a run that comes out.
    RunRemoved {
        what: &'static str,
        name: String,
        run: String,
    },
    /// A kind in Prices that nothing asks for, and that is nearly one of ours.
    PriceNotUsed {
        kind: String,
        nearest: String,
    },
    /// Kinds in Prices that nothing of this program asks for.
    PricesNotUsed {
        kinds: Vec<String>,
    },
    /// A coil, a bag or the like of nobody knows how many.
    PackMissing {
        kind: String,
        unit: String,
    },
    /// A task in Labor that nothing asks for.
    TaskNotUsed {
        task: String,
        nearest: Option<String>,
    },
    /// Payments whose shares do not make the whole.
    SharesNotWhole {
        percent: String,
    },
    /// A price quoted longer before the bid's date than the job allows.
    QuoteTooOld {
        rows: usize,
        supplier: String,
        quoted: String,
        days: String,
        limit: String,
    },
    /// A price quoted after the bid's date.
    QuotedLater {
        rows: usize,
        supplier: String,
        quoted: String,
        date: String,
    },
    /// Dated quotes, and a bid without a date.
    QuotesNotJudged {
        quotes: usize,
    },
    /// The lowest pressure is above the highest.
    SupplyOverHighest {
        supply: String,
        highest: String,
    },
    /// Drains are listed, and are in no quantity or price.
    DrainsNotPriced {
        rows: usize,
    },
    FixtureWithoutRun {
        tag: String,
    },
    /// A Hot run that no heater stands above.
    HotRunWithoutHeater {
        run: String,
    },
    /// A Cold run below a heater.
    ColdRunIsHot {
        run: String,
        heater: String,
    },
    /// A run that bears the name of the supply and comes from itself.
    ReservedName {
        found: String,
    },
    ZeroLength {
        run: String,
    },
    RiseOverLength {
        rise: String,
        length: String,
    },
    NotWhole {
        column: &'static str,
        found: String,
    },
    /// A number outside what can be meant; `possible` and `usual` are spans in words: `33 to 180 F`.
    OutOfRange {
        column: &'static str,
        found: String,
        possible: String,
        usual: String,
    },
    /// A number that can be meant, and that hardly anybody means.
    UnlikelyValue {
        column: &'static str,
        found: String,
        usual: String,
    },
    /// A row that sums up the others, and would be counted with them.
    TotalRow {
        sheet: &'static str,
        found: String,
    },
    /// A name that a look-up formula would take for a pattern.
    PatternName {
        column: &'static str,
        found: String,
    },
    OtherWithoutGpm {
        tag: String,
    },
    /// A row of the user's rule tables that cannot be used. `row` names file and line where there is no cell.
    BadRuleRow {
        table: &'static str,
        row: String,
        column: String,
        found: String,
        expected: String,
    },
    /// A user's rule table without a heading that it needs.
    MissingRuleColumn {
        table: &'static str,
        file: String,
        missing: Vec<String>,
    },
    /// A heading of the user's own rows that the rule table does not have; `lost` where it seems to be meant.
    RuleHeading {
        table: &'static str,
        file: String,
        found: String,
        nearest: Option<String>,
        lost: bool,
    },
    /// Rows of a rule table that the user's own replace or add to.
    RulesChanged {
        table: &'static str,
        from: String,
        replaced: usize,
        added: usize,
    },
    /// A line of a workbook in text form cannot be read. Lines count from 1.
    BookText {
        line: usize,
        problem: TextProblem,
    },
    /// The IRC is for dwellings, and the job is open to the public.
    CodeForDwellingsOnly,
    /// The code gives this fixture no units.
    FixtureWithoutUnits {
        fixture: String,
        code: String,
        occupancy: String,
    },
    /// Fixtures that the code has no units for, counted by another code's rows or those for the other use; `too_few` where
    /// public fixtures are counted as private ones.
    UnitsLent {
        code: String,
        lender: String,
        fixtures: Vec<String>,
        too_few: bool,
    },
    /// A Group that begins with no group's name, or that the code has no value for.
    UnknownGroup {
        group: String,
        code: &'static str,
        known: Vec<String>,
    },
    /// A group without all its members.
    GroupIncomplete {
        group: String,
        missing: Vec<String>,
    },
    /// More fixture units than the demand table goes to.
    LoadAboveTable {
        run: String,
        units: String,
    },
    /// A device without a loss, its own or the table's.
    DeviceWithoutLoss {
        device: String,
        kind: String,
    },
    /// A device with only one of Rated gpm and Loss psi; `psi` at `gpm` is counted.
    DeviceHalfRated {
        device: String,
        kind: String,
        /// True where Rated gpm is what is missing: the loss is counted at the run's own peak flow.
        without_flow: bool,
        psi: String,
        gpm: String,
    },
    /// What takes the pressure on the way to the outlet that is shortest of it: each device, run and the height, the
    /// largest first, and so many more that take little.
    PressureLost {
        run: String,
        by_psi: String,
        supply: String,
        takes: Vec<(String, String)>,
        /// How many others there are, and what they take together; boxed, since findings go about by value.
        more: Option<Box<(usize, String)>>,
    },
    /// The table's row for a device is of another size; `sized` when the device has a size of its own.
    LossOfOtherSize {
        device: String,
        kind: String,
        size: String,
        sized: bool,
    },
    RegulatorWithoutSetting {
        device: String,
    },
    /// An existing run without a size.
    ExistingSizeAssumed {
        run: String,
        size: String,
    },
    /// Pipe of lead or polybutylene that is to carry water.
    HazardousPipe {
        run: String,
        material: &'static str,
    },
    /// A size of the user's own that is smaller than the code allows there.
    SizeUnderCode {
        run: String,
        size: String,
        least: String,
        source: Option<String>,
    },
    /// A size that the material does not come in, or none at all.
    SizeNotInTable {
        run: String,
        size: String,
        material: String,
    },
    /// No sizes keep every pressure. Runs that are short and by how many psi, the worst first: `at_best` with the least loss
    /// all the way, else as sized; how short the chosen sizes leave the worst of all; how much more at the supply would do,
    /// where that helps; the cheapest single change that mends it, with what it costs more (`None` where prices are missing);
    /// and changes that the job has no price for.
    NoSizesWill {
        short: Vec<(String, String)>,
        at_best: bool,
        by_psi: String,
        supply_psi: Option<String>,
        cheapest: Option<Box<(SingleChange, Option<Decimal>)>>,
        others: Vec<SingleChange>,
    },
    /// Outlets short of pressure, the worst first. `to_spare` is what Pressure to spare asks for besides, where it does;
    /// `sizes_will` tells whether larger pipe can help.
    ShortOfPressure {
        runs: Vec<ShortOutlet>,
        to_spare: Option<String>,
        sizes_will: bool,
    },
    /// Runs over the velocity limit, the worst first.
    TooFast {
        runs: Vec<FastRun>,
    },
    /// Every outlet has its pressure, one of them by very little.
    LittleToSpare {
        run: String,
        psi: String,
    },
    /// Runs that are larger than the run which feeds them: typed so, or chosen behind a size that is somebody's word.
    LargerThanFeeder {
        runs: Vec<LargerRun>,
        chosen: bool,
    },
    /// The supply is over what the code allows without a regulator.
    PressureTooHigh {
        psi: String,
        allowed: String,
    },
    /// A well's pump gives less than the job can draw.
    PumpTooSmall {
        asked: String,
        pump: String,
    },
    /// Settings of a well that its tank and pump are judged by are blank.
    TankNotJudged {
        missing: Vec<String>,
    },
    /// The pump of a well fills the tank in less time than it should run.
    PumpRunShort {
        of: Box<ShortRun>,
    },
    /// The charge of a well's tank is not given.
    PrechargeAssumed {
        precharge: String,
    },
    /// A well's tank is charged over the pressure at which the pump starts.
    PrechargeOverCutIn {
        precharge: String,
        cut_in: String,
    },
    /// New pipe from the supply without a shutoff.
    NoMainShutoff {
        run: String,
    },
    /// A fixture whose valve snaps shut (`sure`) or may, without an arrester.
    QuickClosingValve {
        tag: String,
        run: String,
        sure: bool,
    },
    /// Main size is another than that of runs of the main which lie there already.
    MainSizeWithoutSay {
        size: String,
        runs: String,
    },
    /// The supply is a well.
    WellNotCounted,
    /// A material in Prices or On hand that is none, and nearly one, on a part whose material counts.
    MaterialNotKnown {
        kind: String,
        found: String,
        nearest: String,
    },
    /// Materials in Prices or On hand that no pipe here is made of.
    MaterialsNotUsed {
        materials: Vec<String>,
    },
    /// A kind on hand that nothing asks for.
    StockNotUsed {
        kind: String,
        nearest: Option<String>,
    },
    /// A Unit in Prices that is none.
    UnitNotKnown {
        found: String,
        nearest: Option<String>,
    },
    /// A Unit on hand other than feet or pieces, which its quantity is counted as.
    StockUnit {
        found: String,
        quantity: String,
        counted_in: &'static str,
    },
    /// Hours for one of another unit than the task is counted in.
    LaborUnit {
        found: String,
        task: String,
        counted_in: String,
    },
    /// A supplier in Prices who is nearly one of Suppliers.
    SupplierNearly {
        found: String,
        nearest: String,
        rows: usize,
    },
    /// Rows of Prices without a price.
    PricesOpen {
        rows: Vec<u64>,
    },
    /// Code basis names an edition that the tables are not of.
    OtherEdition {
        asked: String,
        tables: String,
    },
    /// Rows of Prices whose price is 0.
    PriceOfNothing {
        rows: Vec<String>,
    },
    /// New pipe without insulation where it can freeze.
    PipeFreezes {
        runs: String,
    },
    /// Holes for pipe that take more of a stud than the code allows (`sure`), or may.
    StudBored {
        runs: String,
        /// Of the stud's depth, the worst of them.
        share: rust_decimal::Decimal,
        most: rust_decimal::Decimal,
        outside: bool,
        sure: bool,
        source: String,
    },
    /// Hot pipe without insulation.
    HotPipeBare {
        runs: String,
    },
    /// A hose bibb that can freeze, without a valve inside.
    BibbFreezes {
        tag: String,
    },
    /// A hose bibb whose parts hold no vacuum breaker.
    BibbWithoutBreaker {
        tag: String,
    },
    /// A heater's tank whose water cannot go back to the main (`sure`) or may not, without an expansion tank.
    ClosedSystem {
        heater: String,
        by: String,
        sure: bool,
    },
    /// More runs and outlets than a manifold has ports.
    ManifoldPorts {
        manifold: String,
        needed: String,
        ports: String,
    },
    /// More flow than the code allows through a manifold of its size.
    ManifoldFlow {
        manifold: String,
        /// Its size, and what its body is made of.
        what: String,
        gpm: f64,
        most: rust_decimal::Decimal,
        source: String,
    },
    /// Old pipe that stays and feeds nothing.
    DeadLeg {
        runs: Vec<String>,
    },
    /// Pipe of this job that feeds nothing, and the rows of Runs it stands in. `dropped` are fixtures that come out there.
    NewDeadLeg {
        runs: Vec<String>,
        rows: Vec<u64>,
        dropped: Vec<String>,
    },
    /// A fixture or device that no assembly speaks for.
    NoAssembly {
        what: String,
    },
    /// A run that no stick or coil is long enough for.
    NoPipeLongEnough {
        run: String,
        needed_ft: String,
        longest_ft: String,
    },
    /// What the job needs and nobody has priced: each item and how much of it.
    NoPrice {
        items: Vec<(String, String)>,
    },
    /// More is bought than the job needs; `returned` whole units can go back.
    BoughtLeftOver {
        item: String,
        quantity: String,
        worth: String,
        returned: String,
    },
    /// Overhead and profit as shares of price leave nothing for the cost.
    /// Offers that a bid of an earlier version chose by the row they had in Prices then: no row is told from another by it.
    OffersByRow {
        lines: Vec<String>,
    },
    MarkupOverPrice {
        percent: String,
    },
    /// An alternate whose change cannot be made or priced.
    AlternateNotPriced {
        alternate: String,
        reason: String,
    },
    /// An alternate that does not pass where the job without it does.
    AlternateFails {
        alternate: String,
        why: String,
    },
    /// A task without hours, in Labor or in the starting values.
    NoHours {
        task: String,
    },
    /// A change that is not typed as it must be.
    EditNotRead {
        typed: String,
        expected: String,
    },
    /// A setting cannot be what it is to be set to.
    EditBadValue {
        name: String,
        typed: String,
        expected: String,
    },
    EditOfFormula {
        cell: String,
    },
    /// A cell of a sheet that the program makes.
    EditOfResult {
        cell: String,
    },
    /// A cell that the program does not read.
    EditNotInput {
        cell: String,
    },
    /// A cell of a row that nothing is named in; `last` is the last row that has a name.
    EditOfNothing {
        cell: String,
        noun: &'static str,
        last: u32,
    },
    /// A formula of the user's looks at the changed cell, and only a spreadsheet program can work it out anew.
    EditFeedsFormula {
        cell: String,
        formula: String,
    },
    /// Two workbooks to be compared are not of one job.
    DifferentJobs {
        old: String,
        new: String,
        shared: usize,
        of: usize,
    },
    /// The old bid shows another total than it comes to when it is priced again with its choices held.
    OldTotalMoved {
        shown: String,
        priced: String,
    },
    /// A revision that bears the date of the bid it revises.
    SameDate {
        date: String,
    },
    NothingChanged,
    /// An installed run that the changed job would want larger.
    InstalledTooSmall {
        run: String,
        size: String,
        wanted: String,
        cost: String,
    },
    /// A combination that cannot be priced.
    TriedInVain {
        tried: String,
        reason: String,
    },
    OrderWithoutNumber,
    /// Neither Deliver to nor Site says where.
    OrderWithoutAddress,
    OrderWithoutContact,
    /// Offers that are bought and name no supplier.
    OrderWithoutSupplier {
        offers: usize,
    },
    /// So many things without a price stand as quotes in these orders.
    OrderAsksForQuotes {
        things: usize,
        suppliers: Vec<String>,
    },
    /// The choices that are held buy less than is needed now; `short` in words.
    OrderShort {
        item: String,
        short: String,
    },
    QuotesFromNobody {
        supplier: String,
        nearest: Option<String>,
    },
    NothingToOrder {
        phases: String,
    },
    /// A filled order that is none of ours, or that lacks what it is read by.
    FormNotRead {
        reason: String,
    },
    /// An order of another job, or of another number; `what` says which.
    FormOfOther {
        what: &'static str,
        found: String,
        ours: String,
    },
    FormRevision {
        found: String,
        ours: String,
    },
    /// Two filled orders of one supplier, told apart by who quoted them.
    FormByOther {
        supplier: String,
        by: String,
    },
    /// A quote that ran out before `on`, the job's `what`.
    QuoteExpired {
        until: String,
        what: &'static str,
        on: String,
    },
    QuoteNotRead {
        column: &'static str,
        found: String,
        why: String,
    },
    /// A text or a formula that was read as a value.
    QuoteReadAs {
        column: &'static str,
        found: String,
        value: String,
    },
    /// The supplier has changed what the price is for.
    QuoteUnitChanged {
        column: &'static str,
        found: String,
        ours: String,
    },
    QuoteQuantityChanged {
        found: String,
        ours: String,
    },
    /// An answer in a row without the key that says what it is for.
    QuoteWithoutLine {
        found: String,
    },
    QuoteTwice {
        line: String,
        first: String,
        other: String,
    },
    QuoteNotNeeded {
        line: String,
    },
    QuoteRowsGone {
        lines: Vec<String>,
    },
    /// A price far from the one in the job.
    QuoteUnlikely {
        price: String,
        ours: String,
        unit: String,
    },
    QuoteSubstitute {
        part: String,
        policy: &'static str,
        /// The job takes it as it is.
        fine: bool,
    },
    /// A price of the job that is not written over; `why` ends a sentence.
    QuotePriceKept {
        quoted: String,
        why: String,
    },
    QuotesUndated,
    QuotesMany {
        suppliers: usize,
        most: usize,
    },
    NothingQuoted,
    /// Sticks or coils that reach a price break.
    BreakForPipe {
        item: String,
        units: u32,
        saved: String,
    },
    /// Fewer sticks or coils than are sold.
    UnderLeastSold {
        item: String,
        units: u32,
        least: String,
    },
    SupplierNotUsed {
        supplier: String,
        nearest: Option<String>,
    },
    /// More has come of something than was bought.
    ReceivedNotBought {
        item: String,
        received: String,
        bought: String,
    },
    /// More used and returned than has come.
    ReceivedTooFew {
        item: String,
    },
    ReceivedNotNeeded {
        item: String,
    },
    /// Something inside the program did not hold; never the user's fault.
    Internal {
        detail: String,
    },
}

impl Code {
    /// True when the trouble is the file or the system, not what the workbook says.
    pub fn is_file_trouble(&self) -> bool {
        matches!(
            self,
            Self::NoSuchFile { .. }
                | Self::FolderGiven { .. }
                | Self::UnreadableFile { .. }
                | Self::EmptyFile
                | Self::NotAWorkbook { .. }
                | Self::OldWorkbook { .. }
                | Self::BinaryWorkbook
                | Self::PasswordProtected
                | Self::DamagedFile { .. }
                | Self::OversizeFile { .. }
        )
    }

    pub fn severity(&self) -> Severity {
        self.words().severity
    }

    pub fn slug(&self) -> &'static str {
        self.words().slug
    }

    pub fn found(&self) -> String {
        self.words().found
    }
}

/// A pump's run at a start. Minutes, gallons, gpm, psi.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortRun {
    pub run: String,
    pub least: String,
    pub draw_down: String,
    pub tank: String,
    pub pump: String,
    /// `30/50`
    pub range: String,
    /// The tank that would do.
    pub smallest: String,
}
