//! The Fixtures sheet: what is set, where, and the runs that feed it.

use super::{NOTE, STATUS};
use crate::input::types::{Name, Needed, Positive, Text};
use crate::input::{Status, column, sheet};
use crate::model::range::range;
use crate::model::vocabulary;

sheet! {
    /// One fixture, or several alike at the end of the same runs.
    Fixture = sheet(
        "Fixtures",
        &["Fixture list", "Fixture schedule"],
        "fixture",
        "One fixture a row, or several alike at the end of the same runs.",
    )
    .needed()
    .by_name("L1 Count");

    tag: Name = column("Tag", &["Mark", "Fixture tag", "ID"], "A short name of your own: WC1, L2.");
    fixture: Needed = column(
        "Fixture",
        &["Type", "Fixture type"],
        "water closet, lavatory, bathtub, shower, kitchen sink, dishwasher, clothes washer, laundry tray, bar sink, hose bibb, urinal, service sink, drinking fountain, bidet; other needs Gpm.",
    )
    .offers(vocabulary::FIXTURES)
    .wide(24.0)
    .decides();
    room: Text = column("Room", &["Location"], "Where it stands.").wide(17.0).free();
    group: Text = column(
        "Group",
        &["Fixture group"],
        "full bath, half bath, kitchen or laundry, with a name after it (full bath A): fixtures of one group share the code's group value.",
    )
    .wide(17.0)
    .decides();
    count: Positive<1> = column("Count", &["Qty", "Quantity", "No."], "How many alike; blank means 1.")
        .within(range!(0, 0, 100, 1000))
        .whole();
    cold_run: Text = column("Cold run", &["Cold", "Cold from"], "The run whose end feeds its cold side.")
        .offers_names_of("Runs")
        .decides();
    hot_run: Text = column("Hot run", &["Hot", "Hot from"], "The run whose end feeds its hot side.")
        .offers_names_of("Runs")
        .decides();
    gpm: Positive = column(
        "Gpm",
        &["Flow gpm"],
        "Makes it a continuous flow of this much in place of fixture units (irrigation, a fill valve).",
    )
    .within(range!(0, 0, 100, 1000))
    .decides_if_present();
    need_psi: Positive = column(
        "Need psi",
        &["Required psi", "Flow pressure psi"],
        "Flow pressure it needs; blank takes the code's table.",
    )
    .within(range!(0, 0, 80, 200));
    drain: Text = column("Drain", &["Drain run"], "The drain it empties into.").offers_names_of("Drains");
    status: Status = STATUS;
    note: Text = NOTE;
}
