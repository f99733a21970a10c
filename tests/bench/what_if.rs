//! How long 200 combinations of the demonstration house take, and how many whole `price`s that is: `cargo bench`.
//!
//! A row sizes and prices the whole job, but plans no cuts, writes nothing and shares its threads with its neighbors.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};
use tallybore::commands::about::about;
use tallybore::commands::revise::{against, tries};
use tallybore::pipeline::{self, Options};
use tallybore::read::{self, Reading};
use tallybore::write::bid_bytes;

/// The most that 200 combinations may take on two cores.
const LIMIT: Duration = Duration::from_secs(2);

fn price(path: &Path) -> Duration {
    let start = Instant::now();
    let reading = read::open(path);
    let priced = pipeline::price(&reading.job, &reading.book, &reading.findings, &Options::default());
    let Ok(priced) = priced else { panic!("findings stop the demonstration book") };
    black_box(bid_bytes(&priced.book, &reading.book, &about(&reading.job, &reading.book)).expect("a bid"));
    start.elapsed()
}

fn what_if(reading: &Reading) -> (usize, Duration) {
    let pressures: Vec<String> = (40..60).map(|psi| psi.to_string()).collect();
    let lengths: Vec<String> = (5..10).map(|feet| feet.to_string()).collect();
    let typed = [
        "main size=1,1-1/4".to_owned(),
        format!("supply pressure={}", pressures.join(",")),
        format!("run M1 Length ft={}", lengths.join(",")),
    ];
    let Ok(tries) = tries::parse(reading, &typed) else { panic!("the tries are understood") };
    let options = Options::default();
    let Ok(base) = against::priced(reading, &options) else { panic!("findings stop the demonstration book") };
    let start = Instant::now();
    let (rows, _) = tries::price(reading, &tries, base, &options, |_, _| ());
    (black_box(rows).rows.len(), start.elapsed())
}

fn main() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books/prairie-house.xlsx");
    let reading = read::open(&path);
    let rounds = 5;
    let median = |mut times: Vec<Duration>| {
        times.sort();
        times[times.len() / 2]
    };
    let one = median((0..rounds).map(|_| price(&path)).collect());
    let mut count = 0;
    let all = median(
        (0..rounds)
            .map(|_| {
                let (rows, time) = what_if(&reading);
                count = rows;
                time
            })
            .collect(),
    );
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    println!("one price, file to bytes          {:>9.1} ms", one.as_secs_f64() * 1e3);
    println!("{count} combinations, {threads} threads      {:>9.1} ms", all.as_secs_f64() * 1e3);
    println!("one row                           {:>9.2} ms", all.as_secs_f64() * 1e3 / count as f64);
    println!("ratio to one price                {:>9.1}", all.as_secs_f64() / one.as_secs_f64());
    println!("limit                             {:>9.1} ms", LIMIT.as_secs_f64() * 1e3);
    if all > LIMIT {
        println!("over the limit (is the machine busy?)");
        std::process::exit(1);
    }
}
