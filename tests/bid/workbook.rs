//! The written workbook: what stands in its parts, and what it does with what is dangerous to write.

use crate::support::recalc::recalculate_in_process;
use crate::support::sample::{self, number, term};
use calamine::{Data, Reader};
use std::io::{Cursor, Read};
use tallybore::figure::{Book, Look, Term, Value};
use tallybore::model::{KeptBook, KeptCell, KeptSheet, Raw};
use tallybore::place::Place;
use tallybore::unit::Unit;
use tallybore::write::{About, bid_bytes};

fn part(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

fn kept(name: &str, raw: Raw, formula: Option<&str>) -> KeptSheet {
    let cell = KeptCell { row: 0, column: 0, raw, formula: formula.map(Into::into), format: None };
    KeptSheet { name: name.into(), shown: name.into(), cells: vec![cell], ..KeptSheet::default() }
}

fn values(bytes: &[u8], sheet: &str) -> calamine::Range<Data> {
    calamine::Xlsx::new(Cursor::new(bytes)).unwrap().worksheet_range(sheet).unwrap()
}

/// One figure in a list of its own, on a sheet named `One`.
fn one(term: Term) -> Book {
    let mut book = Book::new();
    let sheet = book.sheet("One", false);
    let list = book.list(sheet, "");
    let column = book.column(list, "", Unit::None);
    let row = book.row(list);
    book.put(row, column, term);
    book
}

#[test]
fn texts_that_look_like_something_else_stay_texts() {
    for words in ["12", "inf", "nan", "-1e5", "TRUE", "FALSE", "#N/A", "#DIV/0!", "0.50"] {
        let (a, b) = words.split_at(1);
        let bytes =
            bid_bytes(&one(Term::join(&[&Term::text(a), &Term::text(b)])), &KeptBook::default(), &About::default());
        let bytes = bytes.unwrap();
        assert_eq!(values(&bytes, "One").get_value((0, 0)), Some(&Data::String(words.to_owned())));
        // The other engine tells an error and the text of its name alike.
        if !words.starts_with('#') {
            assert_eq!(recalculate_in_process(&bytes), Vec::new(), "{words}");
        }
    }
}

#[test]
fn powers_and_negative_constants_stand_in_parentheses() {
    let tower = term("2").pow(&term("3").pow(&term("2")));
    assert_eq!(tower.value().as_f64(), 512.0);
    let bytes = bid_bytes(&one(&tower - &term("-1")), &KeptBook::default(), &About::default()).unwrap();
    assert!(part(&bytes, "xl/worksheets/sheet1.xml").contains("<f>(2^(3^2))-(-1)</f><v>513</v>"));
    assert_eq!(recalculate_in_process(&bytes), Vec::new());
}

#[test]
fn characters_that_no_workbook_may_hold_do_not_spoil_it() {
    let words = "bell \u{7} and form feed \u{c} & <tag> \u{fffe}";
    let book = one(Term::join(&[&Term::text(words), &Term::text("!")]));
    let keep = KeptBook { sheets: vec![kept("Mine", Raw::Text(words.into()), None)] };
    let about = About {
        title: words.into(),
        author: words.into(),
        job_name: words.into(),
        bid: words.into(),
        properties: vec![],
    };
    let bytes = bid_bytes(&book, &keep, &about).unwrap();
    assert_eq!(recalculate_in_process(&bytes), Vec::new());
    for name in ["xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "docProps/core.xml", "xl/sharedStrings.xml"] {
        let text = part(&bytes, name);
        assert!(
            !text.chars().any(|c| (c.is_control() && !matches!(c, '\n' | '\r' | '\t')) || c == '\u{fffe}'),
            "{name}"
        );
    }
}

#[test]
fn very_long_texts_are_written_as_far_as_a_cell_can_hold_them() {
    let words = "long ".repeat(9_000);
    let mut book = one(Term::join(&[&Term::text("a"), &Term::text("b")]));
    let sheet = book.sheet("Long", false);
    book.words(sheet, Look::Words, &words);
    let keep = KeptBook { sheets: vec![kept("Mine", Raw::Text(words.as_str().into()), None)] };
    let bytes = bid_bytes(&book, &keep, &About::default()).unwrap();
    assert!(values(&bytes, "Mine").get_value((0, 0)).unwrap().to_string().len() > 32_000);
}

#[test]
fn a_formula_too_long_to_write_is_refused_by_its_cell() {
    let mut long = term("1");
    for _ in 0..12 {
        long = &long + &long;
    }
    let refused = bid_bytes(&one(long), &KeptBook::default(), &About::default()).unwrap_err();
    assert!(format!("{refused:#}").contains("the formula of A1 is too long"), "{refused:#}");
}

#[test]
fn a_sheet_that_inputs_are_read_from_must_be_there() {
    let mut book = one(term("1"));
    book.input_cell(&Place::new("Gone", 3, 1), number("4"));
    let refused = bid_bytes(&book, &KeptBook::default(), &About::default()).unwrap_err();
    assert!(refused.to_string().contains("Gone!B4"), "{refused}");
}

#[test]
fn the_users_sheets_stand_after_the_findings_and_keep_their_formulas() {
    let bytes = bid_bytes(&sample::book(), &sample::kept(), &sample::about()).unwrap();
    let mut book = calamine::Xlsx::new(Cursor::new(&bytes)).unwrap();
    assert_eq!(book.sheet_names(), ["Bid", "Sizing", "Lines", "Findings", "Job", "Runs", "Scratch", "Rules"]);
    assert_eq!(book.worksheet_formula("Job").unwrap().get_value((5, 1)), Some(&"50*1.25".to_owned()));
    assert_eq!(values(&bytes, "Job").get_value((5, 1)), Some(&Data::Float(62.5)));
    assert_eq!(book.worksheet_formula("Scratch").unwrap().get_value((3, 1)), Some(&"Runs!D3+Runs!D4+56.45".to_owned()));
    let hidden = book.sheets_metadata().iter().filter(|sheet| sheet.visible != calamine::SheetVisible::Visible);
    assert_eq!(hidden.map(|sheet| sheet.name.as_str()).collect::<Vec<_>>(), ["Scratch"]);
}

#[test]
fn formulas_that_cannot_stand_in_the_bid_leave_their_value() {
    let sheets = vec![
        kept("One", Raw::Number(7.into()), None),
        kept("Mine", Raw::Number("3.5".parse().unwrap()), Some("One!A1/2")),
        kept("Other", Raw::Fault("#REF!".into()), Some("Gone!A1")),
        kept("Clock", Raw::Number(46_000.into()), Some("TODAY()")),
    ];
    // The user's own `One` is moved aside by a sheet of ours, so a formula over it would read the wrong one.
    let bytes = bid_bytes(&one(term("1")), &KeptBook { sheets }, &About::default()).unwrap();
    let mut book = calamine::Xlsx::new(Cursor::new(&bytes)).unwrap();
    assert_eq!(book.sheet_names(), ["One", "One (yours)", "Mine", "Other", "Clock"]);
    for (sheet, value) in [("Mine", 3.5), ("Clock", 46_000.0)] {
        assert_eq!(book.worksheet_formula(sheet).unwrap().get_value((0, 0)).filter(|f| !f.is_empty()), None);
        assert_eq!(values(&bytes, sheet).get_value((0, 0)), Some(&Data::Float(value)));
    }
    assert_eq!(recalculate_in_process(&bytes), Vec::new());
}

#[test]
fn names_links_and_properties_are_there() {
    let bytes = bid_bytes(&sample::book(), &sample::kept(), &sample::about()).unwrap();
    let workbook = part(&bytes, "xl/workbook.xml");
    // The price stands in B12 of the Bid.
    assert!(workbook.contains("<definedName name=\"BidTotal\">Bid!$B$12</definedName>"), "{workbook}");
    assert_eq!(values(&bytes, "Bid").get_value((11, 1)), Some(&Data::Float(2956.16)));
    let custom = part(&bytes, "docProps/custom.xml");
    assert!(custom.contains("name=\"tallybore-bid\"><vt:lpwstr>1</vt:lpwstr>"), "{custom}");
    assert!(custom.contains("name=\"job-digest\"><vt:lpwstr>abc123</vt:lpwstr>"));
    let findings = part(&bytes, "xl/worksheets/sheet4.xml");
    assert!(findings.contains("location=\"Runs!C4\""), "{findings}");
    // A link on a formula leaves the formula.
    assert!(findings.contains("location=\"Lines!C5\"") && findings.contains("<f>\"Total now \""));
}

#[test]
fn every_sheet_prints_one_page_wide_with_its_name_and_no_date() {
    let bytes = bid_bytes(&sample::book(), &sample::kept(), &sample::about()).unwrap();
    for index in 1..=8 {
        let sheet = part(&bytes, &format!("xl/worksheets/sheet{index}.xml"));
        assert!(sheet.contains("fitToHeight=\"0\"") && sheet.contains("paperSize=\"1\""), "sheet {index}");
        assert!(sheet.contains("Page &amp;P of &amp;N") && !sheet.contains("&amp;D"), "sheet {index}");
        assert!(sheet.contains("House on the hill &amp;&amp; barn"), "sheet {index}");
    }
    let bid = part(&bytes, "xl/worksheets/sheet1.xml");
    assert!(bid.contains("<rowBreaks"));
    assert!(part(&bytes, "xl/workbook.xml").contains("name=\"_xlnm.Print_Titles\""));
}

#[test]
fn blanks_in_a_table_are_no_cells_and_a_formula_over_one_shows_nothing_but_zero() {
    let mut book = Book::new();
    let sheet = book.sheet("One", false);
    let table = book.table(sheet, "");
    let (a, b) = (book.column(table, "A", Unit::None), book.column(table, "B", Unit::None));
    let row = book.row(table);
    let blank = book.input_cell(&Place::new("Mine", 5, 5), Value::Blank);
    let shown = book.put(row, b, blank);
    assert_eq!(*shown.value(), number("0"));
    assert!(book.at(row, a).is_none());
    let keep = KeptBook { sheets: vec![kept("Mine", Raw::Number(1.into()), None)] };
    let bytes = bid_bytes(&book, &keep, &About::default()).unwrap();
    let sheet = part(&bytes, "xl/worksheets/sheet1.xml");
    assert!(!sheet.contains("r=\"A2\"") && sheet.contains("<f>Mine!F6</f><v>0</v>"), "{sheet}");
}
