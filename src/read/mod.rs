//! A workbook file -> a typed job, what was found on the way, and the input sheets as they stood.
//!
//! In: a path. Out: [`Reading`]. Never: stopping at the first trouble, judging whether the job makes sense, running
//! macros, or changing the file.

mod carried_sheets;
mod catch_panic;
mod choices;
mod edited;
mod extent;
mod filled;
pub mod findings;
mod guard;
mod heading;
mod heading_row;
mod history;
mod merges;
mod names;
mod near_sheets;
mod overrides;
mod settings;
mod sheets;
mod spacing;
mod strays;
mod tags;
mod text;
mod workbook;

pub use carried_sheets::{KeptBook, KeptCell, KeptSheet};
pub use filled::{FilledFile, filled};
pub use text::text;

use crate::finding::{Finding, MoreFindings, Sink};
use crate::input;
use crate::model::{Job, user_formula};
use crate::place::Place;
use crate::read::findings::file::DamagedFile;
use crate::read::findings::kept::{ChoicesNotRead, MacrosLeftOut};
use crate::read::findings::sheets::UnreadableSheet;
use std::path::Path;
use workbook::{Pages, page_of};

/// What a workbook says, what is wrong with it, and its input sheets cell for cell.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    /// Empty where the file could not be read.
    pub job: Job,
    /// What was found on the way, in no order.
    pub findings: Vec<Finding>,
    /// The user's sheets, cell for cell.
    pub book: KeptBook,
}

/// Reads a job workbook or a bid workbook, .xlsx, .xlsm or .ods. A file that cannot be read gives an empty job and the
/// finding that says why ([`is_file_trouble`]); anything else that is wrong gives findings beside what could be
/// read.
pub fn open(path: &Path) -> Reading {
    read(path, Pages::ReadBack)
}

/// [`open`] without what a bid has kept on its pages: no choices, no history, no edits of rules. It takes a fraction of
/// the time, since a bid is mostly pages.
pub(crate) fn inputs(path: &Path) -> Reading {
    read(path, Pages::None)
}

fn read(path: &Path, pages: Pages) -> Reading {
    let mut sink = Sink::default();
    let mut reading = Reading::default();
    let file = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    reading.job.file = file.as_ref().into();
    if let Err(trouble) = read_into(path, pages, &mut reading, &mut sink) {
        sink.push(*trouble);
    }
    reading.findings = sink.close();
    reading
}

fn read_into(path: &Path, pages: Pages, reading: &mut Reading, sink: &mut Sink) -> Result<(), Box<Finding>> {
    let guarded = catch_panic::without_report(|| guard::open(path))
        .unwrap_or_else(|| Err(DamagedFile { detail: "its packing contradicts itself".to_owned() }.into()))?;
    if guarded.macros {
        sink.everywhere(MacrosLeftOut {});
    }
    let loaded = workbook::load(&guarded, pages, sink)?;
    let job = &mut reading.job;
    job.is_bid = loaded.is_bid;
    for (name, reason) in &loaded.unreadable {
        let facts = UnreadableSheet { sheet: name.to_string(), reason: reason.clone(), needed: sheets::is_read(name) };
        sink.everywhere(facts);
    }
    let mut kept = loaded.sheets;
    let mut edits = Vec::new();
    if job.is_bid {
        let lost = choices::read(&kept, &mut job.saved);
        if lost > 0 {
            sink.everywhere(ChoicesNotRead { count: lost });
        }
        job.history = history::read(&kept);
        edits = edited::find(&kept);
        kept.retain(|sheet| page_of(&sheet.name).is_none());
        edited::make_room(&mut kept, &edits);
    }
    sheets::assign(&mut kept, sink);
    near_sheets::find(&kept, &loaded.unreadable, sink);
    let headed: Vec<bool> = kept
        .iter_mut()
        .map(|sheet| sheet.declared.is_none_or(|declared| heading_row::find(sheet, declared, sink)))
        .collect();
    edited::put(&mut kept, edits, sink);
    for (sheet, _) in kept.iter_mut().zip(headed).filter(|(_, headed)| *headed) {
        type_rows(sheet, job, sink);
    }
    carried_sheets::settle(&mut kept, &guarded.marks.arrays, sink);
    reading.book.sheets = kept;
    Ok(())
}

/// The rows of a sheet whose headings are known, or of a sheet of rules, into the job.
fn type_rows(sheet: &mut KeptSheet, job: &mut Job, sink: &mut Sink) {
    match sheet.declared {
        Some(declared) if declared.name == "Job" => settings::read(sheet, job, sink),
        Some(declared) => job.read_rows(sheet, declared, sink),
        None => job.overrides.extend(overrides::read(sheet, sink)),
    }
}

/// The same workbook with other cells in its input sheets: its rows are typed again. What reading had found in the rows
/// is found anew, what it had found about the file, its sheets and its headings stays.
pub fn retype(reading: &Reading, book: KeptBook) -> Reading {
    let Job { file, is_bid, saved, history, .. } = reading.job.clone();
    let mut retyped =
        Reading { job: Job { file, is_bid, saved, history, ..Job::default() }, findings: Vec::new(), book };
    let mut sink = Sink::default();
    for sheet in &mut retyped.book.sheets {
        if sheet.declared.is_none() || sheet.heading_row.is_some() {
            type_rows(sheet, &mut retyped.job, &mut sink);
        }
    }
    retyped.findings = reading.findings.iter().filter(|finding| !is_of_rows(finding)).cloned().collect();
    retyped.findings.extend(sink.close());
    retyped
}

/// True when the trouble is the file or the system, not what the workbook says.
pub fn is_file_trouble(finding: &Finding) -> bool {
    finding.is_among(findings::file::LIST)
}

/// True for what typing the rows of a sheet can find.
fn is_of_rows(finding: &Finding) -> bool {
    finding.is_among(input::findings::LIST) || finding.is::<MoreFindings>()
}

/// The first cell whose formula looks at this one: its value is not worked out anew when this one is changed here.
pub fn fed_by(book: &KeptBook, place: &Place) -> Option<Place> {
    book.sheets.iter().find_map(|sheet| {
        let looks = |cell: &&KeptCell| {
            cell.formula.as_deref().is_some_and(|formula| user_formula::looks_at(formula, &sheet.name, place))
        };
        sheet.cells.iter().find(looks).map(|cell| sheet.place(cell.row, cell.column))
    })
}
