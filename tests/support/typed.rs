//! Rows of a job made in code: the cells of a declared sheet, typed as the reader types them. A cell that cannot be
//! read so is a fault of the test and panics with its address.

use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::Arc;
use tallybore::model::{
    At, Device, Drain, Field, Fixture, Job, KeptCell, KeptSheet, LaborTask, OnHand, OtherCost, Price, Raw, Received,
    Run, Setting, SettingKind, SettingValue, Size, Status, SupplierTerms, Taxed, Term, TestReading, Whereabouts,
    columns, fold, parse_feet, parse_number, parse_percent, parse_setting,
};
use tallybore::place::Place;

/// Types the rows of a declared sheet into the job.
pub fn read(sheet: &KeptSheet, job: &mut Job) {
    let declared = sheet.declared.expect("a declared sheet");
    let first = sheet.heading_row.expect("headings") + 1;
    let mut rows: BTreeMap<u32, BTreeMap<u16, &KeptCell>> = BTreeMap::new();
    for cell in sheet.cells.iter().filter(|cell| cell.row >= first) {
        rows.entry(cell.row).or_default().insert(cell.column, cell);
    }
    for (row, cells) in rows {
        let row = Row { sheet, row, cells };
        match declared.name {
            "Job" => row.setting(job),
            "Fixtures" => job.fixtures.push(row.fixture()),
            "Runs" => job.runs.push(row.run()),
            "Devices" => job.devices.push(row.device()),
            "Drains" => job.drains.push(row.drain()),
            "Prices" => job.prices.push(row.price()),
            "Suppliers" => job.suppliers.push(row.supplier()),
            "Received" => job.received.push(row.received()),
            "Labor" => job.labor.push(row.labor()),
            "Other costs" => job.other_costs.push(row.other_cost()),
            "On hand" => job.on_hand.push(row.on_hand()),
            "Terms" => job.terms.push(row.term()),
            "Test log" => job.test_log.push(row.reading()),
            other => panic!("no rows of {other} can be made"),
        }
    }
}

struct Row<'a> {
    sheet: &'a KeptSheet,
    row: u32,
    cells: BTreeMap<u16, &'a KeptCell>,
}

type Text = Field<Arc<str>>;
type Number = Field<Decimal>;

