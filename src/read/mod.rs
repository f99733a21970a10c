//! A workbook file -> a typed job, what was found on the way, and the input sheets as they stood.
//!
//! In: a path. Out: [`Reading`]. Never: stopping at the first trouble, judging whether the job makes sense, running
//! macros, or changing the file.

mod cell;
mod extent;
mod formula;
mod guard;
mod heading;
mod held;
mod keep;
mod overrides;
mod quietly;
mod rows;
mod settings;
mod sheets;
mod tags;
mod workbook;

pub use keep::{KeptBook, KeptCell, KeptSheet};

use crate::finding::{Code, Finding, Sink};
use crate::model::{Job, RESULT_SHEETS};
use std::path::Path;

/// What a workbook says, what is wrong with it, and its input sheets cell for cell.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    pub job: Job,
    pub findings: Vec<Finding>,
    pub book: KeptBook,
}

/// Reads a job workbook or a bid workbook, .xlsx, .xlsm or .ods. A file that cannot be read gives an empty job and the
/// finding that says why ([`Code::is_file_trouble`]); anything else that is wrong gives findings beside what could be
/// read.
pub fn open(path: &Path) -> Reading {
    let mut sink = Sink::default();
    let mut reading = Reading::default();
    let file = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    reading.job.file = file.as_ref().into();
    if let Err(code) = read_into(path, &mut reading, &mut sink) {
        sink.everywhere(code);
    }
    reading.findings = sink.close();
    reading
}

fn read_into(path: &Path, reading: &mut Reading, sink: &mut Sink) -> Result<(), Code> {
    let guarded = quietly::quietly(|| guard::open(path))
        .unwrap_or_else(|| Err(Code::DamagedFile { detail: "its packing contradicts itself".to_owned() }))?;
    if guarded.macros {
        sink.everywhere(Code::MacrosLeftOut);
    }
    let loaded = workbook::load(&guarded, sink)?;
    let job = &mut reading.job;
    job.is_bid = loaded.is_bid;
    for (name, reason) in &loaded.unreadable {
        let code =
            Code::UnreadableSheet { sheet: name.to_string(), reason: reason.clone(), needed: sheets::is_read(name) };
        sink.everywhere(code);
    }
    let mut kept = loaded.sheets;
    if job.is_bid {
        held::read(&kept, &mut job.held);
        kept.retain(|sheet| !RESULT_SHEETS.contains(&&*sheet.name));
    }
    sheets::assign(&mut kept, &loaded.unreadable, sink);
    for sheet in &mut kept {
        if let Some(declared) = sheet.declared {
            if heading::find(sheet, declared, sink) {
                match declared.name {
                    "Job" => settings::read(sheet, job, sink),
                    _ => rows::read(sheet, declared, job, sink),
                }
            }
        } else if let Some(own) = overrides::read(sheet, sink) {
            job.overrides.push(own);
        }
    }
    keep::settle(&mut kept, &guarded.marks.arrays, sink);
    reading.book.sheets = kept;
    Ok(())
}
