//! Findings in words: made here and nowhere else, in one arm for each code.

mod buy;
mod check;
mod file;
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
}

fn words(severity: Severity, slug: &'static str, found: String, remedy: impl Into<String>) -> Words {
    Words { severity, slug, found, remedy: remedy.into(), source: None }
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
            | Self::NoHeadings { .. }
            | Self::NoRows { .. }
            | Self::MoreFindings { .. }
            | Self::MissingColumn { .. }
            | Self::NearHeading { .. }
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
            | Self::UnknownSetting { .. } => read::of(self),
            Self::UnknownName { .. }
            | Self::DuplicateName { .. }
            | Self::LoopedRuns { .. }
            | Self::RunRemoved { .. }
            | Self::PriceNotUsed { .. }
            | Self::PricesNotUsed { .. }
            | Self::WellNotCounted
            | Self::PriceOfNothing { .. }
            | Self::PackMissing { .. }
            | Self::TaskNotUsed { .. }
            | Self::SharesNotWhole { .. }
            | Self::ShareOverWhole { .. }
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
            | Self::ZeroValue { .. }
            | Self::OutOfRange { .. }
            | Self::PatternName { .. }
            | Self::OtherWithoutGpm { .. }
            | Self::BadRuleRow { .. }
            | Self::MissingRuleColumn { .. }
            | Self::RulesChanged { .. } => check::of(self),
            Self::CodeForDwellingsOnly
            | Self::FixtureWithoutUnits { .. }
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
            | Self::PumpTooSmall { .. } => size::of(self),
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
            | Self::DeadLeg { .. } => takeoff::of(self),
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
            | Self::MarkupOverPrice { .. }
            | Self::AlternateNotPriced { .. }
            | Self::AlternateFails { .. }
            | Self::NoHours { .. }
            | Self::Internal { .. } => price::of(self),
        };
        said.unwrap_or_else(|| words(Severity::Stop, "internal", format!("{self:?}"), price::REPORT_IT))
    }
}
