//! Orders: what is bought, as one order for each supplier, fit to be filled in at a counter.
//!
//! In: the job, the rule tables, the take-off, the purchases. Out: [`Orders`]: for each supplier the lines, and a book with
//! the sheet they stand on; and findings. Never: hours, markups, or a price that is not this supplier's own.
//!
//! # The form
//! What a program may rely on when it reads an order back is declared in [`crate::model::order_form`]: the sheet `Order`,
//! the document property `tallybore-order` (the version of the form) and those beside it (order number, job, revision,
//! supplier, phases), the labels of the head, the headings of the lines, which cells the supplier fills, and the key of a
//! line. In short:
//!
//! - *A line* is one row of Prices of which something is bought (or, with a color for each water, that much of it for cold
//!   or for hot); or a thing that the job needs and nobody has priced, whose state is `quote`.
//! - *Its key* is `kind|material|sizes|unit pack`, then `|cold` or `|hot` where pipe has a color for each, then `|no. 2` where
//!   a supplier has a second row for the same thing in the same packs. Keys do not depend on prices.
//! - *Filled by the supplier:* in the head Quoted by, Quote date, Quote valid until, Delivery or trip charge; in a line Price of one
//!   Unit, Available, Substitute part no., Remark. All other cells are locked.
//! - *The same lines as CSV* stand in a file of the same name beside the workbook, the same headings with Order number and
//!   Supplier before them.

mod ask;
mod csv_rows;
pub(crate) mod findings;
mod lines;
mod need;
mod numbers;
mod order_sheet;
mod phases;
mod words;

pub use csv_rows::csv_rows;
pub(crate) use lines::rows_selling;
pub(crate) use numbers::is_of as is_order_number_of;
pub(crate) use order_sheet::pack_words;
pub(crate) use words::{plain, supplier_key};

use crate::figure::{Book, Term};
use crate::finding::{Finding, nearest};
use crate::model::order_form::{ANY_SUPPLIER, LineKey};
use crate::model::{Job, Phase, Setting};
use crate::order::findings::{
    NothingToOrder, OrderAsksForQuotes, OrderShort, OrderWithoutAddress, OrderWithoutContact, OrderWithoutNumber,
    OrderWithoutSupplier, QuotesFromNobody,
};
use crate::rules::Rules;
use crate::takeoff::TakeOff;
use order_sheet::paper;
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::sync::Arc;

/// What every file of this stage works from.
pub(crate) struct Context<'a> {
    pub job: &'a Job,
    pub rules: &'a Rules,
    pub take_off: &'a TakeOff,
    pub purchases: &'a crate::buy::Purchases,
    /// The phases to order for, in their order; empty for all.
    pub phases: &'a [Phase],
    /// An order for each phase by itself.
    pub by_phase: bool,
    /// Every supplier is asked for the price of everything, and nothing is ordered.
    pub ask: bool,
}

/// What the stage hands on: orders by supplier, then by phase.
#[derive(Debug)]
pub struct Orders {
    /// At most one for each supplier, or for each supplier and phase.
    pub orders: Vec<Order>,
}

/// One order of one supplier.
#[derive(Debug)]
pub struct Order {
    /// `None` where Prices names nobody.
    pub supplier: Option<Arc<str>>,
    /// Its own among the orders of the job; empty where the job gives no Order number.
    pub number: String,
    /// The order that it takes the place of, or adds to; empty for a first one.
    pub revises: String,
    /// The phases it is for; empty for all.
    pub phases: Vec<Phase>,
    /// In the order a counter picks.
    pub lines: Vec<OrderLine>,
    /// The sheet.
    pub book: Book,
}

impl Order {
    /// Its name, or [`ANY_SUPPLIER`].
    pub fn supplier_name(&self) -> &str {
        self.supplier.as_deref().unwrap_or(ANY_SUPPLIER)
    }

    /// `Purchase order H-14-P-1, underground: Stenvik Yard`: what tells it from the other orders of the job.
    pub fn title(&self) -> String {
        let words = [&*self.number].into_iter().filter(|word| !word.is_empty());
        let words: Vec<&str> = words.chain(self.phases.iter().map(|phase| phase.word())).collect();
        let what = if self.asks_only() { "Request for quote (RFQ)" } else { "Purchase order" };
        format!("{}: {}", format!("{what} {}", words.join(", ")).trim_end(), self.supplier_name())
    }

    /// Whether it orders nothing.
    pub fn asks_only(&self) -> bool {
        self.quotes() == self.lines.len()
    }

    /// How many of its lines ask for a price.
    pub fn quotes(&self) -> usize {
        self.lines.iter().filter(|line| line.quote).count()
    }
}

/// One line of an order.
#[derive(Debug, Clone)]
pub struct OrderLine {
    pub key: LineKey,
    /// Where a counter finds it.
    pub group: Arc<str>,
    /// What it is, in the trade's words.
    pub item: String,
    /// `3/4" x 1/2" x 1/2"`
    pub size: String,
    pub part: String,
    /// Whole Units.
    pub quantity: Decimal,
    pub unit: String,
    /// Feet or pieces in one Unit.
    pub pack: Decimal,
    /// Counted in feet.
    pub feet: bool,
    /// How many Units each phase needs first; phases without any left out.
    pub needed_for: Vec<(Phase, Decimal)>,
    /// Asked for, not ordered.
    pub quote: bool,
    /// The price of one Unit that it is ordered at, before tax.
    pub quoted: Option<Decimal>,
    /// Index into the take-off's lines.
    pub line: usize,
    /// Index into the job's prices; `None` where no row has it.
    pub price: Option<usize>,
}

impl OrderLine {
    /// What it comes to at the quoted price.
    pub fn extension(&self) -> Option<Decimal> {
        Some((Term::number(self.quantity) * Term::number(self.quoted?)).cents().value().as_decimal()?.normalize())
    }
}

