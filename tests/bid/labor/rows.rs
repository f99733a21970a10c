//! The rows of the Hours sheet as figures.

use rust_decimal::Decimal;
use tallybore::figure::{Block, Book};

/// One task of a bid that has anything to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub task: String,
    pub phase: String,
    pub lies: String,
    pub by: String,
    pub quantity: Decimal,
    pub each: Decimal,
    pub factor: Decimal,
    pub hours: Decimal,
    pub from: String,
}

/// The tasks of a bid, those that stand at nothing left out.
pub fn tasks(book: &Book) -> Vec<Row> {
    let all = cells(book, "Hours", "Hours by task");
    let number = |text: &str| text.parse().unwrap_or_default();
    all.into_iter()
        .map(|cells| Row {
            task: cells[0].clone(),
            phase: cells[1].clone(),
            lies: cells[2].clone(),
            by: cells[3].clone(),
            quantity: number(&cells[5]),
            each: number(&cells[6]),
            factor: number(&cells[7]),
            hours: number(&cells[8]),
            from: cells[9].clone(),
        })
        .filter(|row| !row.quantity.is_zero())
        .collect()
}

/// The cells of a table, row by row.
pub fn cells(book: &Book, sheet: &str, title: &str) -> Vec<Vec<String>> {
    let sheet = book.sheets().iter().find(|own| &*own.name == sheet).unwrap();
    let tables = sheet.blocks.iter().filter_map(|block| match block {
        Block::Table(table) => Some(*table),
        _ => None,
    });
    let table = tables.into_iter().find(|table| &*book.table_spec(*table).title == title).unwrap();
    let spec = book.table_spec(table);
    let text = |row: u32, column: usize| {
        let cell = book.cell_at(table, row, column as u16);
        cell.map(|fig| book.value(fig).to_string()).unwrap_or_default()
    };
    (0..spec.rows).map(|row| (0..spec.columns.len()).map(|column| text(row, column)).collect()).collect()
}

/// The only task of this name.
pub fn task<'a>(rows: &'a [Row], name: &str) -> &'a Row {
    let found: Vec<_> = rows.iter().filter(|row| row.task == name).collect();
    assert_eq!(found.len(), 1, "{name}: {found:?} of {rows:#?}");
    found[0]
}
