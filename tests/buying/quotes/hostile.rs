//! What comes back from counters: words for numbers, formulas, errors, rows moved, taken out and doubled, forms of other
//! jobs. Each is told with its file and its cell, and no price is guessed.

use super::filled::*;
use std::fs;
use tallybore::model::order_form as form;

/// The findings of one filled form beside an untouched job: code and cell.
fn reported(fill: impl FnOnce(&mut Form)) -> (serde_json::Value, Vec<(String, String)>) {
    let folder = ordered(JOB);
    let mut form = Form::of(&folder, QUILLMOOR);
    form.price(RING, 15.0);
    fill(&mut form);
    form.save(&folder, "q.xlsx");
    let document = read(&folder, &["q.xlsx"]);
    let all = findings(&document).into_iter().map(|(_, code, cell, _)| (code, cell)).collect();
    (document, all)
}

fn codes(all: &[(String, String)]) -> Vec<&str> {
    all.iter().map(|(code, _)| code.as_str()).collect()
}

#[test]
fn prices_in_words_are_read_only_where_they_are_for_the_unit() {
    for (typed, read_as, code) in [
        ("$12.40 ea", Some("12.4"), "quote-read-as"),
        ("0.47/ft", None, "quote-not-read"),
        ("call", None, "quote-not-read"),
        ("12,40", None, "quote-not-read"),
        ("=HYPERLINK(\"http://example.invalid\")", None, "quote-not-read"),
        ("-3", None, "quote-not-read"),
        ("0", None, "quote-not-read"),
        ("99999999999", None, "quote-not-read"),
    ] {
        let mut cell = String::new();
        let (document, all) = reported(|form| {
            cell = form.place(ASKED[0], form::PRICE);
            form.price(ASKED[0], typed);
        });
        assert_eq!(all, [(code.to_owned(), cell)], "{typed}");
        assert_eq!(price(&document, ASKED[0], "Quillmoor Supply").0.as_deref(), read_as, "{typed}");
    }
    // A plain number in words is a number.
    let (document, all) = reported(|form| _ = form.price(ASKED[0], " $ 1,012.40 "));
    assert!(all.is_empty(), "{all:?}");
    assert_eq!(price(&document, ASKED[0], "Quillmoor Supply").0.as_deref(), Some("1012.4"));
}

#[test]
fn a_formula_is_its_value_and_an_error_is_no_price() {
    let (document, all) = reported(|form| {
        form.price(ASKED[0], Typed::Formula("=2.5*2", "5"));
        form.price(ASKED[1], Typed::Formula("=1/0", "#DIV/0!"));
        form.price(ASKED[3], Typed::Formula("='[prices.xls]List'!B7", "4.25"));
    });
    assert_eq!(codes(&all), ["quote-not-read", "quote-read-as", "quote-read-as"]);
    assert_eq!(price(&document, ASKED[0], "Quillmoor Supply").0.as_deref(), Some("5"));
    assert_eq!(price(&document, ASKED[1], "Quillmoor Supply"), (None, "no price".to_owned()));
    assert_eq!(price(&document, ASKED[3], "Quillmoor Supply").0.as_deref(), Some("4.25"));
}

#[test]
fn rows_are_known_by_their_keys_wherever_they_go() {
    let folder = ordered(JOB);
    let mut form = Form::of(&folder, QUILLMOOR);
    for (at, key) in [PIPE, RING].into_iter().chain(ASKED).enumerate() {
        form.price(key, 1.0 + at as f64);
    }
    let plain = {
        form.save(&folder, "plain.xlsx");
        read(&folder, &["plain.xlsx"])
    };
    // Sorted the other way, so that the totals stand on top, with a blank row and a column put in front.
    let begin = form.headings() + 1;
    let end = form.rows.len();
    form.rows[begin..end].reverse();
    for row in &mut form.rows {
        row.insert(0, None);
    }
    form.rows.insert(begin, vec![]);
    form.save(&folder, "sorted.xlsx");
    let sorted = read(&folder, &["sorted.xlsx"]);
    assert_eq!(plain["lines"], sorted["lines"]);
    assert_eq!(plain["ways"], sorted["ways"]);
}

#[test]
fn rows_taken_out_and_doubled_are_told() {
    let mut cell = String::new();
    let (document, all) = reported(|form| {
        let gone = form.row(ASKED[1]);
        form.rows.remove(gone);
        form.price(ASKED[0], 2.0);
        let at = form.row(ASKED[0]);
        let twin = form.rows[at].clone();
        form.price(ASKED[0], 1.5);
        form.rows.insert(at + 1, twin);
        cell = tallybore::place::a1(at as u32 + 1, form.column(form::PRICE) as u16);
    });
    assert_eq!(codes(&all), ["quote-rows-gone", "quote-twice"]);
    assert_eq!(all[1].1, cell);
    assert_eq!(price(&document, ASKED[0], "Quillmoor Supply").0.as_deref(), Some("2"), "the higher one");
    assert_eq!(price(&document, ASKED[1], "Quillmoor Supply"), (None, "no price".to_owned()));
}

