//! The lines of the take-off: sums over the Counts sheet by item and phase, waste, and what is on hand.

use super::counts::CountColumns;
use super::{Context, Count, Item, TakeOff, matches_item};
use crate::figure::{Book, CellKind, ColumnId, RowId, TableId, Term};
use crate::model::{Phase, Setting};
use crate::size::unit_costs::ring_kind;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// One line: so much of one thing.
#[derive(Debug)]
pub struct Line {
    pub item: Item,
    /// The line's name: the item's key.
    pub key: Term,
    /// True for feet, false for pieces.
    pub feet: bool,
    /// What each phase needs, waste included; `None` where no piece of any phase's could fall on the line.
    pub by_phase: [Option<Term>; 4],
    /// All phases together.
    pub needed: Term,
    pub on_hand: Term,
    /// Needed less on hand, never under 0.
    pub to_buy: Term,
    /// Nothing of it is needed at the sizes as they now are.
    pub idle: bool,
}

/// Under a table with folded rows.
pub const FOLDED: &str = "Lines that stand at nothing are folded away above; open the group at the left edge to see \
     what other sizes would need.";

struct Columns {
    line: ColumnId,
    unit: ColumnId,
    phases: [ColumnId; 4],
    waste: ColumnId,
    needed: ColumnId,
    on_hand: ColumnId,
    to_buy: ColumnId,
}

/// Items by the order of the lines: what is needed first, then what is priced and could be needed at other sizes.
fn items(context: &Context, counts: &[Count]) -> (Vec<Item>, Vec<Item>) {
    let mut needed: BTreeMap<_, Item> = BTreeMap::new();
    let mut idle: BTreeMap<_, Item> = BTreeMap::new();
    for count in counts {
        if count.quantity.value().as_f64() != 0.0 {
            needed.insert(count.item.rank(), count.item.clone());
        } else if !count.item.is_sized() {
            idle.insert(count.item.rank(), count.item.clone());
        }
    }
    let ring = ring_kind(context.job);
    for count in counts.iter().filter(|c| c.quantity.value().as_f64() != 0.0) {
        for end in &count.ends {
            let end = end.value().to_string();
            if let Some(size) = end.strip_prefix("PEX ").and_then(crate::model::Size::parse) {
                let item = Item::new(ring, "PEX", &[size]);
                needed.insert(item.rank(), item);
            }
        }
    }
    let materials: BTreeSet<&str> =
        (0..context.network.len()).filter(|p| context.is_new(*p)).map(|p| &*context.sizes.materials[p]).collect();
    for price in &context.job.prices {
        let sizes = price.sizes.get().unwrap_or_default();
        // A row without a material offers the thing for every one.
        let own = price.material.as_ref().map(|m| &**m).filter(|m| !m.trim().is_empty());
        let own = own.map(|m| context.rules.canonical_material(m).unwrap_or_default());
        for material in materials.iter().filter(|material| own.is_none_or(|own| own == **material)) {
            let Some(item) = Item::offered(&price.kind.value, material, &sizes) else { continue };
            if (!is_ring(&item.kind) || (item.kind == ring && *material == "PEX")) && !needed.contains_key(&item.rank())
            {
                idle.insert(item.rank(), item);
            }
        }
        // Neither does what is one thing for pipe of any material ask whose it is.
        if let Some(item) = Item::offered(&price.kind.value, "", &sizes).filter(Item::is_of_any_material)
            && !needed.contains_key(&item.rank())
        {
            idle.insert(item.rank(), item);
        }
    }
    idle.retain(|rank, _| !needed.contains_key(rank));
    (needed.into_values().collect(), idle.into_values().collect())
}

fn is_ring(kind: &str) -> bool {
    matches!(kind, "ring" | "clamp" | "sleeve")
}

