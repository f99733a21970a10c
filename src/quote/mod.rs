//! Quotes: what suppliers wrote into their orders, held against what the job orders now.
//!
//! In: the job, its kept sheets, its orders, and the filled files as they stand. Out: [`Quotes`]: a book with the prices
//! side by side, whom to buy from, and what is missing; the job's sheets with the quoted prices in them; and findings by
//! file. Never: a price of the user's written over where a formula makes it or looks at it; a date from the clock.
//!
//! A line is known by its key ([`crate::model::order_form`]), wherever its row has gone. What cannot be read counts as not
//! answered, and is told with its cell: no price is guessed.

mod answer;
mod cells;
pub(crate) mod findings;
mod form;
mod job_prices;
mod money;
mod order_lines;
mod quotes_workbook;
mod side_by_side;
mod source_selection;
mod suppliers;

pub(crate) use order_lines::Wanted;
pub(crate) use quotes_workbook::Ways;
pub(crate) use source_selection::Choices;
pub(crate) use suppliers::Supplier;

use crate::buy::purchase::SUPPLIERS;
use crate::figure::Book;
use crate::finding::{self, Finding};
use crate::model::{Job, KeptBook, Setting};
use crate::order::Orders;
use crate::quote::findings::{NothingQuoted, QuotesMany};
use crate::read::FilledFile;
use crate::rules::Rules;
use crate::takeoff::TakeOff;
use source_selection::Compared;
use std::sync::Arc;

/// What every file of this stage works from.
pub(crate) struct Context<'a> {
    pub job: &'a Job,
    pub kept: &'a KeptBook,
    pub rules: &'a Rules,
    pub take_off: &'a TakeOff,
    pub orders: &'a Orders,
}

/// What is to be said of one file; of the job workbook itself first.
#[derive(Debug, Clone)]
pub struct OfFile {
    pub file: Arc<str>,
    pub findings: Vec<Finding>,
}

/// What the stage hands on.
pub struct Quotes {
    pub suppliers: Vec<Supplier>,
    pub wanted: Vec<Wanted>,
    pub choices: Choices,
    pub ways: Ways,
    /// The workbook of the comparison.
    pub book: Book,
    /// The job's sheets with the prices that were quoted.
    pub priced: KeptBook,
}

/// The whole stage: `None` for the quotes where no file holds any price for the job. Findings are those of the job
/// workbook, then those of each file.
pub(crate) fn quote(context: &Context, files: &[FilledFile]) -> (Option<Quotes>, Vec<OfFile>) {
    let mut by_file: Vec<OfFile> =
        files.iter().map(|file| OfFile { file: file.file.clone(), findings: file.findings.clone() }).collect();
    let mut forms = Vec::new();
    for (at, file) in files.iter().enumerate().filter(|(_, file)| !file.sheets.is_empty()) {
        let findings = &mut by_file[at].findings;
        if let Some(form) = form::read(at, file, findings)
            && suppliers::is_of_job(context, &form, findings)
        {
            forms.push(form);
        }
    }
    let wanted = order_lines::wanted(context.orders);
    let mut more: Vec<Vec<Finding>> = vec![Vec::new(); forms.len()];
    let suppliers = suppliers::gather(context, &forms, &wanted, &mut more);
    for (form, more) in forms.iter().zip(more) {
        by_file[form.at].findings.extend(more);
    }
    let substitutes = context.job.text(Setting::Substitutes);
    let choices = source_selection::choose(&wanted, &suppliers, &substitutes);
    let mut of_job = Vec::new();
    if suppliers.len() > SUPPLIERS {
        let facts = QuotesMany { suppliers: suppliers.len(), most: SUPPLIERS };
        of_job.push(Finding::everywhere(facts));
    }
    let any = choices.from.iter().any(Option::is_some);
    if !any {
        of_job.push(Finding::everywhere(NothingQuoted {}));
    }
    let compared = Compared { wanted: &wanted, suppliers: &suppliers, choices: &choices };
    let (priced, more) = job_prices::priced(context, compared, &mut by_file);
    of_job.extend(more);
    by_file.insert(0, OfFile { file: context.job.file.clone(), findings: of_job });
    by_file.iter_mut().for_each(|of| finding::sort(&mut of.findings));
    if !any {
        return (None, by_file);
    }
    let (book, ways) = quotes_workbook::paper(context, compared, &by_file);
    (Some(Quotes { suppliers, wanted, choices, ways, book, priced }), by_file)
}