#[test]
fn a_key_that_is_lost_or_no_longer_needed_is_told() {
    let (_, all) = reported(|form| {
        form.price(ASKED[0], 2.0).put(ASKED[0], form::LINE, "see above");
        form.price(ASKED[1], 3.0).put(ASKED[1], form::LINE, "elbow|PEX|1|each 1");
    });
    assert_eq!(codes(&all), ["quote-rows-gone", "quote-without-line", "quote-not-needed"]);
}

#[test]
fn a_price_for_another_unit_or_quantity_is_told() {
    let (document, all) = reported(|form| {
        form.put(RING, form::UNIT, "each");
        form.price(PIPE, 9.5).put(PIPE, form::PACK, "10 ft");
        form.price(ASKED[2], 0.5).put(ASKED[2], form::QUANTITY, 4.0);
    });
    assert_eq!(codes(&all), ["quote-unit-changed", "quote-unit-changed", "quote-quantity-changed"]);
    assert_eq!(price(&document, RING, "Quillmoor Supply").0, None);
    assert_eq!(price(&document, PIPE, "Quillmoor Supply").0, None);
    assert_eq!(price(&document, ASKED[2], "Quillmoor Supply").0.as_deref(), Some("0.5"));
    // A price by the foot where one by the stick was asked for.
    let (_, all) = reported(|form| _ = form.price(PIPE, 0.47));
    assert_eq!(codes(&all), ["quote-unlikely"]);
}

#[test]
fn substitutes_follow_what_the_job_says_of_them() {
    for (policy, code_of, state) in [
        ("call first", "fix", "priced"),
        ("as good", "note", "priced"),
        ("none", "fix", "substitute, and none are wanted"),
    ] {
        let folder = ordered(&JOB.replace("Supply pressure", &format!("Substitutes | {policy}\nSupply pressure")));
        let mut form = Form::of(&folder, QUILLMOOR);
        form.price(PIPE, 9.0).price(RING, 15.0).put(RING, form::SUBSTITUTE, "R-1B").save(&folder, "q.xlsx");
        let document = read(&folder, &["q.xlsx"]);
        let finding = &document["files"][1]["findings"][0];
        assert_eq!((finding["code"].as_str(), finding["severity"].as_str()), (Some("quote-substitute"), Some(code_of)));
        assert_eq!(price(&document, RING, "Quillmoor Supply").1, state);
    }
}

#[test]
fn forms_of_another_job_order_or_form_are_left_out() {
    let other = |change: &dyn Fn(&mut Form)| {
        let folder = ordered(JOB);
        let mut form = Form::of(&folder, QUILLMOOR);
        form.price(RING, 15.0);
        change(&mut form);
        form.save(&folder, "q.xlsx");
        let ran = folder.run(&["quotes", "job.xlsx", "q.xlsx", "--json"]);
        assert_eq!(ran.code, 1, "{}", ran.err);
        let names = folder.names();
        assert!(!names.iter().any(|name| name.contains("quotes")), "{names:?}");
        let document: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        findings(&document).into_iter().map(|(_, code, _, _)| code).collect::<Vec<_>>()
    };
    let property = |name: &'static str, value: &'static str| {
        move |form: &mut Form| {
            form.properties.iter_mut().filter(|(own, _)| own == name).for_each(|(_, old)| *old = value.to_owned());
        }
    };
    assert_eq!(other(&property(form::JOB_PROPERTY, "Other house")), ["nothing-quoted", "form-of-other"]);
    assert_eq!(other(&property(form::NUMBER_PROPERTY, "T-2")), ["nothing-quoted", "form-of-other"]);
    assert_eq!(other(&property(form::PROPERTY, "7")), ["nothing-quoted", "form-not-read"]);
    let no_keys = |form: &mut Form| {
        let (row, column) = (form.headings(), form.column(form::LINE));
        form.rows[row][column] = None;
    };
    assert_eq!(other(&no_keys), ["nothing-quoted", "form-not-read"]);
    let no_headings = |form: &mut Form| {
        let row = form.headings();
        form.rows.remove(row);
    };
    assert_eq!(other(&no_headings), ["nothing-quoted", "form-not-read"]);
}

