//! The sizes a bid chooses are the cheapest by the bid's own total: no other size of any one run, with all other sizes
//! chosen anew around it, makes a cheaper bid that keeps every pressure and velocity.

use crate::support::job::{Made, job_of_book};
use rust_decimal::Decimal;
use std::path::Path;
use tallybore::model::{Raw, Setting, SettingValue, Size};
use tallybore::pipeline::{Options, Tables, sum_up};
use tallybore::read;

/// What the bid comes to, and whether anything needs mending.
fn priced(reading: &read::Reading, tables: &Tables) -> (Decimal, bool) {
    let summary = sum_up(&reading.job, &reading.findings, tables, &Options::default());
    let summary = summary.unwrap_or_else(|findings| panic!("{findings:?}"));
    (summary.total, summary.verdict().words() == "yes")
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
    // A few runs of every kind are enough: trunk, branch, hot, cold, hard.
    for (psi, names) in [(52, ["M1", "C1", "SH1H"]), (58, ["HD1", "H0", "TB1H"])] {
        let reading = house_at(psi);
        let tables = Tables::of(&reading.job, &[]);
        let (best, clean) = priced(&reading, &tables);
        assert!(clean, "the house can be done at {psi} psi");
        for name in names {
            let index = reading.job.runs.iter().position(|run| &*run.name.value == name).unwrap();
            for size in ladder {
                let mut other = reading.clone();
                let run = &mut other.job.runs[index];
                run.size = run.size.holding(Some(size), Raw::Text(size.to_string().into()));
                let (total, clean) = priced(&other, &tables);
                // The search counts thousandths of a dollar, the bid cents a line: a few cents may part them.
                let slack = Decimal::new(10, 2);
                assert!(!clean || total + slack >= best, "{name} at {size}, {psi} psi: {total} against {best}");
                tried += usize::from(clean);
            }
        }
    }
    assert!(tried > 8, "only {tried} other choices could be judged");
}

/// The house with every size typed, at a pressure at which any size will do, with these rows in Job.
fn typed_house(rows: &str) -> Made {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books/prairie-house.txt");
    let text = std::fs::read_to_string(path).unwrap();
    // Trips go by whole days of hired work: no piece decides a step of those, and the search leaves the way there out.
    let others =
        ["Escalation ", "Start date ", "Drive hours ", "Drive miles ", "Supply house hours ", "Supply house miles "];
    let own = ["Contingency ", "Supply pressure ", "Form ", "Joining "];
    let kept = text.lines().filter(|line| !own.iter().chain(&others).any(|item| line.starts_with(item)));
    let text = kept.collect::<Vec<_>>().join("\n");
    let job = "Item                   | Value                                          | Unit | Note\n";
    assert!(text.contains(job));
    let own = "Contingency | 0%\nSupply pressure | 300\n";
    let made = job_of_book(&text.replacen(job, &format!("{job}{own}{rows}\n"), 1));
    // The bid rounds spare rings up to whole ones; the search knows shares.
    let spares =
        "kind,share,note,source,basis\nring,0,,for comparing,common practice\nclamp,0,,for comparing,common practice\n";
    let mut made = made.with_rules("spares.csv", spares);
    let chosen = made.price();
    for (position, index) in chosen.network.order.iter().enumerate() {
        made.type_size(*index, chosen.subjects.water.sizes[position].unwrap());
    }
    made
}

/// What the search reckons and what the bid comes to.
fn both(made: &Made, tables: &Tables) -> (Decimal, Decimal) {
    (made.sized().sizes.search_cost.expect("300 psi will do"), made.summed(tables).total)
}

#[test]
fn the_search_weighs_what_the_bid_charges() {
    let jobs = [
        "Joining | crimp\nEscalation | to start date\nStart date | 2028-06-13",
        "Shutoff valves | per bath\nForm | coil\nInsulate | hot",
        "Stud depth | 5.5\nStud spacing | 24\nFittings loss | none\nJoining | clamp",
    ];
    let ladder = ["1/2", "3/4", "1", "1-1/4"].map(|size| Size::parse(size).unwrap());
    let mut apart = Decimal::ZERO;
    for (number, rows) in jobs.iter().enumerate() {
        let made = typed_house(rows);
        let tables = made.tables();
        let (weighed, charged) = both(&made, &tables);
        let mut moved = Decimal::ZERO;
        let runs = (0..made.job.runs.len()).filter(|index| made.job.runs[*index].status.value.is_none());
        for index in runs.skip(3 * number).step_by(24) {
            // Service tube comes in no 1/2.
            let of_pe = made.job.runs[index].material.text() == "PE";
            for size in ladder.into_iter().skip(usize::from(of_pe)) {
                let mut other = made.clone();
                other.type_size(index, size);
                let (w, c) = both(&other, &tables);
                let off = ((w - weighed) - (c - charged)).abs();
                // Cents of the bid's lines, thousandths of the search's prices.
                let run = &made.job.runs[index].name.value;
                let moves = format!("{run} at {size}: the search {}, the bid {}", w - weighed, c - charged);
                assert!(off <= Decimal::new(10, 2), "{rows}: {moves}");
                apart = apart.max(off);
                moved = moved.max((c - charged).abs());
            }
        }
        assert!(moved > Decimal::TEN, "no size moved the bid");
    }
    println!("apart by {apart} at most");
}
