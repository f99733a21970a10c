//! Small jobs for the tests of this stage: a job workbook in text form, typed without a file, and priced.

use crate::figure::{Block, Book, Fig, SheetId, Value};
use crate::model::book_text::{TextCell, parse};
use crate::model::columns::{self, Kind};
use crate::model::{
    At, Device, Field, Fixture, Job, KeptBook, KeptCell, KeptSheet, LaborTask, OnHand, OtherCost, Price, Raw, Run,
    Setting, SettingKind, Size, Status, Term, Whereabouts, parse_date, parse_feet, parse_number, parse_percent,
    parse_setting,
};
use crate::pipeline::{self, Options, Priced};
use crate::place::Place;
use rust_decimal::Decimal;
use std::sync::Arc;

/// A house small enough to be read at a glance, with all that the sheets have words for. Everything is invented.
pub const CABIN: &str = r#"
[Job]
Item           | Value
Job name       | Cabin at the bend
Prepared for   | Nell Quarrow
Date           |
Supply pressure | 52
Tax rate       | 6.5%
Overhead       | 10%
Profit         | 8%
Permit         | 90
Labor by       | owner
Owner rate     | 20
[Fixtures]
Tag | Fixture      | Group     | Count | Cold run | Hot run | Gpm | Status
WC1 | water closet |           |       | C2       |         |     |
LA1 | lavatory     |           | 2     | C2       | H2      |     |
HB1 | hose bibb    |           |       | EX       |         |     | existing
IC1 | other        |           |       | C3       |         | 0.5 |
[Runs]
Run | From   | Material   | Size | Length ft | Rise ft | Bends | Where  | Status   | Phase
S1  | SUPPLY | PE         |      | 40        | 4       | 0     | buried |          |
C1  | S1     |            |      | 12        | 1       | 1     | inside |          |
C2  | C1     |            |      | 9         | 1       | 1     | inside |          |
C3  | C1     |            |      | 6         | 1       | 1     | inside |          |
EX  | C1     | copper M   | 1/2  | 11        | 1       | 1     | inside | existing |
H1  | S1     |            |      | 10        | 1       | 1     | inside |          |
H2  | H1     |            |      | 8         | 1       | 1     | inside |          |
OLD | SUPPLY | galvanized | 3/4  | 25        | 0       | 2     | inside | remove   |
[Devices]
Device | On run | Kind          | Size | Rated gpm | Loss psi | Status
WH     | H1     | tank heater   | 3/4  | 10        | 1        |
MTR    | S1     | meter         | 1    | 20        | 2        | by others
[Prices]
Kind         | Material | Size | Unit  | Pack | Price | Supplier
pipe         | PE       | 3/4  | coil  | 100  | 62    | Ashbank Yard
pipe         | PE       | 1    | coil  | 100  | 88    | Ashbank Yard
pipe         | PEX      | 1/2  | stick | 20   | 9.4   | Ashbank Yard
pipe         | PEX      | 3/4  | stick | 20   | 15.1  | Ashbank Yard
ring         | PEX      | 1/2  | bag   | 25   | 9     | Ashbank Yard
tank heater  |          | 3/4  | each  |      | 900   | Ashbank Yard
stop valve   |          |      | each  |      | 11    | Ashbank Yard
[Labor]
Task                  | Unit | Hours | Phase | By
set tank heater       | each | 4     | trim  | hired
[Other costs]
Item   | Phase       | Unit | Quantity | Price
Trench | underground | ft   | 40       | 12
Travel |             | trip | 2        | 35
[On hand]
Kind | Material | Size | Unit | Quantity
pipe | PEX      | 1/2  | ft   | 15
[Terms]
Kind       | Text                                   | Amount
included   | New water lines from the curb stop.    |
excluded   | Painting, and patching of the bathroom wall. |
allowance  | Faucets                                | 300
alternate  | Tankless heater in place of the tank   | 450
payment    | On signing                             | 33.3%
payment    | After the rough-in test                | 33.3%
payment    | When all fixtures run                  |
"#;

