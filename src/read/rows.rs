//! The rows under the headings -> typed rows. A row without its name is left out, with a finding; every other trouble
//! leaves the row in, so that what refers to it still finds it.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::cell::{Blank, Cell};
use crate::finding::{Finding, Sink, excerpt};
use crate::model::columns::{
    BY, Column, DEVICE_KINDS, FORM, JOINTS, Kind, PHASES, STATUS, Sheet, TERM_KINDS, WATERS, WHERE,
};
use crate::model::{
    At, Device, Drain, Field, Fixture, Job, LaborTask, OnHand, OtherCost, Price, Raw, Received, Run, Size, Status,
    SupplierTerms, Term, TestReading, Whereabouts, fold, vocabulary,
};
use crate::read::findings::cells::{AngleStopAsDevice, NoRows};
use rust_decimal::Decimal;
use std::sync::Arc;

/// Reads the rows of a sheet whose headings are known into the job.
pub(super) fn read(sheet: &KeptSheet, declared: &'static Sheet, job: &mut Job, sink: &mut Sink) {
    let before = count(job, declared.name);
    let mut named = false;
    for row in rows(sheet, declared) {
        named = true;
        match declared.name {
            "Fixtures" => job.fixtures.extend(row.fixture(sink)),
            "Runs" => job.runs.extend(row.run(sink)),
            "Devices" => job.devices.extend(row.device(sink)),
            "Drains" => job.drains.extend(row.drain(sink)),
            "Prices" => job.prices.extend(row.price(sink)),
            "Suppliers" => job.suppliers.extend(row.supplier(sink)),
            "Received" => job.received.extend(row.received(sink)),
            "Labor" => job.labor.extend(row.labor(sink)),
            "Other costs" => job.other_costs.extend(row.other_cost(sink)),
            "On hand" => job.on_hand.extend(row.on_hand(sink)),
            "Terms" => job.terms.extend(row.term(sink)),
            "Test log" => job.test_log.extend(row.reading(sink)),
            _ => (),
        }
    }
    // Rows that all lack their name have their findings already.
    if !named && count(job, declared.name) == before && declared.required {
        let heading = sheet.place(sheet.heading_row.unwrap_or(0), 0);
        sink.push(Finding::at(&heading, NoRows { sheet: declared.name, needed: true }));
    }
}

fn count(job: &Job, sheet: &str) -> usize {
    match sheet {
        "Fixtures" => job.fixtures.len(),
        "Runs" => job.runs.len(),
        "Prices" => job.prices.len(),
        _ => 0,
    }
}

/// The rows that hold something under a declared heading. A row that repeats the headings, as on each page of a
/// printed list, is none.
pub(super) fn rows<'a>(sheet: &'a KeptSheet, declared: &'static Sheet) -> impl Iterator<Item = Row<'a>> {
    let columns: Vec<(u16, &'static Column)> =
        declared.columns.iter().filter_map(|column| Some((*sheet.column_of.get(column.name)?, column))).collect();
    let first = sheet.heading_row.map_or(0, |row| row + 1);
    sheet.rows().filter(move |(row, _)| *row >= first).filter_map(move |(row, cells)| {
        let mut filled = cells
            .iter()
            .filter_map(|cell| columns.iter().find(|(at, _)| *at == cell.column).map(|(_, column)| (cell, *column)));
        let counts = |(cell, column): (&KeptCell, &Column)| match &cell.raw {
            Raw::Text(text) => fold(text) != fold(column.name),
            Raw::Blank => cell.formula.is_some(),
            _ => true,
        };
        filled.any(counts).then_some(Row { sheet, declared, row, cells })
    })
}

/// One row of a declared sheet.
pub(super) struct Row<'a> {
    pub sheet: &'a KeptSheet,
    declared: &'static Sheet,
    pub row: u32,
    cells: &'a [KeptCell],
}

