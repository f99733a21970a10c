//! The Drains sheet: the drain pipe, from fitting to fitting. Nothing is figured from it yet.

use super::{MATERIAL, NOTE, SIZE, STATUS};
use crate::input::types::{Feet, Name, Needed, PipeSize, Positive, Text};
use crate::input::{Place, Status, column, sheet};
use crate::model::range::range;
use crate::model::vocabulary;

sheet! {
    /// One length of drain between two fittings.
    Drain = sheet("Drains", &["Drain runs", "Waste"], "drain", "One length of drain between two fittings a row.")
        .by_name("D1 Length ft")
        .idle();

    name: Name = column("Drain", &["Name"], "A short name of your own.");
    to: Needed = column("To", &["Into"], "The drain it runs into, or SEWER.").offers_names_of("Drains");
    material: Text = MATERIAL.offers(vocabulary::DRAIN_MATERIALS);
    size: PipeSize = SIZE;
    /// Developed length, ft.
    length_ft: Feet = column("Length ft", &["Length", "Feet"], "Developed length.")
        .needed()
        .within(range!(0, 0, 2000, 20000));
    slope_in_per_ft: Positive = column("Slope in/ft", &["Slope", "Grade in/ft"], "Fall in inches a foot.")
        .within(range!(0, 0, 3, 12));
    place: Place = column("Where", &["Place"], "inside, crawl space, buried, in slab.");
    vent: Text = column("Vent", &["Vented by"], "How it is vented.").prose(24.0);
    status: Status = STATUS;
    note: Text = NOTE;
}
