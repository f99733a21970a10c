//! What `order --json` prints, in the form that `templates/order.schema.json` describes.

use super::files::Files;
use crate::finding::Finding;
use crate::finding::json::{self, FindingJson};
use crate::model::{Job, Setting};
use crate::order::{Order, OrderLine, Orders};
use serde::Serialize;

/// The form of the document; it changes when a reader of the old one could be misled.
const FORM: u32 = 1;

#[derive(Debug, Serialize)]
pub(crate) struct OrderDocument {
    form: u32,
    input: String,
    /// Why nothing was written, when it was not for the findings.
    pub error: Option<String>,
    order_number: Option<String>,
    orders: Vec<OneOrder>,
    findings: Vec<FindingJson>,
}

#[derive(Debug, Serialize)]
struct OneOrder {
    /// Null where Prices names nobody.
    supplier: Option<String>,
    /// Its own; null where the job gives no Order number.
    number: Option<String>,
    /// The order that it takes the place of, or adds to.
    revises: Option<String>,
    /// Empty for all phases.
    phases: Vec<&'static str>,
    workbook: String,
    csv: String,
    lines: Vec<Line>,
}

#[derive(Debug, Serialize)]
struct Line {
    line: String,
    group: String,
    item: String,
    kind: String,
    material: Option<String>,
    size: Option<String>,
    part: Option<String>,
    /// Whole Units, as text: nobody's floating point touches it.
    quantity: String,
    unit: String,
    pack: String,
    needed_for: Vec<ForPhase>,
    quote: bool,
    /// Of one Unit, as text.
    quoted_price: Option<String>,
}

#[derive(Debug, Serialize)]
struct ForPhase {
    phase: &'static str,
    quantity: String,
}

impl OrderDocument {
    pub(crate) fn new(input: &str, findings: &[Finding]) -> Self {
        Self {
            form: FORM,
            input: input.to_owned(),
            error: None,
            order_number: None,
            orders: Vec::new(),
            findings: json::objects(input, findings),
        }
    }

    /// Adds the orders, and where each went.
    pub(crate) fn orders(&mut self, job: &Job, orders: &Orders, files: &[Files]) {
        self.order_number = some(job.text(Setting::OrderNumber).trim());
        self.orders = orders.orders.iter().zip(files).map(|(order, files)| one(order, files)).collect();
    }
}

fn some(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}

fn one(order: &Order, files: &Files) -> OneOrder {
    OneOrder {
        supplier: order.supplier.as_deref().map(str::to_owned),
        number: some(&order.number),
        revises: some(&order.revises),
        phases: order.phases.iter().map(|phase| phase.word()).collect(),
        workbook: files.workbook.display().to_string(),
        csv: files.csv.display().to_string(),
        lines: order.lines.iter().map(line).collect(),
    }
}

fn line(line: &OrderLine) -> Line {
    let each = line.needed_for.iter();
    Line {
        line: line.key.to_string(),
        group: line.group.to_string(),
        item: line.item.clone(),
        kind: line.key.kind.clone(),
        material: some(&line.key.material),
        size: some(&line.size),
        part: some(&line.part),
        quantity: line.quantity.normalize().to_string(),
        unit: line.unit.clone(),
        pack: line.pack.normalize().to_string(),
        needed_for: each
            .map(|(phase, count)| ForPhase { phase: phase.word(), quantity: count.normalize().to_string() })
            .collect(),
        quote: line.quote,
        quoted_price: line.quoted.map(|price| price.normalize().to_string()),
    }
}
