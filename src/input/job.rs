//! A whole job workbook, typed; and the list of its sheets.

use super::findings::NoRows;
use super::{
    Cells, Column, Device, Drain, Fixture, LaborTask, OnHand, OtherCost, Price, Received, Row, Run, Sheet,
    SupplierTerms, Term, TestReading, column, rows, sheet, sheets,
};
use crate::choice::SavedChoices;
use crate::finding::{Finding, Sink};
use crate::model::{Field, KeptSheet, Revision, RuleSheet, Setting, SettingValue, Size, default_value};
use crate::place::{LAST_ROW, Place};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::any::Any;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The settings: a row for each that is given. What each may be, `model::setting` declares.
pub const JOB: Sheet = sheet(
    "Job",
    &["Job settings", "Settings"],
    "item",
    "One setting a row. Items left out stand on their defaults, which the bid lists.",
)
.needed()
.with(&[ITEM, VALUE, UNIT, sheets::NOTE]);
const ITEM: Column = Column {
    is_name: true,
    is_key: true,
    ..column("Item", &["Setting", "Name"], "The setting's name, from the list in the guide.")
}
.needed()
.prose(34.0);
const VALUE: Column = column("Value", &["Entry"], "Its value; a blank one takes the default.").needed().wide(40.0);
const UNIT: Column =
    column("Unit", &["Units"], "For the reader; the engine goes by the setting's own unit.").wide(8.0).free();

/// Makes the job of its lists of rows, in the order in which a blank workbook has the sheets.
macro_rules! job {
    ($($list:ident: $row:ident,)+) => {
        /// A whole job workbook, typed row by row in the workbook's own order.
        #[derive(Debug, Clone, Default)]
        pub struct Job {
            /// The file's name, for findings.
            pub file: Arc<str>,
            /// True when the workbook is a bid of ours (a document property says so).
            pub is_bid: bool,
            /// The Job sheet's settings that were given; see [`Job::setting`].
            pub settings: BTreeMap<Setting, Field<SettingValue>>,
            /// Where on the Job sheet another setting would be written; `None` where there is no such sheet.
            pub more_settings: Option<MoreSettings>,
            $(
                #[doc = concat!("Rows of [`", stringify!($row), "`], in the order of their sheet.")]
                pub $list: Vec<$row>,
            )+
            /// Rows of the sheets that subjects declare; see [`Job::rows_of`].
            pub of_subjects: SubjectRows,
            /// The choices that a bid workbook has kept.
            pub saved: SavedChoices,
            /// The revisions that a bid workbook tells of, its own last.
            pub history: Vec<Revision>,
            /// Rows of the user's own rule sheets (Pipe, Units, Demand, Outlets, Limits, Assemblies), by sheet name.
            pub overrides: Vec<RuleSheet>,
        }

        /// The sheets about the whole job, in the order the blank workbook has them.
        pub const SHEETS: &[Sheet] = &[JOB, $($row::SHEET),+];

        impl Job {
            /// The rows of all sheets, the settings aside.
            pub fn rows(&self) -> Vec<&dyn Row> {
                let mut all: Vec<&dyn Row> = Vec::new();
                $(all.extend(self.$list.iter().map(|row| row as &dyn Row));)+
                all.extend(self.of_subjects.iter());
                all
            }

            fn take(&mut self, declared: &Sheet, cells: &Cells, sink: &mut Sink) {
                match declared.name {
                    $(name if name == $row::SHEET.name => self.$list.extend($row::read(cells, sink)),)+
                    _ => self.of_subjects.0.extend(declared.reads.and_then(|read| read(cells, sink))),
                }
            }
        }
    };
}

job! {
    fixtures: Fixture,
    runs: Run,
    devices: Device,
    drains: Drain,
    prices: Price,
    suppliers: SupplierTerms,
    labor: LaborTask,
    other_costs: OtherCost,
    on_hand: OnHand,
    received: Received,
    terms: Term,
    test_log: TestReading,
}

/// The cells of a Job sheet's first row below all that stands there.
#[derive(Debug, Clone)]
pub struct MoreSettings {
    /// Under Item.
    pub item: Place,
    /// Under Value.
    pub value: Place,
}

impl MoreSettings {
    /// `None` where a sheet has no row left, or no such headings.
    pub fn below(sheet: &KeptSheet) -> Option<Self> {
        let row = sheet.next_row();
        let cell = |heading| sheet.column_of.get(heading).map(|column| sheet.place(row, *column));
        let (item, value) = (cell("Item")?, cell("Value")?);
        (row <= LAST_ROW).then_some(Self { item, value })
    }
}

/// Rows of the sheets that subjects declare, each of the type of its sheet.
#[derive(Debug, Clone, Default)]
pub struct SubjectRows(Vec<Arc<dyn Row>>);

impl SubjectRows {
    pub(crate) fn iter(&self) -> impl Iterator<Item = &dyn Row> {
        self.0.iter().map(|row| &**row)
    }
}

impl Job {
    /// The rows of a sheet that a subject declares.
    pub fn rows_of<R: Row>(&self) -> impl Iterator<Item = &R> {
        self.of_subjects.iter().filter_map(|row| (row as &dyn Any).downcast_ref())
    }

    /// Types the rows of a sheet whose headings are known. A row without its name is left out, with a finding; every other
    /// trouble leaves the row in, so that what refers to it still finds it.
    pub(crate) fn read_rows(&mut self, sheet: &KeptSheet, declared: &'static Sheet, sink: &mut Sink) {
        let mut any = false;
        for cells in rows(sheet, declared) {
            any = true;
            self.take(declared, &cells, sink);
        }
        // Rows that all lack their name have their findings already.
        if !any && declared.required {
            let heading = sheet.place(sheet.heading_row.unwrap_or(0), 0);
            sink.push(Finding::at(&heading, NoRows { sheet: declared.name, needed: true }));
        }
    }

    /// The value of a setting: what the Job sheet says, else the stated default, else `None`.
    pub fn setting(&self, setting: Setting) -> Option<SettingValue> {
        self.settings.get(&setting).and_then(Field::get).or_else(|| default_value(setting))
    }

    /// Whether prices are carried from the day they were quoted.
    pub fn carries_prices(&self) -> bool {
        &*self.text(Setting::Escalation) == "to start date"
    }

    /// A number or percent setting, in its own unit.
    pub fn number(&self, setting: Setting) -> Option<Decimal> {
        match self.setting(setting)? {
            SettingValue::Number(n) | SettingValue::Date(n) => Some(n),
            _ => None,
        }
    }

    /// The same as f64, for kernels outside the book.
    pub(crate) fn as_f64(&self, setting: Setting) -> Option<f64> {
        self.number(setting).as_ref().and_then(Decimal::to_f64)
    }

    /// A text or choice setting; empty when there is none. Choices come in the list's own spelling.
    pub fn text(&self, setting: Setting) -> Arc<str> {
        match self.setting(setting) {
            Some(SettingValue::Text(text)) => text,
            Some(SettingValue::Number(n) | SettingValue::Date(n)) => n.normalize().to_string().into(),
            Some(SettingValue::Size(size)) => size.to_string().into(),
            None => "".into(),
        }
    }

    /// A size setting; `None` where it is blank and has no default.
    pub fn size(&self, setting: Setting) -> Option<Size> {
        match self.setting(setting)? {
            SettingValue::Size(size) => Some(size),
            _ => None,
        }
    }
}