pub(super) fn lines(book: &mut Book, context: &Context, counts: &[Count], columns: CountColumns) -> TakeOff {
    let (needed, idle) = items(context, counts);
    let phases: Vec<Phase> = Phase::ALL.into_iter().filter(|phase| counts.iter().any(|c| c.phase == *phase)).collect();
    let pipe_phases: Vec<Phase> = Phase::ALL
        .into_iter()
        .filter(|phase| counts.iter().any(|c| c.phase == *phase && c.item.kind == "pipe"))
        .collect();
    let table = book.table(context.takeoff, "What the job needs");
    let table_columns = put_columns(book, table);
    let mut lines = Vec::new();
    for (item, is_idle) in needed.into_iter().map(|i| (i, false)).chain(idle.into_iter().map(|i| (i, true))) {
        let row = book.row(table);
        if is_idle {
            book.mark(row, CellKind::Idle);
        }
        let fitting_phases = if item.is_sized() { &pipe_phases } else { &phases };
        lines.push(line(book, context, &columns, &table_columns, row, item, fitting_phases, counts, is_idle));
    }
    if lines.iter().any(|line| line.idle) {
        book.words(context.takeoff, crate::figure::Look::Small, FOLDED);
    }
    let pipe_keys = lines
        .iter()
        .filter(|line| line.item.kind == "pipe")
        .filter_map(|line| line.item.text().strip_prefix("pipe ").map(str::to_owned))
        .collect();
    TakeOff { lines, counts: columns, pipe_keys, pipe_phases, choice_check: None }
}

fn put_columns(book: &mut Book, table: TableId) -> Columns {
    Columns {
        line: book.column_like(table, "Line", Unit::None, 36.0, CellKind::Plain),
        unit: book.column(table, "Unit", Unit::None),
        phases: Phase::ALL.map(|phase| book.column(table, phase.title(), Unit::Quantity)),
        waste: book.column(table, "Waste", Unit::Percent),
        needed: book.column(table, "Needed", Unit::Quantity),
        on_hand: book.column(table, "On hand", Unit::Quantity),
        to_buy: book.column(table, "To buy", Unit::Quantity),
    }
}

#[allow(clippy::too_many_arguments)]
fn line(
    book: &mut Book,
    context: &Context,
    counts_columns: &CountColumns,
    columns: &Columns,
    row: RowId,
    item: Item,
    phases: &[Phase],
    counts: &[Count],
    idle: bool,
) -> Line {
    let feet = item.is_feet();
    let key = book.label(row, columns.line, &item.text());
    book.label(row, columns.unit, if feet { "ft" } else { "each" });
    let waste = (item.kind == "pipe").then(|| book.put(row, columns.waste, context.settings.get(Setting::Waste)));
    let mut by_phase: [Option<Term>; 4] = Default::default();
    for (index, phase) in Phase::ALL.into_iter().enumerate() {
        if !phases.contains(&phase) {
            continue;
        }
        let quantity = if is_ring(&item.kind) {
            let pipe_key = Term::text(item.text().trim_start_matches(&item.kind).trim().to_owned());
            counts_columns.ends_joined(&pipe_key, phase)
        } else if !item.is_sized() && !counts.iter().any(|c| c.phase == phase && c.item == item) {
            continue;
        } else {
            counts_columns.needed(&key, phase)
        };
        // Feet are bought with their waste, to the hundredth of a foot.
        let quantity = match &waste {
            Some(waste) => (quantity * (Term::number(1) + waste)).round(2),
            None => quantity,
        };
        by_phase[index] = Some(book.put(row, columns.phases[index], quantity));
    }
    let present: Vec<&Term> = by_phase.iter().flatten().collect();
    let count_unit = if feet { Unit::Feet } else { Unit::Each };
    present.iter().for_each(|term| book.unit(term, count_unit));
    let needed = book.put(row, columns.needed, Term::total(&present));
    let mut stock: Vec<Term> = Vec::new();
    for have in &context.job.on_hand {
        let sizes = have.sizes.get().unwrap_or_default();
        if matches_item(context.rules, &item, &have.kind.value, have.material.as_ref().map(|m| &**m), &sizes) {
            stock.push(book.number_input(&have.quantity, Decimal::ZERO));
        }
    }
    let stock: Vec<&Term> = stock.iter().collect();
    let zero = Term::number(0);
    let (on_hand, to_buy) = if stock.is_empty() {
        (zero, book.put(row, columns.to_buy, needed.clone()))
    } else {
        let on_hand = book.put(row, columns.on_hand, Term::total(&stock));
        let to_buy = book.put(row, columns.to_buy, (&needed - &on_hand).max(&zero));
        (on_hand, to_buy)
    };
    [&needed, &on_hand, &to_buy].iter().for_each(|term| book.unit(term, count_unit));
    Line { item, key, feet, by_phase, needed, on_hand, to_buy, idle }
}
