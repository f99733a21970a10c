//! What of a workbook goes into the bid otherwise than it stands, or not at all.

use crate::finding::findings;

findings! {
    /// The workbook holds macros; they are not run and not kept.
    MacrosLeftOut {} = Note "macros-left-out" {
        found: "The workbook holds macros.",
        remedy: "They are never run and do not go into the bid.",
    }

    /// A figure that you changed on a sheet of the bid is now a row of your own.
    EditReadBack {
        what: String,
        from: &'static str,
        /// Empty where a formula stood there.
        was: String,
        now: String,
    } = Note "edit-read-back" {
        found: {
            match was.is_empty() {
                true => format!("\"{what}\" on the sheet {from} of the bid now says {now}."),
                false => format!("\"{what}\" on the sheet {from} of the bid said {was} and now says {now}."),
            }
        },
        remedy: "It is read as your own, and stands here from now on; change it or take it out here.",
    }

    /// The bid was saved without values, so its choices cannot be held.
    ChoicesNotRead { count: usize } = Fix "choices-not-read" {
        found: "The bid was saved without its formulas' values; {count} of its choices cannot be told apart and are \
             made anew.",
        remedy: "Open it in a spreadsheet program and save it there, so that --hold can keep what was chosen.",
    }

    /// A sheet of yours has the name of a sheet that the bid makes.
    RenamedSheet { sheet: String, kept_as: String } = Note "renamed-sheet" {
        found: "Your sheet \"{sheet}\" has the name of a sheet that the bid makes.",
        remedy: "It is kept in the bid as \"{kept_as}\".",
    }

    /// Merged cells reach far beyond what the sheet holds.
    MergesCut { area: String, count: usize } = Note "merges-cut" {
        found: {
            match count {
                1 => format!("The merged cells {area} reach far beyond what this sheet holds."),
                _ => {
                    format!("{count} merges of cells reach far beyond what this sheet holds, the first of them {area}.")
                }
            }
        },
        remedy: "The bid merges only the rows and columns that are in use. Nothing that was filled in is lost.",
    }

    /// A cell holds more text than a spreadsheet can.
    LongText { length: usize, kept: usize } = Fix "long-text" {
        found: "The cell holds a text of {length} characters; spreadsheets hold {kept}.",
        remedy: "The rest was left out.",
    }

    /// Formulas of yours stand in the bid as values.
    FormulasDropped { count: usize, cell: String, reason: &'static str } = Note "formulas-dropped" {
        found: {
            match count {
                1 => format!("The formula in {cell} {reason}."),
                _ => format!("{count} formulas of this sheet cannot stand in the bid; the first, in {cell}, {reason}."),
            }
        },
        remedy: "The bid holds the value in its place.",
    }
}
