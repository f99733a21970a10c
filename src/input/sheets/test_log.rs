//! The Test log sheet: readings of the gauge. Nothing is figured from it yet.

use super::NOTE;
use crate::input::types::{Media, Name, Number, OneOf, Positive, Text};
use crate::input::{column, sheet};
use crate::model::range::range;

sheet! {
    /// A gauge reading.
    TestReading = sheet("Test log", &["Tests", "Gauge log"], "reading", "A gauge reading.").idle();

    test: Name = column("Test", &["Name"], "Which test.");
    read_at: Text = column("Read at", &["Time", "When"], "When the gauge was read.").needed().wide(17.0).key();
    gauge_psi: Positive = column("Gauge psi", &["Gauge", "Psi"], "What it read.")
        .needed()
        .within(range!(0, 0, 250, 1000));
    temperature_f: Number = column("Temperature F", &["Temp F", "Temperature"], "Temperature at the pipe.")
        .within(range!(-130, -40, 150, 250));
    medium: OneOf<Media> = column("Medium", &["Test medium"], "air or water.");
    note: Text = NOTE;
}
