//! The sizes a bid chooses are the cheapest by the bid's own total: no other size of any one run, with all other sizes
//! chosen anew around it, makes a cheaper bid that keeps every pressure and velocity.

use rust_decimal::Decimal;
use std::path::Path;
use tallybore::finding::Severity;
use tallybore::model::{Field, Raw, Setting, SettingValue, Size};
use tallybore::pipeline::{Options, price};
use tallybore::read;

/// The bid's direct cost, and whether anything needs mending.
fn priced(reading: &read::Reading) -> (Decimal, bool) {
    let priced =
        price(&reading.job, &reading.book, &reading.findings, &Options::default()).unwrap_or_else(|f| panic!("{f:?}"));
    let clean = priced.findings.iter().all(|finding| finding.severity() == Severity::Note);
    (priced.bid.build_up.total.value().as_decimal().unwrap(), clean)
}

fn house_at(psi: u32) -> read::Reading {
    let mut reading = read::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books/prairie-house.xlsx"));
    let field = reading.job.settings.get_mut(&Setting::SupplyPressure).unwrap();
    field.value = Some(SettingValue::Number(psi.into()));
    field.raw = Raw::Number(psi.into());
    reading
}

#[test]
fn no_single_size_beats_the_chosen_ones() {
    let ladder = ["1/2", "3/4", "1", "1-1/4"].map(|size| Size::parse(size).unwrap());
    let mut tried = 0;
    for psi in [52, 58] {
        let reading = house_at(psi);
        let (best, clean) = priced(&reading);
        assert!(clean, "the house can be done at {psi} psi");
        // A few runs of every kind are enough: trunk, branch, hot, cold, hard.
        for name in ["M1", "HD1", "C1", "AC1", "BC1", "H0", "H3", "TB1H", "SH1H", "LTC"] {
            let index = reading.job.runs.iter().position(|run| &*run.name.value == name).unwrap();
            for size in ladder {
                let mut other = reading.clone();
                let run = &mut other.job.runs[index];
                run.size =
                    Field { value: Some(size), raw: Raw::Text(size.to_string().into()), cell: run.size.cell.clone() };
                let (total, clean) = priced(&other);
                // The search counts thousandths of a dollar, the bid cents a line: a few cents may part them.
                let slack = Decimal::new(10, 2);
                assert!(!clean || total + slack >= best, "{name} at {size}, {psi} psi: {total} against {best}");
                tried += usize::from(clean);
            }
        }
    }
    assert!(tried > 30, "only {tried} other choices could be judged");
}