impl<'a> Row<'a> {
    /// The cell under a declared heading.
    pub fn cell(&self, name: &'static str) -> Cell<'a> {
        let column = self.declared.columns.iter().find(|c| c.name == name);
        let at = self.sheet.column_of.get(name).copied();
        let kept = at.and_then(|at| {
            let index = self.cells.binary_search_by_key(&at, |c| c.column).ok()?;
            self.cells.get(index)
        });
        // A text that decides nothing and a quote's date leave the bid possible. A part without a price is merely not
        // offered; a price that cannot be understood is another matter.
        let needed = column.is_some_and(|c| match c.kind {
            Kind::Text => c.required,
            Kind::Date => false,
            _ => true,
        });
        let blank = match column {
            // The checks tell of all rows without a price at once.
            Some(c) if c.name == "Price" && self.declared.name == "Prices" => Blank::Fine,
            Some(c) if c.required => Blank::Stop,
            _ => Blank::Fine,
        };
        Cell {
            place: at.map(|at| self.sheet.place(self.row, at)),
            kept,
            column: name,
            unit: name.rsplit(' ').next().unwrap_or_default(),
            blank,
            needed,
        }
    }

    fn text(&self, name: &'static str, sink: &mut Sink) -> Field<Arc<str>> {
        self.cell(name).text(sink)
    }

    /// A number as its column allows: negative or not.
    fn number(&self, name: &'static str, sink: &mut Sink) -> Field<Decimal> {
        let kind = self.declared.columns.iter().find(|c| c.name == name).map(|c| c.kind);
        self.cell(name).number(sink, kind == Some(Kind::Number))
    }

    fn length(&self, name: &'static str, sink: &mut Sink) -> Field<Decimal> {
        self.cell(name).length(sink)
    }

    fn size(&self, sink: &mut Sink) -> Field<Size> {
        self.cell("Size").size(sink)
    }

    fn sizes(&self, sink: &mut Sink) -> Field<Vec<Size>> {
        self.cell("Size").sizes(sink)
    }

    /// A word out of a list, in the list's own spelling.
    fn word(&self, name: &'static str, list: &'static [&'static str], sink: &mut Sink) -> Field<Arc<str>> {
        map(self.cell(name).choice(sink, list), |at| list.get(at).map(|word| Arc::from(*word)))
    }

    fn status(&self, sink: &mut Sink) -> Field<Status> {
        map(self.cell("Status").choice(sink, STATUS), |at| Status::ALL.get(at).copied())
    }

    fn whereabouts(&self, sink: &mut Sink) -> Field<Whereabouts> {
        map(self.cell("Where").choice(sink, WHERE), |at| Whereabouts::ALL.get(at).copied())
    }

    /// The row's name. Without one there is no row: `None`, with a finding.
    fn name(&self, name: &'static str, sink: &mut Sink) -> Option<At<Arc<str>>> {
        let field = self.text(name, sink);
        Some(At { value: field.value?, place: field.cell? })
    }

    /// A needed text that is not the row's name: blank where there is none, with a finding.
    fn must(&self, field: Field<Arc<str>>) -> At<Arc<str>> {
        let place = field.cell.unwrap_or_else(|| self.sheet.place(self.row, 0));
        At { value: field.value.unwrap_or_default(), place }
    }

    fn fixture(&self, sink: &mut Sink) -> Option<Fixture> {
        Some(Fixture {
            row: self.row,
            tag: self.name("Tag", sink)?,
            fixture: self.must(self.text("Fixture", sink)),
            room: self.text("Room", sink),
            group: self.text("Group", sink),
            count: self.number("Count", sink),
            cold_run: self.text("Cold run", sink),
            hot_run: self.text("Hot run", sink),
            gpm: self.number("Gpm", sink),
            need_psi: self.number("Need psi", sink),
            drain: self.text("Drain", sink),
            status: self.status(sink),
            note: self.text("Note", sink),
        })
    }

    fn run(&self, sink: &mut Sink) -> Option<Run> {
        Some(Run {
            row: self.row,
            name: self.name("Run", sink)?,
            from: self.must(self.text("From", sink)),
            material: self.text("Material", sink),
            size: self.size(sink),
            length_ft: self.length("Length ft", sink),
            rise_ft: self.rise(sink),
            level: self.text("Level", sink),
            bends: self.number("Bends", sink),
            place: self.whereabouts(sink),
            form: self.word("Form", FORM, sink),
            joints: self.word("Joints", JOINTS, sink),
            status: self.status(sink),
            insulation_in: self.number("Insulation in", sink),
            phase: self.word("Phase", PHASES, sink),
            note: self.text("Note", sink),
        })
    }

    /// Height gained, ft: a number or a length such as -2'6".
    fn rise(&self, sink: &mut Sink) -> Field<Decimal> {
        let cell = self.cell("Rise ft");
        match cell.raw() {
            Raw::Text(text) if crate::model::parse_feet(text).is_some() => {
                cell.expecting(sink, "a height in feet", |_, _| crate::model::parse_feet(text))
            }
            _ => cell.number(sink, true),
        }
    }

    fn device(&self, sink: &mut Sink) -> Option<Device> {
        let name = self.name("Device", sink)?;
        let kind = self.must(self.device_kind(sink));
        let written = match self.cell("Kind").raw() {
            Raw::Text(text) => text.clone(),
            _ => kind.value.clone(),
        };
        Some(Device {
            row: self.row,
            name,
            on_run: self.must(self.text("On run", sink)),
            written: At { value: written, place: kind.place.clone() },
            kind,
            size: self.size(sink),
            rated_gpm: self.number("Rated gpm", sink),
            loss_psi: self.number("Loss psi", sink),
            set_psi: self.number("Set psi", sink),
            ports: self.number("Ports", sink),
            status: self.status(sink),
            note: self.text("Note", sink),
        })
    }

    /// A kind of the list, or an everyday name of one.
    fn device_kind(&self, sink: &mut Sink) -> Field<Arc<str>> {
        let cell = self.cell("Kind");
        if let Raw::Text(text) = cell.raw()
            && vocabulary::is_angle_stop(text)
        {
            cell.find(sink, AngleStopAsDevice { found: excerpt(text) });
            let raw = cell.raw().clone();
            return Field { value: None, cell: cell.place, raw };
        }
        let known = match cell.raw() {
            Raw::Text(text) => vocabulary::device_kind(text),
            _ => None,
        };
        match known {
            Some(kind) => cell.expecting(sink, "a kind of device", |_, _| Some(kind.into())),
            None => self.word("Kind", DEVICE_KINDS, sink),
        }
    }

    fn drain(&self, sink: &mut Sink) -> Option<Drain> {
        Some(Drain {
            row: self.row,
            name: self.name("Drain", sink)?,
            to: self.must(self.text("To", sink)),
            material: self.text("Material", sink),
            size: self.size(sink),
            length_ft: self.length("Length ft", sink),
            slope_in_per_ft: self.number("Slope in/ft", sink),
            place: self.whereabouts(sink),
            vent: self.text("Vent", sink),
            status: self.status(sink),
            note: self.text("Note", sink),
        })
    }

    fn price(&self, sink: &mut Sink) -> Option<Price> {
        let kind = self.name("Kind", sink)?;
        let unit = self.text("Unit", sink);
        Some(Price {
            row: self.row,
            kind,
            material: self.text("Material", sink),
            sizes: self.sizes(sink),
            price: self.cell("Price").price(sink, unit.text()),
            unit,
            pack: self.number("Pack", sink),
            from_units: self.number("From units", sink),
            minimum_units: self.number("Minimum units", sink),
            bought: self.number("Bought", sink),
            tax: self.cell("Tax").tax(sink),
            supplier: self.text("Supplier", sink),
            part: self.text("Part no.", sink),
            description: self.text("Description", sink),
            water: self.word("Water", WATERS, sink),
            quoted: self.cell("Quoted").date(sink),
            note: self.text("Note", sink),
        })
    }

    fn labor(&self, sink: &mut Sink) -> Option<LaborTask> {
        Some(LaborTask {
            row: self.row,
            task: self.name("Task", sink)?,
            unit: self.text("Unit", sink),
            hours: self.number("Hours", sink),
            phase: self.word("Phase", PHASES, sink),
            by: self.word("By", BY, sink),
            note: self.text("Note", sink),
        })
    }

    fn other_cost(&self, sink: &mut Sink) -> Option<OtherCost> {
        let item = self.name("Item", sink)?;
        let unit = self.text("Unit", sink);
        Some(OtherCost {
            row: self.row,
            item,
            phase: self.word("Phase", PHASES, sink),
            price: self.cell("Price").price(sink, unit.text()),
            unit,
            quantity: self.number("Quantity", sink),
            tax: self.cell("Tax").tax(sink),
            note: self.text("Note", sink),
        })
    }

    fn supplier(&self, sink: &mut Sink) -> Option<SupplierTerms> {
        Some(SupplierTerms {
            row: self.row,
            supplier: self.name("Supplier", sink)?,
            contact: self.text("Contact", sink),
            trip_cost: self.number("Trip cost", sink),
            minimum_order: self.number("Minimum order", sink),
            note: self.text("Note", sink),
        })
    }

    fn received(&self, sink: &mut Sink) -> Option<Received> {
        Some(Received {
            row: self.row,
            kind: self.name("Kind", sink)?,
            material: self.text("Material", sink),
            sizes: self.sizes(sink),
            unit: self.text("Unit", sink),
            received: self.number("Received", sink),
            used: self.number("Used", sink),
            returned: self.number("Returned", sink),
            note: self.text("Note", sink),
        })
    }

    fn on_hand(&self, sink: &mut Sink) -> Option<OnHand> {
        Some(OnHand {
            row: self.row,
            kind: self.name("Kind", sink)?,
            material: self.text("Material", sink),
            sizes: self.sizes(sink),
            unit: self.text("Unit", sink),
            quantity: self.number("Quantity", sink),
            note: self.text("Note", sink),
        })
    }

    fn term(&self, sink: &mut Sink) -> Option<Term> {
        let kind = self.word("Kind", TERM_KINDS, sink);
        let text = self.name("Text", sink);
        let amount = self.cell("Amount");
        // What is due at a payment is a share; any other amount is dollars.
        let amount = if kind.value.as_deref() == Some("payment") {
            amount.percent(sink, false)
        } else {
            amount.number(sink, true)
        };
        let change = self.text("Change", sink);
        Some(Term { row: self.row, kind: self.must(kind), text: text?, amount, change })
    }

    fn reading(&self, sink: &mut Sink) -> Option<TestReading> {
        Some(TestReading {
            row: self.row,
            test: self.name("Test", sink)?,
            read_at: self.text("Read at", sink),
            gauge_psi: self.number("Gauge psi", sink),
            temperature_f: self.number("Temperature F", sink),
            medium: self.word("Medium", &["air", "water"], sink),
            note: self.text("Note", sink),
        })
    }
}

/// The field with its value turned into another; cell and raw stay.
fn map<A, B>(field: Field<A>, turn: impl FnOnce(A) -> Option<B>) -> Field<B> {
    Field { value: field.value.and_then(turn), cell: field.cell, raw: field.raw }
}
