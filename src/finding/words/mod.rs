//! Findings in words: made here and nowhere else, in one arm for each code.

mod buy;
mod check;
mod file;
mod near_words;
mod order;
mod price;
mod quote;
mod read;
mod revise;
mod size;
mod takeoff;

use super::Code;
use super::Severity;

/// A finding put into words.
pub struct Words {
    pub severity: Severity,
    pub slug: &'static str,
    pub found: String,
    pub remedy: String,
    /// The rule behind it: document, edition, table.
    pub source: Option<String>,
    /// What is listed under what was found: a row each, its cells from left to right.
    pub table: Vec<Vec<String>>,
}

impl Words {
    /// What was found, and under it the first `rows` of its table.
    pub fn found_and_table(&self, rows: usize) -> String {
        let mut lines = vec![self.found.clone()];
        lines.extend(self.table.iter().take(rows).map(|row| row.join(", ")));
        if let Some(more) = self.table.len().checked_sub(rows).filter(|more| *more > 0) {
            lines.push(format!("and {more} more"));
        }
        lines.join("\n")
    }
}

fn words(severity: Severity, slug: &'static str, found: String, remedy: impl Into<String>) -> Words {
    Words { severity, slug, found, remedy: remedy.into(), source: None, table: Vec::new() }
}

fn hint(nearest: Option<&str>) -> String {
    nearest.map(|n| format!(" Did you mean \"{n}\"?")).unwrap_or_default()
}

/// The same where it is our own name that is missing.
fn perhaps(nearest: Option<&str>) -> String {
    nearest.map(|n| format!(" Perhaps \"{n}\" is meant to be it.")).unwrap_or_default()
}

/// Names in a row, the first dozen of them.
fn listed(names: &[String]) -> String {
    match names.len() {
        0 => "none".to_owned(),
        1..=12 => names.join(", "),
        more => format!("{} and {} more", names[..12].join(", "), more - 12),
    }
}

/// `58-103, 110` of rows in order.
fn rows_in_ranges(rows: &[u64]) -> String {
    let mut ranges: Vec<(u64, u64)> = Vec::new();
    for row in rows {
        match ranges.last_mut() {
            Some((_, last)) if *last + 1 == *row => *last = *row,
            _ => ranges.push((*row, *row)),
        }
    }
    let range = |(first, last): &(u64, u64)| if first == last { first.to_string() } else { format!("{first}-{last}") };
    listed(&ranges.iter().map(range).collect::<Vec<_>>())
}

fn sourced(words: Words, source: &str) -> Words {
    Words { source: Some(source.to_owned()), ..words }
}

