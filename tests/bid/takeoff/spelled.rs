//! Sizes, lengths and numbers typed into a finished bid in people's own spelling: they count as pricing reads them, or the
//! bid says in red that it does not hold.

use super::live::{Finished, bath, house};
use crate::support::job::job;
use crate::support::recalc::Open;
use rust_decimal::Decimal;
use tallybore::model::{Field, Raw, Setting, SettingValue, Size, parse_feet};
use tallybore::place::Place;
use tallybore::{Amount, ColumnType, Input};

fn cell<T>(field: &Field<T>) -> Place {
    field.cell.clone().expect("the bid has the column")
}

fn words<K: ColumnType>(value: Option<K::Value>, text: &str, place: Place) -> Input<K> {
    Field { value, raw: Raw::Text(text.into()), cell: Some(place) }.into()
}

/// Types sizes into runs of a finished bid, as words.
fn sizes_are_read(bid: &Finished, typed: &[(&str, &str)]) {
    bid.retyped(&format!("{typed:?}"), |job, open: &mut Open| {
        for (run, text) in typed {
            let run = &mut job.runs[bid.run(run)];
            let place = cell(&run.size);
            open.type_words(&place, text);
            run.size = words(Size::parse(text), text, place);
        }
    });
}

#[test]
fn a_size_counts_in_every_common_spelling() {
    // Cells of sizes are of text format: what is typed there stays text.
    let bid = bath();
    sizes_are_read(bid, &[("P1", "1 1/4"), ("P2", "\u{be}"), ("H1", "0.75"), ("H2", "1.25")]);
    sizes_are_read(bid, &[("P1", "3/4 in"), ("P2", "1\u{bd}"), ("H1", "1-1/4\""), ("H2", "1")]);
    // In a cell of any other format a number stays one.
    bid.changed(&[("P2", "0.75")]);
    sizes_are_read(house(), &[("C2", "1 1/4")]);
}

fn lengths_are_read(bid: &Finished, typed: &[(&str, &str)]) {
    bid.retyped(&format!("{typed:?}"), |job, open| {
        for (run, text) in typed {
            let run = &mut job.runs[bid.run(run)];
            let place = cell(&run.length_ft);
            open.type_words(&place, text);
            run.length_ft = words(parse_feet(text), text, place);
        }
    });
}

#[test]
fn a_length_counts_in_every_common_spelling() {
    let bid = bath();
    lengths_are_read(bid, &[("P1", "12 ft"), ("P2", "6\""), ("H1", "12'-6\""), ("H2", "12'6\"")]);
    lengths_are_read(bid, &[("P1", "12 ft 6 in"), ("P2", "14"), ("H1", "9' 3\"")]);
    lengths_are_read(house(), &[("C2", "12'-6\"")]);
}

/// LA1 and LA2 are summed for their task; the bid's own text of a number must not drop out of that.
#[test]
fn the_text_of_a_number_is_the_number() {
    let made = job("Job: Supply pressure | 60
        Job: Labor rate | 80
        Job: Permit | 60
        Terms: allowance | Fixtures of the owner's choice | Amount 400
        Other costs: Haul away | 2 | 20
        Runs: A | SUPPLY | 12 | Size 3/4
        Fixtures: L1 | lavatory | Cold run A | Count 1
        Fixtures: L2 | lavatory | Cold run A
        Fixtures: L3 | lavatory | Cold run A | Count 3
        Prices: stop valve | each | 9.40 | Size 1/2 x 3/8");
    let bid = Finished::of(&made);
    for (row, text) in [(0, "2"), (1, "4"), (2, "5")] {
        bid.retyped(&format!("row {row}: {text}"), |job, open| {
            let place = cell(&job.fixtures[row].count);
            open.type_words(&place, text);
            job.fixtures[row].count = words(text.parse::<Decimal>().ok(), text, place);
        });
    }
    bid.retyped("a price", |job, open| {
        let place = cell(&job.prices[0].price);
        open.type_words(&place, "11.25");
        job.prices[0].price = words("11.25".parse().ok(), "11.25", place);
    });
    bid.retyped("an allowance", |job, open| {
        let place = cell(&job.terms[0].amount);
        open.type_words(&place, "250");
        job.terms[0].amount = words("250".parse().ok().map(Amount::Dollars), "250", place);
    });
    bid.retyped("a permit", |job, open| {
        let field = job.settings.get_mut(&Setting::Permit).unwrap();
        open.type_words(field.cell.as_ref().unwrap(), "95");
        (field.value, field.raw) = (Some(SettingValue::Number(95.into())), Raw::Text("95".into()));
    });
    bid.retyped("the price of another cost", |job, open| {
        let place = cell(&job.other_costs[0].price);
        open.type_words(&place, "33");
        job.other_costs[0].price = words("33".parse().ok(), "33", place);
    });
    // Cleared, it is one again.
    bid.retyped("no count", |job, open| {
        let place = cell(&job.fixtures[2].count);
        open.type_words(&place, "");
        job.fixtures[2].count = Field { value: None, raw: Raw::Blank, cell: Some(place) }.into();
    });
}

#[test]
fn what_no_formula_reads_is_told_in_red() {
    let bid = bath();
    let run = &bid.again.job.runs[bid.run("H1")];
    let (size, length, rise) = (cell(&run.size), cell(&run.length_ft), cell(&run.rise_ft));
    let before = bid.typed_over(&[]);
    let red = |phrases: &[String]| {
        let flags = ["price it again", "are no number", "Items without a price", "Short of pressure"];
        let mut new = phrases.iter().filter(|line| !before.contains(line));
        new.any(|line| flags.iter().any(|flag| line.contains(flag)))
    };
    assert!(!before.iter().any(|line| line.contains("price it again") || line.contains("are no number")));
    for (place, text) in [
        (&size, "46024"),
        (&size, "blue"),
        (&size, "1/0"),
        (&length, "twelve"),
        (&length, "12 feet"),
        (&rise, "-2'6\""),
    ] {
        let phrases = bid.typed_over(&[(place.clone(), text)]);
        assert!(red(&phrases), "{text} at {place}: {phrases:?}");
        // An error anywhere below the total is one.
        let no_number = phrases.iter().any(|line| line.contains("The total or the hours are no number"));
        assert!(no_number || text != "twelve", "{phrases:?}");
    }
}

#[test]
fn a_cleared_main_size_is_told_in_red() {
    let made = job("Job: Supply pressure | 60
        Job: Main size | 1
        Runs: A | SUPPLY | 12
        Runs: B | A | 9
        Fixtures: L1 | lavatory | Cold run B
        Prices: pipe | coil | 40 | Material PEX | Size 1/2 | Pack 100
        Prices: pipe | coil | 90 | Material PEX | Size 1 | Pack 100");
    let bid = Finished::of(&made);
    let place = cell(&bid.again.job.settings[&Setting::MainSize]);
    let phrases = bid.typed_over(&[(place.clone(), "3/4 in")]);
    assert!(!phrases.iter().any(|line| line.contains('#')), "{phrases:?}");
    let before = bid.typed_over(&[]);
    let phrases = bid.typed_over(&[(place, "")]);
    let flagged = |phrases: &[String]| {
        phrases.iter().filter(|line| line.contains("price it again") || line.contains("no number")).count()
    };
    assert_eq!((flagged(&before), flagged(&phrases) > 0), (0, true), "{phrases:?}");
}