/// The whole stage.
pub(crate) fn order(context: &Context) -> (Orders, Vec<Finding>) {
    let mut findings = Vec::new();
    let needs = need::needs(context);
    let lists = match context.ask {
        true => ask::lists(context, lines::lists(context, &needs)),
        false => lines::lists(context, &needs),
    };
    let needed_in = |phase: &Phase| needs.iter().any(|need| !need.by_phase[*phase as usize].is_zero());
    let earliest = Phase::ALL.into_iter().find(needed_in);
    let mut orders = Vec::new();
    for list in &lists {
        for phases in spans(context) {
            let lines = lines::for_phases(context, list, &phases);
            if lines.is_empty() {
                continue;
            }
            let supplier = list.supplier.clone();
            let number = numbers::of(context.job, supplier.as_deref(), &phases);
            let revises = numbers::revises(context.job, supplier.as_deref(), &number, &lines);
            let mut order = Order { supplier, number, revises, phases, lines, book: Book::new() };
            let begins = order.phases.is_empty() || earliest.is_some_and(|phase| order.phases.contains(&phase));
            order.book = paper(context.job, &order, begins);
            orders.push(order);
        }
    }
    find(context, &needs, &orders, &mut findings);
    (Orders { orders }, findings)
}

/// For which phases each order of a supplier is; an empty one is for all.
fn spans(context: &Context) -> Vec<Vec<Phase>> {
    match (context.by_phase, context.phases) {
        (false, phases) => vec![phases.to_vec()],
        (true, []) => Phase::ALL.iter().map(|phase| vec![*phase]).collect(),
        (true, phases) => phases.iter().map(|phase| vec![*phase]).collect(),
    }
}

/// What there is to say of the orders, beyond what pricing said.
fn find(context: &Context, needs: &[need::Need], orders: &[Order], findings: &mut Vec<Finding>) {
    let job = context.job;
    if orders.is_empty() {
        let phases = context.phases.iter().map(|phase| phase.word()).collect::<Vec<_>>().join(", ");
        findings.push(Finding::everywhere(NothingToOrder { phases }));
    }
    short(context, findings);
    if orders.is_empty() {
        return;
    }
    if job.text(Setting::OrderNumber).trim().is_empty() {
        findings.push(Finding::everywhere(OrderWithoutNumber {}));
    }
    if job.text(Setting::DeliverTo).trim().is_empty() && job.text(Setting::Site).trim().is_empty() {
        findings.push(Finding::everywhere(OrderWithoutAddress {}));
    }
    if job.text(Setting::DeliverContact).trim().is_empty() {
        findings.push(Finding::everywhere(OrderWithoutContact {}));
    }
    let mut nameless: Vec<usize> = orders
        .iter()
        .filter(|order| order.supplier.is_none())
        .flat_map(|order| order.lines.iter().filter(|line| !line.quote).filter_map(|line| line.price))
        .collect();
    nameless.sort_unstable();
    nameless.dedup();
    if !nameless.is_empty() {
        findings.push(Finding::everywhere(OrderWithoutSupplier { offers: nameless.len() }));
    }
    let asked: BTreeSet<(usize, &str)> =
        needs.iter().filter(|need| need.quote).map(|need| (need.line, need.water)).collect();
    let mut suppliers: Vec<String> =
        orders.iter().filter(|order| order.quotes() > 0).map(|order| order.supplier_name().to_owned()).collect();
    suppliers.dedup();
    if !suppliers.is_empty() && !context.ask {
        findings.push(Finding::everywhere(OrderAsksForQuotes { things: asked.len(), suppliers }));
    }
    let from = plain(&job.text(Setting::QuotesFrom));
    let known = |name: &str| supplier_key(name) == supplier_key(&from);
    let suppliers: Vec<Arc<str>> = job.prices.iter().filter_map(|price| price.supplier.get()).collect();
    if !from.is_empty() && !suppliers.iter().any(|name| known(name)) {
        let nearest = nearest(&from, suppliers.iter().map(|name| &**name)).map(str::to_owned);
        let place = job.settings.get(&Setting::QuotesFrom).and_then(|field| field.cell.as_ref());
        findings.push(Finding::near(place, QuotesFromNobody { supplier: from, nearest }));
    }
}

/// What the choices of a bid, held, no longer cover.
fn short(context: &Context, findings: &mut Vec<Finding>) {
    for pipe in context.purchases.pipes.iter().filter(|pipe| !pipe.short.is_empty()) {
        let feet: Decimal = pipe.short.iter().map(|(_, feet)| *feet).sum();
        let name = |(run, _): &(usize, Decimal)| &*context.take_off.parts.runs[*run].name.value;
        let runs: Vec<&str> = pipe.short.iter().map(name).collect();
        let item = format!("pipe {} {} {}", pipe.material, pipe.size, pipe.water).trim_end().to_owned();
        let short = format!("{} ft ({})", feet.round_dp(2).normalize(), runs.join(", "));
        findings.push(Finding::everywhere(OrderShort { item, short }));
    }
    for bought in &context.purchases.lines {
        let line = &context.take_off.lines[bought.line];
        // Pipe goes by its runs; what nobody offers is asked for instead.
        let offered = context.purchases.packs.iter().any(|pack| pack.line == bought.line);
        let left = bought.left.value().as_decimal().unwrap_or_default();
        if line.item.kind != "pipe" && offered && left < Decimal::ZERO {
            let unit = if line.feet { "ft" } else { "each" };
            let short = format!("{} {unit}", (-left).round_dp(2).normalize());
            findings.push(Finding::everywhere(OrderShort { item: line.item.text(), short }));
        }
    }
}
