//! The Devices sheet: what stands in the line.

use super::{NOTE, STATUS};
use crate::input::types::{Name, Needed, PipeSize, Positive, Text};
use crate::input::words::DeviceKind;
use crate::input::{Role, Row, Status, column, sheet};
use crate::model::range::range;
use crate::model::vocabulary::REGULATOR;

sheet! {
    /// Something in the line.
    Device = sheet(
        "Devices",
        &["Equipment", "In-line devices"],
        "device",
        "Something in the line: it stands at the start of its run; a manifold at its end, and feeds the runs from it. Several \
         on one run stand as they are usually fitted, the regulator behind the meter and before the rest: for another order \
         give each a run of its own.",
    )
    .by_name("SOF Loss psi");

    name: Name = column("Device", &["Name", "Tag"], "A short name of your own.");
    on_run: Needed = column(
        "On run",
        &["Run", "Line"],
        "The run it stands in, at that run's start; a manifold at its end.",
    )
    .offers_names_of("Runs")
    .decides();
    /// One of [`crate::input::DEVICE_KINDS`].
    kind: DeviceKind = column(
        "Kind",
        &["Type", "Device kind"],
        "What it is: decides the law of its loss and what is bought and done for it.",
    )
    .decides();
    size: PipeSize = column("Size", &["Nominal size", "Connection size"], "Connection size.").decides();
    rated_gpm: Positive<1> = column(
        "Rated gpm",
        &["Rated flow gpm", "Flow gpm"],
        "The flow at which Loss psi was measured.",
    )
    .within(range!(0.1, 0.5, 200, 1000))
    .decides_if_present_with("Loss psi");
    loss_psi: Positive = column("Loss psi", &["Pressure loss psi", "Loss"], "Pressure lost at Rated gpm.")
        .within(range!(0, 0, 50, 200));
    set_psi: Positive = column("Set psi", &["Setting psi", "Outlet psi"], "A regulator's setting.")
        .within(range!(5, 20, 100, 300))
        .decides_if_present()
        .by_row(of_regulator);
    /// Of a manifold.
    ports: Positive = column("Ports", &["Outlets", "Port count"], "How many ports a manifold has.")
        .within(range!(1, 2, 48, 200))
        .whole();
    status: Status = STATUS;
    note: Text = NOTE;
}

/// Of anything else a setting says nothing.
fn of_regulator(row: &dyn Row) -> Role {
    if row.has_word("Kind", REGULATOR) { Role::Present } else { Role::Given }
}
