//! Every formula of a workbook recalculated by a spreadsheet engine that is not ours, and held against the values that
//! were stored with the formulas.

use calamine::{Data, Reader};
use ironcalc::base::Model;
use ironcalc::base::cell::CellValue;
use ironcalc::base::types::{Cell, Worksheet};
use std::fmt;
use std::io::Cursor;
use std::ops::{Deref, DerefMut};
use std::sync::Mutex;

/// A formula whose stored value is not what the other engine makes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// `Sheet!F12`
    pub cell: String,
    pub formula: String,
    pub stored: String,
    pub recalculated: String,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} holds {}, recalculated {}", self.cell, self.formula, self.stored, self.recalculated)
    }
}

/// What a cell holds, as both sides tell it.
#[derive(Debug, Clone, PartialEq)]
pub enum Held {
    Number(f64),
    Text(String),
    Flag(bool),
    Error(String),
}

impl fmt::Display for Held {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(x) => write!(f, "{x}"),
            Self::Text(text) => write!(f, "{text:?}"),
            Self::Flag(flag) => write!(f, "{flag}"),
            Self::Error(name) => f.write_str(name),
        }
    }
}

/// One formula cell: where, its text, the value stored in the file, the value of the other engine.
#[derive(Debug, Clone)]
pub struct Recalculated {
    pub cell: String,
    pub formula: String,
    pub number_format: String,
    pub stored: Held,
    pub fresh: Held,
}

/// Every formula cell of the workbook, recalculated.
pub fn recalculated(bytes: &[u8]) -> Vec<Recalculated> {
    walked(bytes, |_| true).1
}

/// How many formulas a workbook has, and those whose stored value differs: numbers by more than a millionth, money by half
/// a cent or more, texts, truth values and errors at all.
pub fn rechecked(bytes: &[u8]) -> (usize, Vec<Difference>) {
    let (formulas, cells) = walked(bytes, |cell| !agree(&cell.stored, &cell.fresh, &cell.number_format));
    (formulas, differences(cells))
}

/// The formulas whose stored value differs; see [`rechecked`].
pub fn recalculate_in_process(bytes: &[u8]) -> Vec<Difference> {
    rechecked(bytes).1
}

/// The formula cells that are asked for, and how many there are in all. To spell a formula out takes the other engine longer than
/// to read a value, so only those asked for are.
fn walked(bytes: &[u8], asked: impl Fn(&Recalculated) -> bool) -> (usize, Vec<Recalculated>) {
    let book = ironcalc::import::load_from_xlsx_bytes(bytes, "bid", "en", "UTC").expect("the other engine loads it");
    let mut model = Model::from_workbook(book, "en").expect("the other engine understands it");
    model.evaluate();
    let mut stored = calamine::Xlsx::new(Cursor::new(bytes)).expect("a workbook");
    let (mut formulas, mut cells) = (0, Vec::new());
    for (sheet, properties) in (0..).zip(model.get_worksheets_properties()) {
        let values = stored.worksheet_range(&properties.name).expect("the sheet can be read");
        let data = &model.workbook.worksheet(sheet).expect("a sheet").sheet_data;
        for (row, column, cell) in data.cells() {
            if !matches!(*cell, Cell::CellFormula { .. } | Cell::ArrayFormula { .. }) {
                continue;
            }
            formulas += 1;
            let at = (row as u32 - 1, column as u32 - 1);
            let style = model.get_style_for_cell(sheet, row, column).expect("a style");
            let mut cell = Recalculated {
                cell: format!("{}!{}", properties.name, tallybore::place::a1(at.0, at.1 as u16)),
                formula: String::new(),
                number_format: style.num_fmt,
                stored: held_in_file(values.get_value(at)),
                fresh: held_by_engine(model.get_cell_value_by_index(sheet, row, column).expect("a value")),
            };
            if asked(&cell) {
                cell.formula = model.get_cell_formula(sheet, row, column).expect("a cell").expect("a formula");
                cells.push(cell);
            }
        }
    }
    (formulas, cells)
}

