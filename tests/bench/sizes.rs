//! How long the sizing of a large job takes, the search by itself and the whole stage with its figures: `cargo bench`.
//!
//! 2,000 runs: 25 mains, each with a trunk of forty lengths and a branch off each but the last, tight in pressure, so
//! that the search has something to weigh.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant};
use tallybore::Settings;
use tallybore::View;
use tallybore::figure::Book;
use tallybore::model::book_text;
use tallybore::model::network::Network;
use tallybore::rules::Rules;
use tallybore::water::size;
use tallybore::write::job_book;
use tallybore::{Page, Pages};
use tallybore::{pipeline, read};

const MAINS: usize = 25;
const TRUNK: usize = 40;
/// The most that the stage may take.
const LIMIT: Duration = Duration::from_secs(1);

/// A pressure at which some sizes will do, and one at which none will.
const SUPPLIES_PSI: [u32; 2] = [45, 15];

fn text(psi: u32) -> String {
    let mut fixtures = "[Fixtures]\nTag | Fixture | Cold run\n".to_owned();
    let mut runs = "[Runs]\nRun | From | Length ft | Rise ft\n".to_owned();
    for main in 0..MAINS {
        let mut from = "SUPPLY".to_owned();
        for at in 0..TRUNK {
            let name = format!("T{main}.{at}");
            let _ = writeln!(runs, "{name} | {from} | {} | {}", 3 + at % 5, at % 2);
            let _ = writeln!(runs, "B{main}.{at} | {name} | {} | 2", 5 + at % 7);
            let fixture = ["lavatory", "water closet", "shower", "kitchen sink"][at % 4];
            let _ = writeln!(fixtures, "F{main}.{at} | {fixture} | B{main}.{at}");
            from = name;
        }
    }
    let mut prices = "[Prices]\nKind | Material | Size | Unit | Pack | Price\n".to_owned();
    for (size, price) in
        [("1/2", "48.50"), ("3/4", "88"), ("1", "150"), ("1-1/4", "260"), ("1-1/2", "370"), ("2", "640")]
    {
        let _ = writeln!(prices, "pipe | PEX | {size} | coil | 100 | {price}");
    }
    format!(
        "[Job]\nItem | Value\nSupply pressure | {psi}\nLoss method | Darcy-Weisbach\n\n{fixtures}\n{runs}\n{prices}"
    )
}

fn main() {
    let only_once = std::env::args().any(|arg| arg == "--test");
    SUPPLIES_PSI.into_iter().for_each(|psi| measure(psi, only_once));
}

fn measure(psi: u32, only_once: bool) {
    let (book, faults) = book_text::parse(&text(psi));
    assert!(faults.is_empty(), "{faults:?}");
    let file = std::env::temp_dir().join(format!("tallybore-bench-{}.xlsx", std::process::id()));
    std::fs::write(&file, job_book::from_text(&book).expect("a job workbook")).expect("a file to read");
    let reading = read::open(&file);
    let _ = std::fs::remove_file(&file);
    let job = &reading.job;
    let (network, rules, findings): (Network, Rules, _) = pipeline::check(job, &pipeline::Options::default());
    assert!(findings.iter().all(|f| f.severity != tallybore::finding::Severity::Stop), "{findings:?}");
    let mut times = Vec::new();
    let mut found = false;
    for _ in 0..if only_once { 1 } else { 10 } {
        let start = Instant::now();
        let mut book = Book::new();
        let pages = Pages::put(&mut book, tallybore::pages(), Vec::new());
        let settings = Settings::put(&mut book, pages.id(Page::Defaults), job, tallybore::settings());
        let view = View::new(job, &rules, &network, &settings, &pages);
        let sizes = black_box(size::size(&mut book, &view, &mut Vec::new()));
        times.push(start.elapsed());
        found = sizes.search_cost.is_some();
    }
    times.sort();
    let (least, median) = (times[0], times[times.len() / 2]);
    println!(
        "{} runs at {psi} psi sized, with all their figures: least {least:.0?}, median {median:.0?}",
        network.len()
    );
    println!("  {}", if found { "an optimum, proven" } else { "no sizes will do" });
    assert!(only_once || cfg!(debug_assertions) || least < LIMIT, "more than {LIMIT:.0?}");
}