/// A typed job and its sheets, from text. Findings of the text itself fail the test.
pub fn job(text: &str) -> (Job, KeptBook) {
    let (book, findings) = parse(text);
    assert!(findings.is_empty(), "{findings:?}");
    let mut job = Job { file: "test".into(), ..Job::default() };
    let mut kept = KeptBook::default();
    for sheet in &book.sheets {
        let declared = columns::SHEETS.iter().find(|s| s.name == sheet.name);
        let words = |words: &str| Raw::Text(words.into());
        let mut cells: Vec<KeptCell> = (0..)
            .zip(&sheet.headings)
            .map(|(column, heading)| KeptCell { row: 0, column, raw: words(heading), ..KeptCell::default() })
            .collect();
        for (row, line) in (1..).zip(&sheet.rows) {
            let mut reader = Row { sheet: &sheet.name, row, headings: &sheet.headings, raws: Vec::new() };
            let setting = (sheet.name == "Job").then(|| line.first().map(typed)).flatten();
            let setting = setting.and_then(|name| Setting::find(&name));
            for (heading, cell) in sheet.headings.iter().zip(line) {
                let column = declared.and_then(|s| s.columns.iter().find(|c| c.name == heading));
                let kind = match (setting, heading.as_str()) {
                    (Some(setting), "Value") => match setting.spec().kind {
                        SettingKind::Number(_) | SettingKind::Percent => Kind::Number,
                        SettingKind::Date => Kind::Date,
                        _ => Kind::Text,
                    },
                    _ => column.map_or(Kind::Text, |c| c.kind),
                };
                reader.raws.push(raw(cell, kind));
            }
            cells.extend(
                (0..).zip(&reader.raws).filter(|(_, raw)| **raw != Raw::Blank).map(|(column, raw)| KeptCell {
                    row,
                    column,
                    raw: raw.clone(),
                    ..KeptCell::default()
                }),
            );
            match setting {
                Some(setting) => {
                    let field = reader.field("Value", |text| parse_setting(setting.spec().kind, text).ok().flatten());
                    job.settings.insert(setting, field);
                }
                None => reader.put(&mut job),
            }
        }
        kept.sheets.push(KeptSheet {
            name: sheet.name.as_str().into(),
            shown: sheet.name.as_str().into(),
            declared,
            heading_row: Some(0),
            column_of: declared.map_or_else(Default::default, |declared| {
                let at = |name: &str| sheet.headings.iter().position(|h| h == name).map(|i| i as u16);
                declared.columns.iter().filter_map(|c| Some((c.name, at(c.name)?))).collect()
            }),
            cells,
            ..KeptSheet::default()
        });
    }
    (job, kept)
}

/// A job in text form, priced.
pub fn priced(text: &str) -> Priced {
    let (job, kept) = job(text);
    price(&job, &kept, false)
}

pub fn price(job: &Job, kept: &KeptBook, hold: bool) -> Priced {
    let options = Options { hold, ..Options::default() };
    pipeline::price(job, kept, &[], &options).unwrap_or_else(|findings| panic!("{findings:?}"))
}

pub fn sheet(book: &Book, name: &str) -> SheetId {
    let index = book.sheets().iter().position(|sheet| &*sheet.name == name).expect(name);
    SheetId(index as u16)
}

/// Every figure of a sheet, from the top down, row by row.
pub fn figures(book: &Book, name: &str) -> Vec<Fig> {
    let mut figures = Vec::new();
    for block in &book.sheets()[usize::from(sheet(book, name).0)].blocks {
        match block {
            Block::Line { figure, .. } => figures.push(*figure),
            Block::Table(table) => {
                let spec = book.table_spec(*table);
                let columns = spec.columns.len() as u16;
                let cells = (0..spec.rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
                figures.extend(cells.filter_map(|(row, column)| book.cell_at(*table, row, column)));
            }
            Block::Gap | Block::PageBreak | Block::Chart(_) => {}
        }
    }
    figures
}

/// What the cells of a sheet show, in one text, parted by bars.
pub fn shown(book: &Book, name: &str) -> String {
    figures(book, name).into_iter().map(|fig| book.value(fig).to_string()).collect::<Vec<_>>().join(" | ")
}

/// The cells behind the one that shows these words, in its row.
pub fn row_of(book: &Book, name: &str, words: &str) -> Vec<Value> {
    let all = figures(book, name);
    let start = all.iter().position(|fig| book.value(*fig).to_string() == words).expect(words);
    let crate::figure::Home::Table(row, _) = book.home(all[start]) else { return Vec::new() };
    let same = |fig: &&Fig| matches!(book.home(**fig), crate::figure::Home::Table(other, _) if other == row);
    all[start + 1..].iter().take_while(same).map(|fig| book.value(*fig).clone()).collect()
}

fn typed(cell: &TextCell) -> String {
    match cell {
        TextCell::Typed(text) | TextCell::Text(text) => text.clone(),
        TextCell::Formula { shown, .. } => shown.clone().unwrap_or_default(),
        TextCell::Blank | TextCell::Date(_) => String::new(),
    }
}

/// What a spreadsheet would keep of a cell typed like this.
fn raw(cell: &TextCell, kind: Kind) -> Raw {
    let text = typed(cell);
    let number = match kind {
        Kind::Number | Kind::Positive | Kind::Length if text.ends_with('%') => parse_percent(&text),
        Kind::Number | Kind::Positive | Kind::Length => parse_number(&text),
        _ => None,
    };
    match (cell, number) {
        (TextCell::Date(date), _) => Raw::Date(*date),
        (_, Some(number)) => Raw::Number(number),
        _ if text.is_empty() => Raw::Blank,
        _ if kind == Kind::Date => parse_date(&text).map_or(Raw::Text(text.as_str().into()), Raw::Date),
        _ => Raw::Text(text.as_str().into()),
    }
}

struct Row<'a> {
    sheet: &'a str,
    row: u32,
    headings: &'a [String],
    raws: Vec<Raw>,
}