/// The same of cells that are recalculated already.
pub fn differences(cells: Vec<Recalculated>) -> Vec<Difference> {
    let differing = cells.into_iter().filter(|cell| !agree(&cell.stored, &cell.fresh, &cell.number_format));
    differing
        .map(|cell| Difference {
            cell: cell.cell,
            formula: cell.formula,
            stored: cell.stored.to_string(),
            recalculated: cell.fresh.to_string(),
        })
        .collect()
}

fn agree(stored: &Held, fresh: &Held, number_format: &str) -> bool {
    match (stored, fresh) {
        (Held::Number(a), Held::Number(b)) => {
            let off = (a - b).abs();
            let money = number_format.contains('$') || number_format.starts_with("#,##0.00");
            off <= 1e-6 * a.abs().max(b.abs()).max(1.0) && (!money || off < 0.005)
        }
        _ => stored == fresh,
    }
}

const ERRORS: &[&str] =
    &["#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#N/IMPL!", "#ERROR!", "#CIRC!"];

fn held_by_engine(value: CellValue) -> Held {
    match value {
        CellValue::None => Held::Text(String::new()),
        CellValue::Number(x) => Held::Number(x),
        CellValue::Boolean(flag) => Held::Flag(flag),
        // The other engine tells errors as texts.
        CellValue::String(text) if ERRORS.contains(&text.as_str()) => Held::Error(text),
        CellValue::String(text) => Held::Text(text),
    }
}

fn held_in_file(value: Option<&Data>) -> Held {
    match value {
        None | Some(Data::Empty) => Held::Text(String::new()),
        Some(Data::Int(n)) => Held::Number(*n as f64),
        Some(Data::Float(x)) => Held::Number(*x),
        Some(Data::Bool(flag)) => Held::Flag(*flag),
        Some(Data::DateTime(date)) => Held::Number(date.as_f64()),
        Some(Data::Error(error)) => Held::Error(error.to_string()),
        Some(other) => Held::Text(other.to_string()),
    }
}

/// The workbook with the value stored in one cell replaced: `<v>` of that cell in the sheet's XML, whose formula stays. `part`
/// is the sheet's file, such as `xl/worksheets/sheet1.xml`.
pub fn with_stored_value(bytes: &[u8], part: &str, cell: &str, value: &str) -> Vec<u8> {
    with_part(bytes, part, |text| {
        let from = text.find(&format!("<c r=\"{cell}\"")).expect("the cell is there");
        let begin = from + text[from..].find("<v>").expect("it holds a value") + 3;
        let end = begin + text[begin..].find("</v>").unwrap();
        format!("{}{value}{}", &text[..begin], &text[end..])
    })
}

/// The workbook with a number typed into one cell: its formula, if it had one, is gone.
pub fn with_number_typed(bytes: &[u8], part: &str, cell: &str, number: &str) -> Vec<u8> {
    with_part(bytes, part, |text| {
        let from = text.find(&format!("<c r=\"{cell}\"")).expect("the cell is there");
        let end = from + text[from..].find("</c>").expect("it holds something");
        let style = text[from..end].split('"').skip_while(|part| !part.ends_with(" s=")).nth(1).unwrap_or("0");
        format!("{}<c r=\"{cell}\" s=\"{style}\"><v>{number}</v>{}", &text[..from], &text[end..])
    })
}

fn with_part(bytes: &[u8], part: &str, edit: impl Fn(&str) -> String) -> Vec<u8> {
    use std::io::{Read, Write};
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let mut planted = false;
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let name = file.name().unwrap().into_owned();
        let mut content = Vec::new();
        file.read_to_end(&mut content).unwrap();
        if name == part {
            content = edit(&String::from_utf8(content).unwrap()).into_bytes();
            planted = true;
        }
        out.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        out.write_all(&content).unwrap();
    }
    assert!(planted, "no part {part}");
    out.finish().unwrap().into_inner()
}

