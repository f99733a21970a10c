//! Changes that cannot be made, and bids that cannot be compared.

use crate::finding::findings;

findings! {
    /// A change is not typed as it must be.
    EditNotRead { typed: String, expected: String } = Stop "edit-not-read" {
        found: "\"{typed}\" is no change that can be made.",
        remedy: "Write it as {expected}, then = and the value.",
    }

    /// A change would overwrite a formula of yours.
    EditOfFormula { cell: String } = Stop "edit-of-formula" {
        found: "{cell} holds a formula of yours; a value in its place would lose it.",
        remedy: "Change the cells it is worked out from, or write the value over it in a spreadsheet program.",
    }

    /// A change is to a sheet that the program makes.
    EditOfResult { cell: String } = Stop "edit-of-result" {
        found: "{cell} is on a sheet that this program makes anew each time.",
        remedy: "Change the input it comes from; `tallybore trace` shows which.",
    }

    /// A change is to a cell that the program does not read.
    EditNotInput { cell: String } = Stop "edit-not-input" {
        found: "{cell} is no cell that this program reads.",
        remedy: "Name a cell under a heading of an input sheet, such as Runs!D12.",
    }

    /// A change is in a row that names nothing.
    EditOfNothing { cell: String, noun: &'static str, last: u32 } = Stop "edit-of-nothing" {
        found: "{cell} belongs to no {noun}: its row has no name.",
        remedy: {
            match last {
                0 => format!("Name a cell in the row of a {noun}."),
                last => format!("Name a cell in the row of a {noun}; the last one is row {last}."),
            }
        },
    }

    /// Two workbooks to be compared are of different jobs.
    DifferentJobs { old: String, new: String, shared: usize, of: usize } = Stop "different-jobs" {
        found: "\"{old}\" and \"{new}\" are different jobs; of {of} runs they share {shared} by name.",
        remedy: "Give two workbooks of one job: with the same Job name or Bid number, or with the same runs.",
    }
}
