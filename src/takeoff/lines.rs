//! The lines of the take-off: sums over the Counts sheet by item and phase, waste, and what is on hand.

use super::counts::CountColumns;
use super::{Context, Count, Item, TakeOff, bought, matches_item};
use crate::figure::{Book, CellKind, ColumnId, RowId, TableId, Term};
use crate::model::{Phase, Setting, Size};
use crate::rules::matches_kind;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

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
    /// What is bought already, in feet or pieces; `None` where nobody has bought anything yet.
    pub bought: Option<Term>,
    /// The rows of Prices (indices) that it was bought by.
    pub bought_by: Vec<usize>,
    /// Needed less on hand and less bought, never under 0.
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
    bought: Option<ColumnId>,
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
    let ring = context.ring_kind();
    for count in counts.iter().filter(|c| c.quantity.value().as_f64() != 0.0) {
        for end in &count.ends {
            let end = end.value().to_string();
            if let Some(size) = end.strip_prefix("PEX ").and_then(crate::model::Size::parse) {
                let item = Item::new(ring, "PEX", &[size]);
                needed.insert(item.rank(), item);
            }
        }
    }
    let materials: Vec<&str> =
        (0..context.network.len()).filter(|p| context.is_new(*p)).map(|p| &*context.sizes.materials[p]).collect();
    for price in &context.job.prices {
        let sizes = larger_first(price.sizes.get().unwrap_or_default(), &price.kind.value);
        let material = price.material.as_ref().and_then(|m| context.rules.canonical_material(m)).unwrap_or_default();
        let kind = crate::rules::SIZED_KINDS.iter().find(|kind| {
            let item = Item::new(kind, "", &sizes);
            matches_item(context.rules, &item, &price.kind.value, None, &sizes)
        });
        let Some(kind) = kind.filter(|kind| !sizes.is_empty() && (!is_ring(kind) || **kind == ring)) else { continue };
        let without_material = matches!(*kind, "support" | "pipe insulation");
        let item = match (without_material, material.is_empty()) {
            (true, _) => Item::new(kind, "", &sizes),
            (false, false) => Item::new(kind, material, &sizes),
            (false, true) => continue,
        };
        let useful = without_material || materials.contains(&&*item.material);
        if useful && !needed.contains_key(&item.rank()) {
            idle.insert(item.rank(), item);
        }
    }
    idle.retain(|rank, _| !needed.contains_key(rank));
    (needed.into_values().collect(), idle.into_values().collect())
}

/// The sizes of a tee or a reducer as the take-off names them: the larger end of the run first.
fn larger_first(mut sizes: Vec<Size>, kind: &str) -> Vec<Size> {
    let turns = ["tee", "reducer"].iter().any(|turning| matches_kind(kind, turning));
    if let (true, [a, b, ..]) = (turns, sizes.as_mut_slice())
        && *a < *b
    {
        std::mem::swap(a, b);
    }
    sizes
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
    let bought = bought::by_line(context, &needed.iter().chain(&idle).collect::<Vec<_>>());
    let table = book.table(context.takeoff, "What the job needs");
    let table_columns = put_columns(book, table, bought.iter().any(|rows| !rows.is_empty()));
    let mut lines = Vec::new();
    let items = needed.into_iter().map(|i| (i, false)).chain(idle.into_iter().map(|i| (i, true)));
    for ((item, is_idle), bought_by) in items.zip(bought) {
        let row = book.row(table);
        if is_idle {
            book.mark(row, CellKind::Idle);
        }
        let fitting_phases = if item.is_sized() { &pipe_phases } else { &phases };
        lines.push(line(
            book,
            context,
            &columns,
            &table_columns,
            row,
            item,
            fitting_phases,
            counts,
            is_idle,
            bought_by,
        ));
    }
    if lines.iter().any(|line| line.idle) {
        book.words(context.takeoff, crate::figure::Look::Small, FOLDED);
    }
    let pipe_keys = lines
        .iter()
        .filter(|line| line.item.kind == "pipe")
        .filter_map(|line| line.item.text().strip_prefix("pipe ").map(str::to_owned))
        .collect();
    TakeOff { lines, counts: columns, pipe_keys, pipe_phases }
}

fn put_columns(book: &mut Book, table: TableId, bought: bool) -> Columns {
    Columns {
        line: book.column_like(table, "Line", Unit::None, 36.0, CellKind::Plain),
        unit: book.column(table, "Unit", Unit::None),
        phases: Phase::ALL.map(|phase| book.column(table, phase.title(), Unit::Quantity)),
        waste: book.column(table, "Waste", Unit::Percent),
        needed: book.column(table, "Needed", Unit::Quantity),
        on_hand: book.column(table, "On hand", Unit::Quantity),
        bought: bought.then(|| book.column(table, "Bought", Unit::Quantity)),
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
    bought_by: Vec<usize>,
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
    let on_hand = match stock.is_empty() {
        true => Term::number(0),
        false => book.put(row, columns.on_hand, Term::total(&stock)),
    };
    let bought = match (bought::quantity(book, context, &bought_by), columns.bought) {
        (Some(quantity), Some(column)) => Some(book.put(row, column, quantity)),
        _ => None,
    };
    let have: Vec<&Term> = (!stock.is_empty()).then_some(&on_hand).into_iter().chain(&bought).collect();
    let to_buy = match have.is_empty() {
        true => needed.clone(),
        false => have.iter().fold(needed.clone(), |left, have| left - *have).max(&Term::number(0)),
    };
    let to_buy = book.put(row, columns.to_buy, to_buy);
    [&needed, &on_hand, &to_buy].into_iter().chain(&bought).for_each(|term| book.unit(term, count_unit));
    Line { item, key, feet, by_phase, needed, on_hand, bought, bought_by, to_buy, idle }
}
