//! Old and new reconcile to the cent, whatever changes in whatever job.

use crate::support::job::{Made, demonstration};
use crate::support::plan::{changes, plan};
use crate::support::recalc::recalculate_in_process;
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::sync::LazyLock;
use tallybore::commands::revise::against;
use tallybore::figure::{Block, Book, TableId, Value, stale};
use tallybore::finding::{Finding, Severity, text};
use tallybore::pipeline::{self, Options, Priced};
use tallybore::read::{self, Reading};
use tallybore::write::{About, bid_bytes};
use tallybore::{Comparison, Revising, Summary};

pub fn reading(made: &Made) -> Reading {
    let job = made.job.clone();
    read::retype(&Reading { job, findings: Vec::new(), book: made.kept.clone() }, made.kept.clone())
}

/// A revision and both sides of it.
pub struct Revised {
    pub old: Summary,
    pub new: Summary,
    pub comparison: Comparison,
    pub priced: Priced,
    pub reading: Reading,
    /// What comparing found.
    pub found: Vec<Finding>,
}

impl Revised {
    pub fn bytes(&self) -> Vec<u8> {
        bid_bytes(&self.priced.book, &self.reading.book, &About::default()).unwrap()
    }
}

/// The new workbook held against the old one; `Err` when one of the two cannot be priced.
pub fn revise(old: &Reading, new: &Reading) -> Result<Revised, Vec<Finding>> {
    let options = Options::default();
    let was = against::priced(old, &options)?;
    let mut new = new.clone();
    against::lay(&mut new.job, &was);
    let mut findings = Vec::new();
    let [before, after] = [old, &new].map(|reading| against::Side { reading, options: &options });
    let comparison = against::compare(before, after, &was, &mut findings)?;
    let revising = Revising { comparison: Some(comparison.clone()), what_if: None };
    let priced = pipeline::price(&new.job, &new.book, &new.findings, &Options { revising, ..options })?;
    let now = priced.summary(&new.job);
    Ok(Revised { old: was, new: now, comparison, priced, reading: new, found: findings })
}

/// Tables of a sheet by their titles.
pub fn table(book: &Book, sheet: &str, title: &str) -> TableId {
    let spec = book.sheets().iter().find(|spec| &*spec.name == sheet).unwrap_or_else(|| panic!("no sheet {sheet}"));
    let tables = spec.blocks.iter().filter_map(|block| if let Block::Table(id) = block { Some(*id) } else { None });
    tables.into_iter().find(|id| &*book.table_spec(*id).title == title).unwrap_or_else(|| panic!("no table {title}"))
}

/// The rows of a table, each cell as it shows.
pub fn rows(book: &Book, table: TableId) -> Vec<Vec<String>> {
    let spec = book.table_spec(table);
    let columns: Vec<_> = (0..spec.columns.len()).collect();
    let addresses = tallybore::figure::address::addresses(book);
    let first = addresses.tables.get(usize::from(table_index(book, table))).unwrap().first;
    let sheet = book.sheets().iter().find(|s| s.blocks.iter().any(|b| matches!(b, Block::Table(id) if *id == table)));
    let sheet = sheet.unwrap().name.clone();
    (0..spec.rows)
        .map(|row| {
            let cell = |column: &usize| {
                let place = tallybore::place::Place::new(sheet.clone(), first + row, *column as u16);
                let fig = tallybore::figure::trace::find(book, &addresses, &place);
                fig.map_or_else(String::new, |fig| book.value(fig).to_string())
            };
            columns.iter().map(cell).collect()
        })
        .collect()
}

fn table_index(book: &Book, table: TableId) -> u16 {
    let all = book.sheets().iter().flat_map(|sheet| &sheet.blocks);
    let mut ids: Vec<TableId> =
        all.filter_map(|block| if let Block::Table(id) = block { Some(*id) } else { None }).collect();
    ids.sort();
    ids.iter().position(|id| *id == table).unwrap() as u16
}

/// Every check of the Changes sheet says OK, and nothing in the book is stale.
fn proven(revised: &Revised) -> Result<(), TestCaseError> {
    let book = &revised.priced.book;
    for row in rows(book, table(book, "Changes", "Do the differences add up?")) {
        prop_assert_eq!(&row[1], "OK", "{}", row[0]);
    }
    prop_assert_eq!(stale(book).len(), 0);
    // The same by hand: every line's and every part's difference added to the old total.
    let amounts = |summary: &Summary| -> Decimal { summary.lines.iter().map(|line| line.amount).sum() };
    let rest = |summary: &Summary| -> Decimal {
        summary.parts.iter().filter(|(name, _)| name != "Material").map(|(_, amount)| *amount).sum()
    };
    let (old, new) = (&revised.old, &revised.new);
    let by = amounts(new) - amounts(old) + rest(new) - rest(old);
    prop_assert_eq!(old.total + by, new.total);
    let phases: Decimal = new.price.iter().sum::<Decimal>() - old.price.iter().sum::<Decimal>();
    prop_assert_eq!(phases, new.total - old.total);
    let hours: Decimal = new.hours.iter().sum::<Decimal>() - old.hours.iter().sum::<Decimal>();
    prop_assert_eq!(hours, new.all_hours - old.all_hours);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_change_of_any_job_reconciles_to_the_cent_and_cancels_backwards(plan in plan(), changes in changes()) {
        let (a, b) = (reading(&plan.made()), reading(&plan.changed(&changes).made()));
        // A job that cannot be priced (a size that no table has) has nothing to be compared.
        let Ok(there) = revise(&a, &b) else { return Ok(()) };
        let Ok(back) = revise(&b, &a) else { return Ok(()) };
        proven(&there)?;
        proven(&back)?;
        // Pipe that is in without a Size lies at what the other side has: then the choices are not the same both ways.
        if plan.guesses() || plan.changed(&changes).guesses() {
            return Ok(());
        }
        prop_assert_eq!(there.new.total - there.old.total, back.old.total - back.new.total);
        prop_assert_eq!(&there.old.lines, &back.new.lines);
        prop_assert_eq!(&there.new.lines, &back.old.lines);
        prop_assert_eq!(there.new.hours, back.old.hours);
        prop_assert_eq!(there.comparison.inputs.len(), back.comparison.inputs.len());
        if let (Some(why), Some(difference)) = (&there.comparison.attribution, Some(there.new.total - there.old.total)) {
            // What each does alone and what they do together is all there is, by definition; but no part may be lost.
            prop_assert!(why.alone.len() >= 2 || why.chosen_anew.is_some(), "{why:?} {difference}");
        }
    }
}