#[test]
fn an_older_revision_and_a_quote_that_ran_out_are_told_and_used() {
    let (document, all) = reported(|form| {
        form.properties.retain(|(name, _)| name != form::REVISION_PROPERTY);
        form.properties.push((form::REVISION_PROPERTY.to_owned(), "4".to_owned()));
        form.head(form::VALID_UNTIL, "5/1/2026");
    });
    assert_eq!(codes(&all), ["quote-expired", "form-revision"]);
    assert_eq!(price(&document, RING, "Quillmoor Supply").0.as_deref(), Some("15"));
}

#[test]
fn a_form_passed_on_is_told_apart_by_who_quoted_it() {
    let folder = ordered(JOB);
    let mut form = Form::of(&folder, QUILLMOOR);
    form.price(RING, 15.0).head(form::QUOTED_BY, "Ann").save(&folder, "a.xlsx");
    form.price(RING, 14.0).head(form::QUOTED_BY, "Harl & Thrupp").save(&folder, "b.xlsx");
    let document = read(&folder, &["a.xlsx", "b.xlsx"]);
    assert_eq!(price(&document, RING, "Harl & Thrupp").0.as_deref(), Some("14"));
    assert_eq!(price(&document, RING, "Quillmoor Supply").0.as_deref(), Some("15"));
    let codes: Vec<String> = findings(&document).into_iter().map(|(_, code, _, _)| code).collect();
    assert_eq!(codes, ["form-by-other"]);
}

#[test]
fn of_more_suppliers_than_are_searched_that_is_told() {
    let folder = ordered(JOB);
    let names: Vec<String> = (0..11).map(|at| format!("{at}.xlsx")).collect();
    for (at, name) in names.iter().enumerate() {
        let mut form = Form::of(&folder, QUILLMOOR);
        form.head(form::SUPPLIER, format!("House {at}").as_str()).price(RING, 20.0 - at as f64).save(&folder, name);
    }
    let files: Vec<&str> = names.iter().map(String::as_str).collect();
    let document = read(&folder, &files);
    assert_eq!(findings(&document)[0].1, "quotes-many");
    assert_eq!(document["ways"]["proved"], false);
}

#[test]
fn a_csv_is_read_like_the_workbook_it_came_with() {
    let folder = ordered(JOB);
    let csv = String::from_utf8(folder.bytes("job-order-quillmoor-supply.csv")).unwrap();
    let answered: String = csv
        .lines()
        .map(|line| match line.contains(RING) {
            true => format!("{}\r\n", line.replace(",,,,,ring|", ",15.25,yes,,'-as before,ring|")),
            false => format!("{line}\r\n"),
        })
        .collect();
    fs::write(folder.path("q.csv"), &answered).unwrap();
    let document = read(&folder, &["q.csv"]);
    assert_eq!(price(&document, RING, "Quillmoor Supply").0.as_deref(), Some("15.25"));
    assert!(findings(&document).is_empty(), "{:?}", findings(&document));
    // As a program of another country saves it, in letters of one byte, with a name of its own.
    let other = answered.replace(',', ";").replace("as before", "wie fr\u{fc}her");
    let bytes: Vec<u8> = other.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    fs::write(folder.path("z.csv"), bytes).unwrap();
    let document = read(&folder, &["z.csv"]);
    assert_eq!(price(&document, RING, "Quillmoor Supply").0.as_deref(), Some("15.25"));
}

#[test]
fn files_that_are_no_forms_do_not_keep_the_others_from_being_read() {
    let folder = ordered(JOB);
    Form::of(&folder, QUILLMOOR).price(RING, 15.0).save(&folder, "q.xlsx");
    fs::write(folder.path("bad.xlsx"), "not a workbook").unwrap();
    fs::write(folder.path("empty.csv"), "").unwrap();
    fs::write(folder.path("wide.csv"), "a,".repeat(5000)).unwrap();
    fs::write(folder.path("other.csv"), "a,b\r\n\"1,2").unwrap();
    let files = ["q.xlsx", "bad.xlsx", "empty.csv", "wide.csv", "other.csv", "gone.xlsx", "job.xlsx"];
    let ran = folder.run(&[&["quotes", "job.xlsx"][..], &files].concat());
    assert_eq!(ran.code, 3, "{}", ran.err);
    for reported in [
        "not-a-workbook  bad.xlsx",
        "empty-file  empty.csv",
        "oversize-file  wide.csv",
        "form-not-read  other.csv",
        "no-such-file  gone.xlsx",
        "form-not-read  job.xlsx",
    ] {
        assert!(ran.err.contains(reported), "{reported}\n{}", ran.err);
    }
    assert!(ran.out.contains("1 supplier, 1 of 8 lines priced"), "{}", ran.out);
}