impl Row<'_> {
    /// The cell under a heading, typed by `read`; no cell at all where the sheet has no such column.
    fn field<T>(&self, name: &str, read: impl Fn(&Raw) -> Option<T>) -> Field<T> {
        let Some((_, column)) = self.sheet.column_of.iter().find(|(known, _)| **known == name) else {
            return Field::default();
        };
        let cell = Place::new(&*self.sheet.name, self.row, *column);
        let raw = self.cells.get(column).map_or(Raw::Blank, |kept| kept.raw.clone());
        let value = match &raw {
            Raw::Blank => None,
            found => Some(read(found).unwrap_or_else(|| panic!("{cell}: {found:?} cannot be read"))),
        };
        Field { value, cell: Some(cell), raw }
    }

    fn text(&self, name: &str) -> Text {
        self.field(name, |raw| match raw {
            Raw::Text(text) => Some(text.clone()),
            Raw::Number(number) => Some(number.normalize().to_string().into()),
            _ => None,
        })
    }

    fn at(&self, name: &str) -> At<Arc<str>> {
        let field = self.text(name);
        let place = field.cell.unwrap_or_else(|| panic!("{} has no column {name}", self.sheet.name));
        At { value: field.value.unwrap_or_else(|| panic!("{place}: a {name} is needed")), place }
    }

    fn number(&self, name: &str) -> Number {
        self.field(name, number)
    }

    fn length(&self, name: &str) -> Number {
        self.field(name, |raw| match raw {
            Raw::Text(text) => parse_feet(text),
            other => number(other),
        })
    }

    fn tax(&self) -> Field<Taxed> {
        self.field("Tax", |raw| match raw {
            Raw::Number(share) => Some(Taxed::At(*share)),
            Raw::Text(text) => Taxed::parse(text),
            _ => None,
        })
    }

    fn date(&self, name: &str) -> Number {
        self.field(name, |raw| if let Raw::Date(serial) = raw { Some(*serial) } else { None })
    }

    fn size(&self, name: &str) -> Field<Size> {
        self.field(name, size)
    }

    fn sizes(&self) -> Field<Vec<Size>> {
        self.field("Size", |raw| match raw {
            Raw::Text(text) => text.split('x').map(Size::parse).collect(),
            other => size(other).map(|size| vec![size]),
        })
    }

    /// The word of a list, in the list's own spelling, with its place there.
    fn choice(&self, name: &str, list: &'static [&'static str]) -> Field<(usize, Arc<str>)> {
        self.field(name, |raw| {
            let Raw::Text(text) = raw else { return None };
            let at = list.iter().position(|word| fold(word) == fold(text))?;
            Some((at, list[at].into()))
        })
    }

    fn word(&self, name: &str, list: &'static [&'static str]) -> Text {
        map(self.choice(name, list), |(_, word)| word)
    }

    fn status(&self) -> Field<Status> {
        map(self.choice("Status", columns::STATUS), |(at, _)| Status::ALL[at])
    }

    fn whereabouts(&self) -> Field<Whereabouts> {
        map(self.choice("Where", columns::WHERE), |(at, _)| Whereabouts::ALL[at])
    }

    fn setting(&self, job: &mut Job) {
        let item = self.at("Item");
        let setting = Setting::find(&item.value).unwrap_or_else(|| panic!("{}: no such setting", item.place));
        let kind = setting.spec().kind;
        let field = self.field("Value", |raw| match (raw, kind) {
            (Raw::Number(number), SettingKind::Number(_) | SettingKind::Percent) => Some(SettingValue::Number(*number)),
            (Raw::Date(serial), SettingKind::Date) => Some(SettingValue::Date(*serial)),
            (Raw::Text(text), _) if setting == Setting::FittingsLoss && parse_percent(text).is_some() => {
                parse_percent(text).map(SettingValue::Number)
            }
            (Raw::Text(text), _) => parse_setting(kind, text).ok().flatten(),
            _ => None,
        });
        job.settings.insert(setting, field);
    }

    fn fixture(&self) -> Fixture {
        Fixture {
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
            note: self.text("Note"),
        }
    }

    fn run(&self) -> Run {
        Run {
            row: self.row,
            name: self.at("Run"),
            from: self.at("From"),
            material: self.text("Material"),
            size: self.size("Size"),
            length_ft: self.length("Length ft"),
            rise_ft: self.length("Rise ft"),
            level: self.text("Level"),
            bends: self.number("Bends"),
            place: self.whereabouts(),
            form: self.word("Form", columns::FORM),
            joints: self.word("Joints", columns::JOINTS),
            status: self.status(),
            insulation_in: self.number("Insulation in"),
            phase: self.word("Phase", columns::PHASES),
            note: self.text("Note"),
        }
    }

    fn device(&self) -> Device {
        Device {
            row: self.row,
            name: self.at("Device"),
            on_run: self.at("On run"),
            kind: self.at("Kind"),
            written: self.at("Kind"),
            size: self.size("Size"),
            rated_gpm: self.number("Rated gpm"),
            loss_psi: self.number("Loss psi"),
            set_psi: self.number("Set psi"),
            ports: self.number("Ports"),
            status: self.status(),
            note: self.text("Note"),
        }
    }

    fn drain(&self) -> Drain {
        Drain {
            row: self.row,
            name: self.at("Drain"),
            to: self.at("To"),
            material: self.text("Material"),
            size: self.size("Size"),
            length_ft: self.length("Length ft"),
            slope_in_per_ft: self.number("Slope in/ft"),
            place: self.whereabouts(),
            vent: self.text("Vent"),
            status: self.status(),
            note: self.text("Note"),
        }
    }

    fn price(&self) -> Price {
        Price {
            row: self.row,
            kind: self.at("Kind"),
            material: self.text("Material"),
            sizes: self.sizes(),
            unit: self.text("Unit"),
            pack: self.number("Pack"),
            price: self.number("Price"),
            from_units: self.number("From units"),
            minimum_units: self.number("Minimum units"),
            bought: self.number("Bought"),
            tax: self.tax(),
            supplier: self.text("Supplier"),
            part: self.text("Part no."),
            description: self.text("Description"),
            water: self.word("Water", columns::WATERS),
            quoted: self.date("Quoted"),
            note: self.text("Note"),
        }
    }

    fn labor(&self) -> LaborTask {
        LaborTask {
            row: self.row,
            task: self.at("Task"),
            unit: self.text("Unit"),
            hours: self.number("Hours"),
            phase: self.word("Phase", columns::PHASES),
            by: self.word("By", columns::BY),
            note: self.text("Note"),
        }
    }

    fn other_cost(&self) -> OtherCost {
        OtherCost {
            row: self.row,
            item: self.at("Item"),
            phase: self.word("Phase", columns::PHASES),
            unit: self.text("Unit"),
            quantity: self.number("Quantity"),
            price: self.number("Price"),
            tax: self.tax(),
            note: self.text("Note"),
        }
    }

    fn supplier(&self) -> SupplierTerms {
        SupplierTerms {
            row: self.row,
            supplier: self.at("Supplier"),
            contact: self.text("Contact"),
            trip_cost: self.number("Trip cost"),
            minimum_order: self.number("Minimum order"),
            note: self.text("Note"),
        }
    }

    fn received(&self) -> Received {
        Received {
            row: self.row,
            kind: self.at("Kind"),
            material: self.text("Material"),
            sizes: self.sizes(),
            unit: self.text("Unit"),
            received: self.number("Received"),
            used: self.number("Used"),
            returned: self.number("Returned"),
            note: self.text("Note"),
        }
    }

    fn on_hand(&self) -> OnHand {
        OnHand {
            row: self.row,
            kind: self.at("Kind"),
            material: self.text("Material"),
            sizes: self.sizes(),
            unit: self.text("Unit"),
            quantity: self.number("Quantity"),
            note: self.text("Note"),
        }
    }

    fn term(&self) -> Term {
        let kind = self.at("Kind");
        let mut amount = self.number("Amount");
        if &*kind.value == "payment" {
            // A bare 30 is 30 %.
            amount.value = amount.value.map(|n| if n >= Decimal::ONE { n / Decimal::ONE_HUNDRED } else { n });
        }
        Term { row: self.row, kind, text: self.at("Text"), amount, change: self.text("Change") }
    }

    fn reading(&self) -> TestReading {
        TestReading {
            row: self.row,
            test: self.at("Test"),
            read_at: self.text("Read at"),
            gauge_psi: self.number("Gauge psi"),
            temperature_f: self.number("Temperature F"),
            medium: self.text("Medium"),
            note: self.text("Note"),
        }
    }
}

fn number(raw: &Raw) -> Option<Decimal> {
    match raw {
        Raw::Number(number) => Some(*number),
        Raw::Text(text) => parse_number(text).or_else(|| parse_percent(text)),
        _ => None,
    }
}

fn size(raw: &Raw) -> Option<Size> {
    match raw {
        Raw::Text(text) => Size::parse(text),
        Raw::Number(number) => Size::parse(&number.to_string()),
        _ => None,
    }
}

fn map<T, U>(field: Field<T>, turn: impl Fn(T) -> U) -> Field<U> {
    Field { value: field.value.map(turn), cell: field.cell, raw: field.raw }
}
