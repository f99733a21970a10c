//! The Runs sheet: the water pipe, from joint to joint.

use super::{MATERIAL, NOTE, PHASE, SIZE, STATUS};
use crate::input::types::{Feet, Forms, Height, JointRules, Name, Needed, OneOf, Phases, PipeSize, Positive, Text};
use crate::input::{Place, Status, column, sheet};
use crate::model::range::range;

sheet! {
    /// One length of water pipe between two joints.
    Run = sheet(
        "Runs",
        &["Pipe runs", "Water runs", "Piping"],
        "run",
        "One length of water pipe between two joints a row; the runs are trees from the supply.",
    )
    .needed()
    .by_name("M1 Size");

    name: Name = column("Run", &["Run name", "Line"], "A short name of your own, unlike any other.").decides();
    from: Needed = column(
        "From",
        &["Fed by", "Fed from"],
        "The run that feeds it, or SUPPLY where the line leaves the supply.",
    )
    .offers_names_of("Runs")
    .decides();
    material: Text = MATERIAL.decides();
    size: PipeSize = SIZE;
    /// Developed length, ft.
    length_ft: Feet = column(
        "Length ft",
        &["Length", "Len ft", "Feet", "Length (ft)"],
        "Developed length, risers included: 12.5 or 12'6\".",
    )
    .needed()
    .within(range!(0, 0, 500, 20000))
    .decides_if_present();
    rise_ft: Height = column(
        "Rise ft",
        &["Rise", "Rise (ft)"],
        "Height gained from its start to its end; down is negative.",
    )
    .within(range!(-2000, -200, 200, 2000));
    level: Text = column("Level", &["Floor", "Storey"], "Which floor it is on.").wide(8.0).decides();
    bends: Positive = column("Bends", &["Elbows", "Turns"], "How many 90 degree turns need a fitting.")
        .within(range!(0, 0, 100, 1000))
        .whole();
    place: Place = column(
        "Where",
        &["Place", "Location"],
        "inside wall and outside wall: through studs, with nail plates; joist bay: along the joists; inside: in the house and through no framing; crawl space, attic, buried, in slab or open.",
    )
    .decides();
    form: OneOf<Forms> = column("Form", &["Stock"], "stick, coil or auto.").decides();
    joints: OneOf<JointRules> =
        column("Joints", &["Joints allowed"], "none: this run must be one piece (buried, in slab).");
    status: Status = STATUS;
    insulation_in: Positive = column(
        "Insulation in",
        &["Insulation", "Insulation (in)"],
        "Thickness of pipe insulation in inches; blank is none.",
    )
    .within(range!(0, 0, 4, 12));
    rated_walls: Positive = column(
        "Rated walls",
        &["Fire-rated walls", "Rated walls and floors"],
        "How many fire-rated walls and floors it passes: each is caulked.",
    )
    .within(range!(0, 0, 20, 100))
    .whole();
    phase: OneOf<Phases> = PHASE;
    note: Text = NOTE;
}