fn house_with_main(size: &str) -> Reading {
    let mut made = demonstration("prairie-house");
    let main = made.kept.sheets.iter_mut().find(|sheet| &*sheet.name == "Job").unwrap();
    let row = main.cells.iter().find(|cell| cell.raw == tallybore::model::Raw::Text("Main size".into())).unwrap().row;
    main.put(row, 1, tallybore::model::Raw::Text(size.into()), Some("@"));
    reading(&made)
}

/// The house whose main goes from 3/4 to 1.
fn larger_main() -> &'static Revised {
    static REVISED: LazyLock<Revised> = LazyLock::new(|| {
        let revised = revise(&house_with_main("3/4"), &house_with_main("1"));
        revised.unwrap_or_else(|f| panic!("{}", reported(&f)))
    });
    &REVISED
}

#[test]
fn the_main_goes_up_a_size_in_the_demonstration_house() {
    let revised = larger_main();
    proven(revised).unwrap();
    let (old, new) = (&revised.old, &revised.new);
    for run in ["SV1", "SV2", "M1"] {
        assert_eq!((&*old.run(run).unwrap().size, &*new.run(run).unwrap().size), ("3/4\"", "1\""), "{run}");
    }
    assert!(new.least_spare.as_ref().unwrap().0 > old.least_spare.as_ref().unwrap().0, "a larger main leaves more");
    // The tee at the fork behind the main has another run size now.
    let tees = |summary: &Summary| -> Vec<String> {
        let tees = summary.lines.iter().filter(|line| line.item.starts_with("tee PEX"));
        tees.map(|line| line.item.clone()).collect()
    };
    assert_ne!(tees(old), tees(new));
    let book = &revised.priced.book;
    let changed = rows(book, table(book, "Changes", "Inputs changed"));
    assert_eq!(changed.len(), 1);
    assert_eq!(changed[0][..3], ["Main size".to_owned(), "3/4".to_owned(), "1".to_owned()]);
    let runs = rows(book, table(book, "Changes", "Runs: the pipe, and the pressure left at the end"));
    let main = runs.iter().find(|row| row[0] == "SV1").unwrap();
    assert_eq!(main[4..7], ["re-sized".to_owned(), "PE 3/4\"".to_owned(), "PE 1\"".to_owned()]);
    assert!(main[3].parse::<f64>().unwrap() > 0.0, "more pressure at its end: {main:?}");
    let lines = rows(book, table(book, "Changes", "Take-off, line by line"));
    for (item, word) in [("pipe PE 3/4\"", "dropped"), ("pipe PE 1\"", "added")] {
        let line = lines.iter().find(|row| row[0] == item).unwrap_or_else(|| panic!("no {item}"));
        assert_eq!(line[4], word, "{line:?}");
    }
    // The sum of the lines, the rest of the price, and the totals, all by the cells that show them.
    let cells = |title: &str| rows(book, table(book, "Changes", title));
    let number = |text: &str| text.parse::<Decimal>().unwrap();
    let by_lines: Decimal = lines.iter().map(|row| number(&row[7])).sum();
    let parts = cells("From cost to price");
    let rest: Decimal = parts[1..parts.len() - 1].iter().map(|row| number(&row[3])).sum();
    assert_eq!(number(&parts[0][3]), by_lines);
    assert_eq!(old.total + by_lines + rest, new.total);
    assert_eq!(Value::Exact(new.total), *book.value(revised.priced.bid.build_up.total.fig().unwrap()));
}

#[test]
fn the_sheets_of_a_revision_recalculate_to_what_they_hold() {
    let bytes = larger_main().bytes();
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("prairie-house-revised.xlsx");
    std::fs::write(path, &bytes).unwrap();
    let differences = recalculate_in_process(&bytes);
    let reported: Vec<String> = differences.iter().take(20).map(ToString::to_string).collect();
    assert!(differences.is_empty(), "{} differ\n{}", differences.len(), reported.join("\n"));
}

pub fn reported(findings: &[Finding]) -> String {
    let stops: Vec<Finding> = findings.iter().filter(|f| f.severity == Severity::Stop).cloned().collect();
    text::lines("made in a test", &stops)
}
