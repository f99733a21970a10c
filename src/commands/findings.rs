//! What whole bids find when they are held against each other: revisions, combinations, alternates.

use crate::finding::findings;

findings! {
    /// A setting cannot be what it is to be set to.
    EditBadValue { name: String, typed: String, expected: String } = Stop "edit-bad-value" {
        found: "{name} cannot be \"{typed}\"; expected {expected}.",
        remedy: "Write {expected}.",
    }

    /// A formula of yours depends on the cell to be changed.
    EditFeedsFormula { cell: String, formula: String } = Stop "edit-feeds-formula" {
        found: "Your formula in {formula} looks at {cell}; its value would be the old one.",
        remedy: "Make the change in a spreadsheet program, save it as another file, and give both: revise OLD NEW.",
    }

    /// The old bid shows another total than it comes to when priced again.
    OldTotalMoved { shown: String, priced: String } = Fix "old-total-moved" {
        found: "The old bid shows a total of {shown}; priced again with its choices held it comes to {priced}.",
        remedy: "The changes are reckoned from the second. The bid was edited since it was priced, or its prices and \
             rules were read by another version.",
    }

    /// A revision has the date of the bid it revises.
    SameDate { date: String } = Note "same-date" {
        found: "The revision bears the date of the bid it revises, {date}.",
        remedy: "Give it its own: --set \"Date=2026-07-01\", with its day.",
    }

    /// No input of the two bids differs.
    NothingChanged {} = Note "nothing-changed" {
        found: "No input of the two differs.",
        remedy: "",
    }

    /// The changed job needs an installed run larger.
    InstalledTooSmall { run: String, size: String, wanted: String, cost: String } = Fix "installed-too-small" {
        found: "Run {run} is in at {size}; the changed job wants {wanted} there.",
        remedy: "To take it out and put in {wanted} costs {cost} at the job's prices, digging and patching not \
             counted. Or leave it, and live with what Sizing shows.",
    }

    /// A combination of a what-if cannot be priced.
    TriedInVain { tried: String, reason: String } = Fix "tried-in-vain" {
        found: "{tried} cannot be priced: {reason}",
        remedy: "Its row of the What if sheet says so; the others stand.",
    }

    /// The job does not pass with an alternate.
    AlternateFails { alternate: String, reason: String } = Fix "alternate-fails" {
        found: "With the alternate \"{alternate}\" the job does not pass: {reason}. The bid offers no price for it.",
        remedy: "Add the prices it needs, or change something else along with it; Cost build-up shows what it comes \
             to.",
    }

    /// An alternate leaves sizes, hours and price as they are.
    AlternateChangesNothing { alternate: String } = Fix "alternate-changes-nothing" {
        found: "The alternate \"{alternate}\" changes no size, no hour and no price.",
        remedy: "Check what its Change names: the run or setting may have that already.",
    }
}