impl Code {
    /// The words of this finding: severity, slug, what was found, what to do.
    pub fn words(&self) -> Words {
        // The compiler sees that each code has a subject; tests/findings.rs, that the subject has its arm.
        let said = match self {
            Self::NoSuchFile { .. }
            | Self::FolderGiven { .. }
            | Self::UnreadableFile { .. }
            | Self::EmptyFile
            | Self::NotAWorkbook { .. }
            | Self::OldWorkbook { .. }
            | Self::PasswordProtected
            | Self::BinaryWorkbook
            | Self::DamagedFile { .. }
            | Self::OversizeFile { .. }
            | Self::ChoicesNotRead { .. }
            | Self::EditReadBack { .. }
            | Self::MacrosLeftOut
            | Self::BookText { .. } => file::of(self),
            Self::UnreadableSheet { .. }
            | Self::MissingSheet { .. }
            | Self::NearSheet { .. }
            | Self::TwoSheets { .. }
            | Self::HiddenSheet { .. }
            | Self::RenamedSheet { .. }
            | Self::MergesCut { .. }
            | Self::NoHeadings { .. }
            | Self::NoRows { .. }
            | Self::MoreFindings { .. }
            | Self::MissingColumn { .. }
            | Self::NearHeading { .. }
            | Self::HeadingMissing { .. }
            | Self::OwnColumns { .. }
            | Self::DuplicateHeading { .. }
            | Self::WrongUnit { .. }
            | Self::MissingValue { .. }
            | Self::WrongKind { .. }
            | Self::UnknownChoice { .. }
            | Self::SizeFromDate { .. }
            | Self::DateFromText { .. }
            | Self::DateInCell { .. }
            | Self::FaultInCell { .. }
            | Self::NegativeValue { .. }
            | Self::BlankFormula { .. }
            | Self::BarePercent { .. }
            | Self::LongText { .. }
            | Self::FormulasDropped { .. }
            | Self::PriceNotRead { .. }
            | Self::PriceFromText { .. }
            | Self::AngleStopAsDevice { .. }
            | Self::MarginOnCost { .. }
            | Self::StaticPressureAlone { .. }
            | Self::UnknownSetting { .. } => read::of(self),
            Self::UnknownName { .. }
            | Self::DuplicateName { .. }
            | Self::LoopedRuns { .. }
            | Self::RunRemoved { .. }
            | Self::PriceNotUsed { .. }
            | Self::PricesNotUsed { .. }
            | Self::WellNotCounted => check::of(self),
            Self::MaterialNotKnown { .. }
            | Self::MaterialsNotUsed { .. }
            | Self::StockNotUsed { .. }
            | Self::UnitNotKnown { .. }
            | Self::StockUnit { .. }
            | Self::LaborUnit { .. }
            | Self::SupplierNearly { .. } => near_words::of(self),
            Self::PricesOpen { .. }
            | Self::OtherEdition { .. }
            | Self::PriceOfNothing { .. }
            | Self::PackMissing { .. }
            | Self::TaskNotUsed { .. }
            | Self::SharesNotWhole { .. }
            | Self::QuoteTooOld { .. }
            | Self::QuotedLater { .. }
            | Self::QuotesNotJudged { .. }
            | Self::SupplyOverHighest { .. }
            | Self::DrainsNotPriced { .. }
            | Self::FixtureWithoutRun { .. }
            | Self::HotRunWithoutHeater { .. }
            | Self::ColdRunIsHot { .. }
            | Self::HazardousPipe { .. }
            | Self::ReservedName { .. }
            | Self::ZeroLength { .. }
            | Self::RiseOverLength { .. }
            | Self::NotWhole { .. }
            | Self::OutOfRange { .. }
            | Self::UnlikelyValue { .. }
            | Self::PatternName { .. }
            | Self::OtherWithoutGpm { .. }
            | Self::BadRuleRow { .. }
            | Self::MissingRuleColumn { .. }
            | Self::RuleHeading { .. }
            | Self::TotalRow { .. }
            | Self::RulesChanged { .. } => check::of(self),
            Self::CodeForDwellingsOnly
            | Self::FixtureWithoutUnits { .. }
            | Self::UnitsLent { .. }
            | Self::DeviceHalfRated { .. }
            | Self::PressureLost { .. }
            | Self::UnknownGroup { .. }
            | Self::GroupIncomplete { .. }
            | Self::LoadAboveTable { .. }
            | Self::DeviceWithoutLoss { .. }
            | Self::LossOfOtherSize { .. }
            | Self::RegulatorWithoutSetting { .. }
            | Self::ExistingSizeAssumed { .. }
            | Self::SizeUnderCode { .. }
            | Self::SizeNotInTable { .. }
            | Self::NoSizesWill { .. }
            | Self::ShortOfPressure { .. }
            | Self::TooFast { .. }
            | Self::LittleToSpare { .. }
            | Self::MainSizeWithoutSay { .. }
            | Self::LargerThanFeeder { .. }
            | Self::PressureTooHigh { .. }
            | Self::PumpTooSmall { .. }
            | Self::TankNotJudged { .. }
            | Self::PumpRunShort { .. }
            | Self::PrechargeAssumed { .. }
            | Self::PrechargeOverCutIn { .. } => size::of(self),
            Self::NoMainShutoff { .. }
            | Self::QuickClosingValve { .. }
            | Self::PipeFreezes { .. }
            | Self::StudBored { .. }
            | Self::HotPipeBare { .. }
            | Self::BibbFreezes { .. }
            | Self::BibbWithoutBreaker { .. }
            | Self::ClosedSystem { .. }
            | Self::ManifoldPorts { .. }
            | Self::ManifoldFlow { .. }
            | Self::DeadLeg { .. }
            | Self::NewDeadLeg { .. } => takeoff::of(self),
            Self::BoughtLeftOver { .. }
            | Self::EditNotRead { .. }
            | Self::EditBadValue { .. }
            | Self::EditOfFormula { .. }
            | Self::EditOfResult { .. }
            | Self::EditNotInput { .. }
            | Self::EditOfNothing { .. }
            | Self::EditFeedsFormula { .. }
            | Self::DifferentJobs { .. }
            | Self::OldTotalMoved { .. }
            | Self::SameDate { .. }
            | Self::NothingChanged
            | Self::InstalledTooSmall { .. }
            | Self::TriedInVain { .. } => revise::of(self),
            Self::OrderWithoutNumber
            | Self::OrderWithoutAddress
            | Self::OrderWithoutContact
            | Self::OrderWithoutSupplier { .. }
            | Self::OrderAsksForQuotes { .. }
            | Self::OrderShort { .. }
            | Self::QuotesFromNobody { .. }
            | Self::NothingToOrder { .. } => order::of(self),
            Self::FormNotRead { .. }
            | Self::FormOfOther { .. }
            | Self::FormRevision { .. }
            | Self::FormByOther { .. }
            | Self::QuoteExpired { .. }
            | Self::QuoteNotRead { .. }
            | Self::QuoteReadAs { .. }
            | Self::QuoteUnitChanged { .. }
            | Self::QuoteQuantityChanged { .. }
            | Self::QuoteWithoutLine { .. }
            | Self::QuoteTwice { .. }
            | Self::QuoteNotNeeded { .. }
            | Self::QuoteRowsGone { .. }
            | Self::QuoteUnlikely { .. }
            | Self::QuoteSubstitute { .. }
            | Self::QuotePriceKept { .. }
            | Self::QuotesUndated
            | Self::QuotesMany { .. }
            | Self::NothingQuoted => quote::of(self),
            Self::BreakForPipe { .. }
            | Self::UnderLeastSold { .. }
            | Self::SupplierNotUsed { .. }
            | Self::ReceivedNotBought { .. }
            | Self::ReceivedTooFew { .. }
            | Self::ReceivedNotNeeded { .. } => buy::of(self),
            Self::NoAssembly { .. }
            | Self::NoPrice { .. }
            | Self::NoPipeLongEnough { .. }
            | Self::OffersByRow { .. }
            | Self::MarkupOverPrice { .. }
            | Self::AlternateNotPriced { .. }
            | Self::AlternateFails { .. }
            | Self::NoHours { .. }
            | Self::Internal { .. } => price::of(self),
        };
        said.unwrap_or_else(|| words(Severity::Stop, "internal", format!("{self:?}"), price::REPORT_IT))
    }
}
