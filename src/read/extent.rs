//! How far the cells of a part reach, found from its tags before any reader makes room for them: a file of 5 KB can ask
//! for a table of a trillion cells, a list of 99,999,999 formulas or a gigabyte of spaces.

use super::tags::{Kind, Tag, Tags};
use crate::finding::Finding;
use crate::place::{LAST_COLUMN, LAST_ROW};
use crate::read::findings::file::{DamagedFile, OversizeFile};
use std::collections::BTreeSet;

/// The last row and column (counted from 1) that a filled cell may stand in, and how many cells a table may span.
const ROWS: u64 = 200_000;
const COLUMNS: u64 = 512;
const AREA: u64 = 5_000_000;
/// Highest number of a shared formula; what shared formulas and repeated cells may come to when written out, in bytes.
const SHARED_FORMULAS: u64 = 100_000;
const WRITTEN_OUT: u64 = 128_000_000;
/// Texts a workbook may announce, cell formats it may declare, bytes a name in its styles may have.
const SHARED_TEXTS: u64 = 5_000_000;
const CELL_FORMATS: u64 = 70_000;
const STYLE_NAME: usize = 4_096;
/// Numbers are held below this, so that nothing overflows.
const CEILING: u64 = 1 << 40;

/// Cells `rows` x `columns` of the table counted from 0 in the file's order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    pub table: usize,
    pub rows: std::ops::Range<u64>,
    pub columns: std::ops::Range<u64>,
}

/// What the walk saw that the readers do not tell.
#[derive(Debug, Default)]
pub(super) struct Marks {
    /// Some sheet merges cells.
    pub merged: bool,
    /// Some sheet holds formulas.
    pub formulas: bool,
    /// Cells (of any sheet) whose formula is an array formula: it means something else when written as a plain one.
    pub arrays: BTreeSet<(u32, u16)>,
    /// .ods cells shown as percents.
    pub percents: Vec<Block>,
}

/// Where the walk stands in a part, and how far the table at hand reaches.
#[derive(Default)]
struct Walk {
    row: u64,
    column: u64,
    /// .ods: how often the row at hand is repeated, and the start and repeats of the cell at hand.
    row_repeats: u64,
    cell: Option<(usize, u64)>,
    tables: usize,
    last_row: u64,
    last_column: u64,
    area: u64,
    written_out: u64,
    longest_formula: u64,
    spaces: u64,
    formats: u64,
}

/// Walks one part; `strict` demands tags that close in order. Refuses what reaches too far.
pub(super) fn walk(part: &[u8], strict: bool, marks: &mut Marks) -> Result<(), Box<Finding>> {
    let mut at = Walk { row_repeats: 1, ..Walk::default() };
    let mut tags = Tags::new(part, strict);
    let damaged = |detail: &str| Box::<Finding>::from(DamagedFile { detail: detail.to_owned() });
    while let Some(tag) = tags.next().map_err(damaged)? {
        match (tag.local(), tag.kind) {
            (b"row", Kind::Open | Kind::Empty) => at.sheet_row(&tag),
            (b"c", Kind::Open | Kind::Empty) => at.sheet_cell(&tag)?,
            (b"f", Kind::Open | Kind::Empty) => at.formula(&tag, part, marks)?,
            (b"mergeCell", _) => marks.merged = true,
            (b"sst", Kind::Open) => {
                let count = tag.attribute(b"uniqueCount").map_or(0, number);
                limit("texts", count, SHARED_TEXTS)?;
            }
            (b"xf", Kind::Open | Kind::Empty) => {
                at.formats += 1;
                limit("cell formats", at.formats, CELL_FORMATS)?;
            }
            (b"name" | b"numFmt" | b"scheme", Kind::Open | Kind::Empty) if tag.end - tag.start > STYLE_NAME => {
                return Err(damaged("a name in its styles is too long"));
            }
            (b"table", Kind::Open) => at.begin_table(),
            (b"table", Kind::Close) => at.end_table()?,
            (b"table-row", Kind::Open | Kind::Empty) => {
                at.row_repeats = repeats(&tag, b"number-rows-repeated")?;
                at.column = 0;
                if tag.kind == Kind::Empty {
                    at.row += at.row_repeats;
                }
            }
            (b"table-row", Kind::Close) => at.row = (at.row + at.row_repeats).min(CEILING),
            (b"table-cell" | b"covered-table-cell", Kind::Open | Kind::Empty) => at.table_cell(&tag, marks)?,
            (b"table-cell" | b"covered-table-cell", Kind::Close) => at.end_cell(tag.end)?,
            (b"s", Kind::Open | Kind::Empty) if tag.name == b"text:s" => {
                at.spaces += repeats(&tag, b"c")?;
                limit("spaces", at.spaces, 1_000_000)?;
            }
            _ => (),
        }
    }
    at.end_table()
}

impl Walk {
    fn sheet_row(&mut self, tag: &Tag) {
        self.row = match tag.attribute(b"r") {
            Some(r) => address(r).0,
            None => self.row + 1,
        };
        self.column = 0;
    }