impl Row<'_> {
    fn field<T>(&self, name: &str, read: impl Fn(&str) -> Option<T>) -> Field<T> {
        let Some(column) = self.headings.iter().position(|heading| heading == name) else { return Field::default() };
        let raw = self.raws.get(column).cloned().unwrap_or_default();
        let text = match &raw {
            Raw::Number(n) => n.normalize().to_string(),
            Raw::Text(text) => text.to_string(),
            _ => String::new(),
        };
        let value = if text.is_empty() { None } else { read(&text) };
        Field { value, cell: Some(Place::new(self.sheet, self.row, column as u16)), raw }
    }

    fn text(&self, name: &str) -> Field<Arc<str>> {
        self.field(name, |text| Some(text.into()))
    }

    fn number(&self, name: &str) -> Field<Decimal> {
        self.field(name, parse_number)
    }

    fn at(&self, name: &str) -> At<Arc<str>> {
        let field = self.text(name);
        At { value: field.value.unwrap_or_default(), place: field.cell.expect(name) }
    }

    fn status(&self) -> Field<Status> {
        let index = |text: &str| columns::STATUS.iter().position(|word| *word == text);
        self.field("Status", |text| index(text).map(|i| Status::ALL[i]))
    }

    fn sizes(&self) -> Field<Vec<Size>> {
        self.field("Size", |text| text.split(" x ").map(Size::parse).collect())
    }

    fn put(&self, job: &mut Job) {
        let note = || self.text("Note");
        match self.sheet {
            "Fixtures" => job.fixtures.push(Fixture {
                row: self.row,
                tag: self.at("Tag"),
                fixture: self.at("Fixture"),
                room: self.text("Room"),
                group: self.text("Group"),
                count: self.number("Count"),
                cold_run: self.text("Cold run"),
                hot_run: self.text("Hot run"),
                gpm: self.number("Gpm"),
                need_psi: self.number("Need psi"),
                drain: self.text("Drain"),
                status: self.status(),
                note: note(),
            }),
            "Runs" => {
                let place = |text: &str| columns::WHERE.iter().position(|word| *word == text);
                job.runs.push(Run {
                    row: self.row,
                    name: self.at("Run"),
                    from: self.at("From"),
                    material: self.text("Material"),
                    size: self.field("Size", Size::parse),
                    length_ft: self.field("Length ft", parse_feet),
                    rise_ft: self.number("Rise ft"),
                    level: self.text("Level"),
                    bends: self.number("Bends"),
                    place: self.field("Where", |text| place(text).map(|i| Whereabouts::ALL[i])),
                    form: self.text("Form"),
                    joints: self.text("Joints"),
                    status: self.status(),
                    insulation_in: self.number("Insulation in"),
                    phase: self.text("Phase"),
                    note: note(),
                });
            }
            "Devices" => job.devices.push(Device {
                row: self.row,
                name: self.at("Device"),
                on_run: self.at("On run"),
                kind: self.at("Kind"),
                size: self.field("Size", Size::parse),
                rated_gpm: self.number("Rated gpm"),
                loss_psi: self.number("Loss psi"),
                set_psi: self.number("Set psi"),
                status: self.status(),
                note: note(),
            }),
            "Prices" => job.prices.push(Price {
                row: self.row,
                kind: self.at("Kind"),
                material: self.text("Material"),
                sizes: self.sizes(),
                unit: self.text("Unit"),
                pack: self.number("Pack"),
                price: self.number("Price"),
                bought: self.number("Bought"),
                supplier: self.text("Supplier"),
                part: self.text("Part no."),
                quoted: self.number("Quoted"),
                note: note(),
            }),
            "Labor" => job.labor.push(LaborTask {
                row: self.row,
                task: self.at("Task"),
                unit: self.text("Unit"),
                hours: self.number("Hours"),
                phase: self.text("Phase"),
                by: self.text("By"),
                note: note(),
            }),
            "Other costs" => job.other_costs.push(OtherCost {
                row: self.row,
                item: self.at("Item"),
                phase: self.text("Phase"),
                unit: self.text("Unit"),
                quantity: self.number("Quantity"),
                price: self.number("Price"),
                note: note(),
            }),
            "On hand" => job.on_hand.push(OnHand {
                row: self.row,
                kind: self.at("Kind"),
                material: self.text("Material"),
                sizes: self.sizes(),
                unit: self.text("Unit"),
                quantity: self.number("Quantity"),
                note: note(),
            }),
            "Terms" => job.terms.push(Term {
                row: self.row,
                kind: self.at("Kind"),
                text: self.at("Text"),
                amount: self.number("Amount"),
            }),
            _ => {}
        }
    }
}
