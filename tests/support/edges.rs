//! Every operation over every kind of operand that programs treat alike: blanks, zeros, words, numbers typed as text.

use super::sample::{number, term};
use tallybore::figure::{Book, Term, Value};
use tallybore::model::{KeptBook, KeptCell, KeptSheet, Raw};
use tallybore::place::Place;
use tallybore::unit::Unit;

/// The book, its input sheet, and what each formula is for.
pub fn book() -> (Book, KeptBook, Vec<(String, Term)>) {
    let raws = [
        ("a blank cell", Raw::Blank),
        ("0", Raw::Number(0.into())),
        ("12", Raw::Number(12.into())),
        ("-2.5", Raw::Number("-2.5".parse().unwrap())),
        ("the word abc", Raw::Text("abc".into())),
        ("12 typed as text", Raw::Text("12".into())),
    ];
    let mut book = Book::new();
    let sheet = book.sheet("Edges", false);
    let mut cells = Vec::new();
    let mut operands = Vec::new();
    for (row, (name, raw)) in raws.into_iter().enumerate() {
        let value = tallybore::raw_value(&raw);
        operands.push((name, book.input_cell(&Place::new("In", row as u32, 0), value)));
        cells.push(KeptCell { row: row as u32, column: 0, raw, formula: None, format: None });
    }
    let five = book_number(&mut book, sheet, "5");
    operands.push(("a constant", term("-3")));
    operands.push(("a figure made on the spot", &five + &term("2")));
    operands.push(("words made on the spot", Term::join(&[&Term::text("ab"), &Term::text("c")])));

    let table = book.table(sheet, "Keys");
    let key = book.column(table, "Key", Unit::None);
    let amount = book.column(table, "Amount", Unit::None);
    let falling = book.column(table, "Falling", Unit::None);
    let keys = ["0", "5", "abc", "t12", "", "12", "ABC", "-2.5"];
    for (index, name) in keys.iter().enumerate() {
        let row = book.row(table);
        match name.strip_prefix('t') {
            Some(text) => _ = book.label(row, key, text),
            None if name.is_empty() => {}
            None if name.starts_with(['a', 'A']) => _ = book.label(row, key, name),
            None => _ = book.rule(row, key, number(name), &"test".into()),
        }
        book.rule(row, amount, Value::Exact((1i64 << index).into()), &"test".into());
        book.rule(row, falling, Value::Exact((20 - 3 * index as i64).into()), &"test".into());
    }
    let (keys, amounts, falling) = (book.whole(key), book.whole(amount), book.whole(falling));

    let list = book.list(sheet, "");
    let label = book.column(list, "", Unit::None);
    let value = book.column(list, "", Unit::None);
    let mut put = Vec::new();
    let yes = five.above(&term("1"));
    let y = Term::text("y");
    let mut add = |name: String, term: Term| {
        let row = book.row(list);
        book.label(row, label, &name);
        put.push((name, book.put(row, value, term)));
    };
    for (name, x) in &operands {
        for (what, made) in [
            ("itself", x.clone()),
            ("cents", x.cents()),
            ("whole up", x.whole_up()),
            ("is blank", x.is_blank()),
            ("is a number", x.is_number()),
            ("as text", x.show(2)),
            ("size key", x.size_key()),
            ("sum where", Term::sum_where(&amounts, &[(&keys, x)])),
            ("count where", Term::count_where(&[(&keys, x)])),
            ("row of", Term::row_of(x, &keys)),
            ("row at least", Term::row_at_least(x, &falling)),
            ("picked", yes.pick(x, &term("2"))),
            ("picked and joined", Term::join(&[&yes.pick(x, &term("2")), &y])),
            ("picked, is it blank", yes.pick(x, &term("2")).is_blank()),
            ("if no fault, joined", Term::join(&[&x.or_if_fault(&term("9")), &y])),
            ("blank looked up and joined", Term::join(&[&Term::at(&keys, &five), x])),
        ] {
            // A blank or wordy key of -1 and the like is no row.
            add(format!("{what} of {name}"), made);
        }
        for (other, z) in &operands {
            add(format!("{name} + {other}"), x + z);
            add(format!("{name} * {other}"), x * z);
            add(format!("greater of {name} and {other}"), x.max(z));
            add(format!("lesser of {name} and {other}"), x.min(z));
            add(format!("sum of {name} and {other}"), Term::total(&[x, z]));
            add(format!("{name} at least {other}"), x.at_least(z));
            add(format!("{name} same as {other}"), x.same(z));
            add(format!("{name} joined to {other}"), Term::join(&[x, z]));
        }
    }
    let sheet = KeptSheet { name: "In".into(), shown: "In".into(), cells, ..KeptSheet::default() };
    (book, KeptBook { sheets: vec![sheet] }, put)
}

fn book_number(book: &mut Book, sheet: tallybore::figure::SheetId, digits: &str) -> Term {
    let list = book.list(sheet, "");
    let column = book.column(list, "", Unit::None);
    let row = book.row(list);
    book.rule(row, column, number(digits), &"test".into())
}
