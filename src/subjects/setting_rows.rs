//! Rows of settings on a Job sheet as it is kept: where one stands, and the one way to write one there.

use crate::model::{KeptSheet, Raw, Setting, SettingKind};
use crate::place::Place;

impl KeptSheet {
    /// The first row of a Job sheet whose Item names the setting, by any of its names.
    pub fn setting_row(&self, setting: Setting) -> Option<u32> {
        let (item, headings) = (self.column_of.get("Item")?, self.heading_row?);
        let names_it = |raw: &Raw| matches!(raw, Raw::Text(text) if Setting::find(text) == Some(setting));
        let mut items = self.cells.iter().filter(|cell| cell.column == *item && cell.row > headings);
        items.find(|cell| names_it(&cell.raw)).map(|cell| cell.row)
    }

    /// Writes a setting into a Job sheet: over the value in its row, or in a new row, with its unit, below all others. Gives
    /// the cell; `None` where the sheet has no headings.
    pub fn put_setting(&mut self, setting: Setting, raw: Raw, format: Option<&str>) -> Option<Place> {
        let column = |name: &str| self.column_of.get(name).copied();
        let (item, value, unit) = (column("Item")?, column("Value")?, column("Unit"));
        self.heading_row?;
        let row = self.setting_row(setting).unwrap_or_else(|| {
            let row = self.next_row();
            self.put(row, item, Raw::Text(setting.name().into()), None);
            if let (Some(unit), SettingKind::Number(kind)) = (unit, setting.kind)
                && !kind.symbol().is_empty()
            {
                self.put(row, unit, Raw::Text(kind.symbol().into()), None);
            }
            row
        });
        self.put(row, value, raw, format);
        Some(self.place(row, value))
    }
}