    /// A cell of an .xlsx sheet. Readers take its own address, or the next column of its row.
    fn sheet_cell(&mut self, tag: &Tag) -> Result<(), Box<Finding>> {
        let (mut row, mut column) = (0, 0);
        // Every attribute of that name counts: which of two a reader takes is its own affair.
        for (_, value) in tag.attributes().filter(|(name, _)| *name == b"r") {
            let (r, c) = address(value);
            (row, column) = (row.max(r), column.max(c));
        }
        self.column = if column > 0 { column } else { self.column + 1 };
        self.row = if row > 0 { row } else { self.row.max(1) };
        limit("rows", self.row, u64::from(LAST_ROW) + 1)?;
        limit("columns", self.column, u64::from(LAST_COLUMN) + 1)?;
        // An empty cell that only carries a format asks for no room.
        if tag.kind == Kind::Open { self.reach(self.row, self.column) } else { Ok(()) }
    }

    fn formula(&mut self, tag: &Tag, part: &[u8], marks: &mut Marks) -> Result<(), Box<Finding>> {
        marks.formulas = true;
        if let Some(index) = tag.attribute(b"si") {
            limit("shared formulas", number(index), SHARED_FORMULAS)?;
            let length = memchr::memchr(b'<', &part[tag.end..]).unwrap_or(0) as u64;
            self.longest_formula = self.longest_formula.max(length);
            self.written_out += self.longest_formula;
            limit("bytes of formulas", self.written_out, WRITTEN_OUT)?;
        }
        if matches!(tag.attribute(b"t"), Some(b"array" | b"dataTable")) && self.row > 0 && self.column > 0 {
            // Both were held to the sheet when the cell was met.
            marks.arrays.insert(((self.row - 1) as u32, (self.column - 1) as u16));
        }
        Ok(())
    }

    fn begin_table(&mut self) {
        (self.row, self.column, self.row_repeats) = (0, 0, 1);
    }

    fn end_table(&mut self) -> Result<(), Box<Finding>> {
        self.area += self.last_row * self.last_column;
        (self.last_row, self.last_column, self.cell) = (0, 0, None);
        self.tables += 1;
        limit("cells", self.area, AREA)
    }

    /// A cell of an .ods table. It takes room when it holds anything, as often as it is repeated.
    fn table_cell(&mut self, tag: &Tag, marks: &mut Marks) -> Result<(), Box<Finding>> {
        let times = repeats(tag, b"number-columns-repeated")?;
        let first = self.column;
        self.column = (self.column + times).min(CEILING);
        let filled = tag
            .attributes()
            .any(|(name, _)| matches!(name, b"value-type" | b"value" | b"formula") || name.ends_with(b"-value"));
        if !filled {
            return Ok(());
        }
        self.reach(self.row + self.row_repeats, self.column)?;
        if tag.attribute(b"value-type") == Some(b"percentage") {
            let rows = self.row..self.row + self.row_repeats;
            marks.percents.push(Block { table: self.tables, rows, columns: first..self.column });
        }
        self.cell = Some((tag.start, times * self.row_repeats));
        if tag.kind == Kind::Empty { self.end_cell(tag.end) } else { Ok(()) }
    }

    fn end_cell(&mut self, end: usize) -> Result<(), Box<Finding>> {
        if let Some((start, times)) = self.cell.take() {
            self.written_out = self.written_out.saturating_add(times.saturating_mul((end - start) as u64));
        }
        limit("bytes of repeated cells", self.written_out, WRITTEN_OUT)
    }

    fn reach(&mut self, row: u64, column: u64) -> Result<(), Box<Finding>> {
        self.last_row = self.last_row.max(row);
        self.last_column = self.last_column.max(column);
        limit("rows", self.last_row, ROWS)?;
        limit("columns", self.last_column, COLUMNS)?;
        limit("cells", self.last_row * self.last_column, AREA)
    }
}

fn limit(what: &'static str, found: u64, limit: u64) -> Result<(), Box<Finding>> {
    if found > limit { Err(OversizeFile { what, found, limit }.into()) } else { Ok(()) }
}

/// Row and column of `B12`, counted from 1; 0 where the part is missing. Never more than [`CEILING`].
fn address(bytes: &[u8]) -> (u64, u64) {
    let (mut row, mut column) = (0u64, 0u64);
    for byte in bytes {
        match byte {
            b'0'..=b'9' => row = (row * 10 + u64::from(byte - b'0')).min(CEILING),
            b'A'..=b'Z' | b'a'..=b'z' => {
                column = (column * 26 + u64::from(byte.to_ascii_uppercase() - b'A') + 1).min(CEILING);
            }
            _ => (),
        }
    }
    (row, column)
}

fn number(bytes: &[u8]) -> u64 {
    address(bytes).0
}

/// A repeat count, 1 when there is none. One that is not written in plain digits is refused: readers would differ.
fn repeats(tag: &Tag, name: &[u8]) -> Result<u64, Box<Finding>> {
    let mut most = 1;
    for (_, value) in tag.attributes().filter(|(n, _)| *n == name) {
        let count: u64 = std::str::from_utf8(value)
            .ok()
            .and_then(|text| text.parse().ok())
            .ok_or_else(|| DamagedFile { detail: "a repeat count is not a number".to_owned() })?;
        most = most.max(count.min(CEILING));
    }
    // No program has more rows or columns than this, so a longer repeat says nothing more.
    Ok(most.min(u64::from(LAST_ROW) + 1))
}
