//! What `quotes --json` prints, in the form that `templates/quotes.schema.json` describes.

use super::Files;
use crate::finding::json::{self, FindingJson};
use crate::model::date_text;
use crate::quote::{OfFile, Quotes};
use serde::Serialize;
use std::path::PathBuf;

/// The form of the document; it changes when a reader of the old one could be misled.
const FORM: u32 = 1;

#[derive(Debug, Serialize)]
pub(crate) struct QuotesDocument {
    form: u32,
    input: String,
    /// Why nothing was written, when it was not for the findings.
    pub error: Option<String>,
    output: Option<String>,
    job: Option<String>,
    suppliers: Vec<OneSupplier>,
    lines: Vec<Line>,
    ways: Option<Ways>,
    files: Vec<OneFile>,
}

#[derive(Debug, Serialize)]
struct OneSupplier {
    name: String,
    quoted_by: Option<String>,
    dated: Option<String>,
    valid_until: Option<String>,
    charge: String,
    missing: usize,
}

#[derive(Debug, Serialize)]
struct Line {
    line: String,
    item: String,
    quantity: String,
    unit: String,
    /// The supplier it is bought from; null where nobody prices it.
    from: Option<String>,
    prices: Vec<Price>,
}

#[derive(Debug, Serialize)]
struct Price {
    supplier: String,
    state: &'static str,
    price: Option<String>,
}

#[derive(Debug, Serialize)]
struct Ways {
    chosen: String,
    least: String,
    least_with_charges: String,
    single: Option<Single>,
    proved: bool,
}

#[derive(Debug, Serialize)]
struct Single {
    supplier: String,
    total: String,
}

#[derive(Debug, Serialize)]
struct OneFile {
    file: String,
    findings: Vec<FindingJson>,
}

impl QuotesDocument {
    /// `by_file` are the findings of the workbook, then those of each filled file.
    pub(crate) fn new(input: &str, filled: &[PathBuf], by_file: &[OfFile]) -> Self {
        let names = [input.to_owned()].into_iter().chain(filled.iter().map(|path| path.display().to_string()));
        let one = |(name, of): (String, &OfFile)| OneFile { findings: json::objects(&name, &of.findings), file: name };
        Self {
            form: FORM,
            input: input.to_owned(),
            error: None,
            output: None,
            job: None,
            suppliers: Vec::new(),
            lines: Vec::new(),
            ways: None,
            files: names.zip(by_file).map(one).collect(),
        }
    }

    pub(crate) fn compared(&mut self, quotes: &Quotes, files: &Files) {
        self.output = Some(files.comparison.display().to_string());
        self.job = Some(files.job.display().to_string());
        let offered = &quotes.choices.offered;
        let missing = |at: usize| offered.iter().filter(|line| line[at].price.is_none()).count();
        let suppliers = quotes.suppliers.iter().enumerate().map(|(at, supplier)| OneSupplier {
            name: supplier.name.clone(),
            quoted_by: Some(supplier.quoted_by.clone()).filter(|by| !by.is_empty()),
            dated: supplier.dated.map(date_text),
            valid_until: supplier.valid_until.map(date_text),
            charge: format!("{:.2}", supplier.charge),
            missing: missing(at),
        });
        self.suppliers = suppliers.collect();
        let lines = quotes.wanted.iter().enumerate().map(|(at, wanted)| Line {
            line: wanted.key.to_string(),
            item: wanted.item.clone(),
            quantity: wanted.quantity.normalize().to_string(),
            unit: wanted.unit.clone(),
            from: quotes.choices.from[at].map(|from| quotes.suppliers[from].name.clone()),
            prices: quotes
                .suppliers
                .iter()
                .zip(&offered[at])
                .map(|(supplier, offered)| Price {
                    supplier: supplier.name.clone(),
                    state: offered.state.word(),
                    price: offered.price.map(|price| price.normalize().to_string()),
                })
                .collect(),
        });
        self.lines = lines.collect();
        let ways = &quotes.ways;
        let single = ways.single.as_ref();
        self.ways = Some(Ways {
            chosen: format!("{:.2}", ways.chosen),
            least: format!("{:.2}", ways.least),
            least_with_charges: format!("{:.2}", ways.least_with_charges),
            single: single.map(|(name, sum)| Single { supplier: name.clone(), total: format!("{sum:.2}") }),
            proved: quotes.choices.proved,
        });
    }
}
