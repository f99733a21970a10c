//! Its sheet of the job workbook, and its setting.

use crate::input::sheets::{NOTE, STATUS};
use crate::input::types::{Feet, Name, NeededOneOf, Positive, Text, WordList};
use crate::input::{Status, column, sheet};
use crate::model::SettingKind::Number;
use crate::model::range::range;
use crate::model::setting::settings;
use crate::unit::Unit;

settings! {
    GardenLimit, "Garden limit", ["Garden draws at most"], Number(Unit::None), "400", "Gallons an hour that the garden may draw.", range!(1, 50, 2000, 100000);
}

/// What waters.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Emitters;

impl WordList for Emitters {
    const WORDS: &'static [&'static str] = &["dripper", "spray"];
}

sheet! {
    /// Emitters that water together.
    Zone = sheet("Garden", &["Irrigation"], "zone", "One zone of the garden a row: what waters together.")
        .by_name("Z1 Emitters");

    name: Name = column("Zone", &["Name"], "A short name of your own.");
    emitter: NeededOneOf<Emitters> = column("Emitter", &["Kind"], "What waters.").decides();
    count: Positive<1> = column("Emitters", &["Count"], "How many of them.").within(range!(1, 1, 60, 500));
    hose_ft: Feet = column("Hose ft", &["Hose"], "Hose along them, in feet.")
        .within(range!(0, 0, 300, 1000))
        .decides_if_present();
    status: Status = STATUS;
    note: Text = NOTE;
}