/// A workbook open in the other engine, as somebody with a spreadsheet would have it.
pub struct Open {
    model: Model<'static>,
    /// Its sheets before anything was typed.
    as_written: Vec<Worksheet>,
}

impl Open {
    pub fn of(bytes: &[u8]) -> Self {
        let book =
            ironcalc::import::load_from_xlsx_bytes(bytes, "bid", "en", "UTC").expect("the other engine loads it");
        let model = Model::from_workbook(book, "en").expect("the other engine understands it");
        Self { as_written: model.workbook.worksheets.clone(), model }
    }

    fn at(&self, place: &tallybore::place::Place) -> (u32, i32, i32) {
        let sheets = self.model.get_worksheets_properties();
        let sheet = sheets.iter().position(|sheet| sheet.name == *place.sheet).expect("the sheet is there");
        (sheet as u32, place.row as i32 + 1, i32::from(place.column) + 1)
    }

    /// Types a word or a number over a cell; call [`Open::recalculate`] when all is typed.
    pub fn type_in(&mut self, place: &tallybore::place::Place, words: &str) {
        let (sheet, row, column) = self.at(place);
        if words.is_empty() {
            let sheet = self.model.workbook.worksheet_mut(sheet).expect("a sheet");
            sheet.cell_clear_contents(row, column).expect("a cell");
            return;
        }
        match words.parse::<f64>() {
            Ok(number) => self.model.update_cell_with_number(sheet, row, column, number).expect("a cell"),
            Err(_) => self.model.update_cell_with_text(sheet, row, column, words).expect("a cell"),
        }
    }

    /// Types words that stay words, even those of a number.
    pub fn type_words(&mut self, place: &tallybore::place::Place, words: &str) {
        let (sheet, row, column) = self.at(place);
        self.model.update_cell_with_text(sheet, row, column, words).expect("a cell");
    }

    pub fn recalculate(&mut self) {
        self.model.evaluate();
    }

    pub fn value(&self, place: &tallybore::place::Place) -> Held {
        let (sheet, row, column) = self.at(place);
        held_by_engine(self.model.get_cell_value_by_index(sheet, row, column).expect("a cell"))
    }

    /// The cell that has this name in the workbook.
    pub fn cell_named(&self, name: &str) -> String {
        let known = self.model.workbook.defined_names.iter().find(|known| known.name == name);
        known.unwrap_or_else(|| panic!("no {name}")).formula.trim_start_matches('=').replace('$', "")
    }

    /// The workbook as it was written, whatever was typed since.
    fn take_back(&mut self) {
        self.model.workbook.worksheets.clone_from(&self.as_written);
    }
}

/// One workbook to type many changes into, each into the workbook as it was. To load it takes the other engine longer than
/// to work it out, so that is done once for all of them.
pub struct Shelf {
    bytes: Vec<u8>,
    open: Mutex<Vec<Open>>,
}

/// A workbook from the shelf; it goes back without what was typed.
pub struct Lent<'a> {
    open: Option<Open>,
    shelf: &'a Shelf,
}

impl Shelf {
    pub fn of(bytes: Vec<u8>) -> Self {
        Self { bytes, open: Mutex::default() }
    }

    /// The workbook as it was written.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    pub fn open(&self) -> Lent<'_> {
        let shelved = self.open.lock().unwrap().pop();
        Lent { open: Some(shelved.unwrap_or_else(|| Open::of(&self.bytes))), shelf: self }
    }
}

impl Deref for Lent<'_> {
    type Target = Open;

    fn deref(&self) -> &Open {
        self.open.as_ref().expect("it is there until it goes back")
    }
}

impl DerefMut for Lent<'_> {
    fn deref_mut(&mut self) -> &mut Open {
        self.open.as_mut().expect("it is there until it goes back")
    }
}

impl Drop for Lent<'_> {
    fn drop(&mut self) {
        if let Some(mut open) = self.open.take().filter(|_| !std::thread::panicking()) {
            open.take_back();
            self.shelf.open.lock().unwrap().push(open);
        }
    }
}
