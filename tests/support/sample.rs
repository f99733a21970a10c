//! A small bid of an invented job: every look, every kind of cell.

use rust_decimal::Decimal;
use std::sync::Arc;
use tallybore::figure::{Book, CellKind, ColumnId, ColumnLook, Look, Term, Value};
use tallybore::model::{KeptBook, KeptCell, KeptSheet, Raw, columns};
use tallybore::place::Place;
use tallybore::unit::Unit;
use tallybore::write::About;

pub fn number(text: &str) -> Value {
    Value::Exact(text.parse::<Decimal>().unwrap())
}

pub fn term(text: &str) -> Term {
    Term::constant(number(text))
}

pub fn about() -> About {
    About {
        title: "Bid for the house on the hill".into(),
        author: "Hill & Hollow Plumbing".into(),
        job_name: "House on the hill & barn".into(),
        bid: "Bid H & H-7, revision 2".into(),
        properties: vec![("job-digest".into(), "abc123".into())],
    }
}

const RUNS: &[(&str, &str, &str, &str, &str)] = &[
    ("A", "SUPPLY", "1\"", "42.5", "4"),
    ("B", "A", "3/4\"", "18.25", "9.5"),
    ("C", "B", "1/2\"", "12", "0"),
    ("D", "B", "1/2\"", "7.75", "0"),
    ("E", "A", "3/4\"", "31.2", "0"),
];

/// The user's own sheets: Job and Runs, with a formula, a size as text and a date.
pub fn kept() -> KeptBook {
    let text = |words: &str| Raw::Text(words.into());
    let cell = |row, column, raw| KeptCell { row, column, raw, formula: None, format: None };
    let exact = |digits: &str| Raw::Number(digits.parse().unwrap());
    let mut job = vec![cell(0, 0, text("Item")), cell(0, 1, text("Value")), cell(0, 2, text("Note"))];
    job.extend([
        cell(1, 0, text("Job name")),
        cell(1, 1, text("House on the hill & barn")),
        cell(2, 0, text("Supply pressure")),
        cell(2, 1, exact("58")),
        cell(3, 0, text("Tax rate")),
        cell(3, 1, exact("0.0725")),
        cell(4, 0, text("Date")),
        cell(4, 1, Raw::Date(Decimal::from(46024))),
        cell(5, 0, text("Labor rate")),
        cell(6, 0, text("Prepared for")),
        cell(6, 1, text("<owner> & \"sons\"")),
    ]);
    job.push(KeptCell {
        row: 5,
        column: 1,
        raw: exact("62.5"),
        formula: Some("50*1.25".into()),
        format: Some("0.00".into()),
    });
    job.sort_by_key(|cell| (cell.row, cell.column));
    let headings = ["Run", "From", "Size", "Length ft", "Rise ft"];
    let mut runs: Vec<KeptCell> =
        headings.iter().enumerate().map(|(column, heading)| cell(1, column as u16, text(heading))).collect();
    runs.push(cell(0, 0, text("All runs of the house")));
    for (row, (run, from, size, length, rise)) in (2..).zip(RUNS) {
        runs.extend([
            cell(row, 0, text(run)),
            cell(row, 1, text(from)),
            cell(row, 2, text(size.trim_end_matches('"'))),
            cell(row, 3, exact(length)),
            cell(row, 4, exact(rise)),
        ]);
    }
    runs.sort_by_key(|cell| (cell.row, cell.column));
    KeptBook {
        sheets: vec![
            KeptSheet {
                name: "Job".into(),
                shown: "Job".into(),
                declared: Some(&columns::JOB),
                heading_row: Some(0),
                column_of: [("Item", 0), ("Value", 1), ("Note", 2)].into(),
                cells: job,
                ..KeptSheet::default()
            },
            KeptSheet {
                name: "Runs".into(),
                shown: "Runs".into(),
                declared: Some(&tallybore::Run::SHEET),
                heading_row: Some(1),
                column_of: [("Run", 0), ("From", 1), ("Size", 2), ("Length ft", 3), ("Rise ft", 4)].into(),
                cells: runs,
                merged: vec![(0, 0, 0, 4)],
                ..KeptSheet::default()
            },
            KeptSheet {
                name: "Scratch".into(),
                shown: "Scratch".into(),
                hidden: true,
                cells: vec![KeptCell {
                    row: 3,
                    column: 1,
                    raw: exact("117.2"),
                    formula: Some("Runs!D3+Runs!D4+56.45".into()),
                    format: None,
                }],
                ..KeptSheet::default()
            },
        ],
    }
}

/// Bid, Sizing, Lines, Findings and Rules.
pub fn book() -> Book {
    let mut book = Book::new();
    let bid = book.sheet("Bid", false);
    let sizing = book.sheet("Sizing", true);
    let lines = book.sheet("Lines", true);
    let findings = book.sheet("Findings", true);
    let rules = book.sheet("Rules", false);
    let source: Arc<str> = "invented for this test".into();

    // Rules
    book.words(rules, Look::Title, "Rules");
    let caps = book.table(rules, "Flow a size may carry");
    let cap_size = book.column(caps, "Size", Unit::None);
    let cap_gpm = book.column(caps, "Gpm", Unit::Gpm);
    let cap_source = book.column(caps, "Source", Unit::None);
    let mut cap_rows = Vec::new();
    for (size, gpm) in [("1\"", "21"), ("3/4\"", "11.5"), ("1/2\"", "5.5")] {
        let row = book.row(caps);
        book.rule(row, cap_size, Value::text(size), &source);
        cap_rows.push(book.rule(row, cap_gpm, number(gpm), &source));
        book.label(row, cap_source, &source);
    }

    // Sizing
    book.words(sizing, Look::Title, "Sizing");
    book.words(
        sizing,
        Look::Words,
        "Each run with the flow it must carry and the size picked for it. A size given in Runs is the user's word; a blank \
         one was chosen. The check compares the flow with what the size may carry.",
    );
    let table = book.table(sizing, "Runs");
    let run = book.column(table, "Run", Unit::None);
    let length = book.column(table, "Length", Unit::Feet);
    let flow = book.column(table, "Flow", Unit::Gpm);
    let size = book.column(table, "Size", Unit::None);
    let limit = book.column(table, "May carry", Unit::Gpm);
    let check =
        book.column_like(table, "Check", ColumnLook { kind: CellKind::Check, ..ColumnLook::plain(Unit::None, 0.0) });
    let loss = book.column(table, "Loss per 100 ft at this flow", Unit::PsiPer100Ft);
    let share = book.column(table, "Share of the whole", Unit::Percent);
    let remark =
        book.column_like(table, "Remark", ColumnLook { kind: CellKind::Quiet, ..ColumnLook::plain(Unit::None, 34.0) });
    let (sizes, gpms) = (book.whole(cap_size), book.whole(cap_gpm));
    let mut lengths = Vec::new();
    let rows: Vec<_> = RUNS.iter().map(|_| book.row(table)).collect();
    for (index, (name, _, picked, feet, _)) in RUNS.iter().enumerate() {
        let row = rows[index];
        book.label(row, run, name);
        let input = book.input_cell(&Place::new("Runs", index as u32 + 2, 3), number(feet));
        let own = book.put(row, length, input);
        lengths.push(own.clone());
        let gpm = book.put(row, flow, term("9.8").min(&(&own * &term("0.31"))));
        let choice = book.choose_now(row, size, Value::text(*picked));
        let at = Term::row_of(&choice, &sizes);
        let may = book.put(row, limit, Term::at(&gpms, &at).or_if_fault(&term("0")));
        let verdict = may.at_least(&gpm).pick(&Term::text("OK"), &Term::text("too small for this flow"));
        let verdict = book.put(row, check, verdict);
        book.check_choice(&choice, &verdict);
        book.put(row, loss, gpm.pow(&term("1.852")) * term("0.0837") / own.clone());
        if index == 1 {
            book.label(
                row,
                remark,
                "A remark that goes on for some time, to see that words in a column wrap within it and are not cut off.",
            );
        }
    }
    let all = book.whole(length);
    for (row, own) in rows.iter().zip(&lengths) {
        book.put(*row, share, own / &Term::sum(&all));
    }

    // Lines
    book.words(lines, Look::Title, "Lines of the bid");
    let (total, tax, labor) = priced_lines(&mut book, lines);

    // Bid
    book.words(bid, Look::Title, "House on the hill & barn");
    book.words(bid, Look::Small, "Bid 1042, revision 0, good for 30 days");
    let facts = book.list(bid, "This job");
    let fact = book.column(facts, "", Unit::None);
    let value = book.column(facts, "", Unit::None);
    let row = book.row(facts);
    book.label(row, fact, "Prepared for");
    book.label(
        row,
        value,
        "The owner of the house on the hill, who would like to know what all of this costs before the frost, and why.",
    );
    let row = book.row(facts);
    book.label(row, fact, "Supply pressure");
    let pressure = book.input_cell(&Place::new("Job", 2, 1), number("58"));
    let pressure = book.put(row, value, pressure);
    book.unit(&pressure, Unit::Psi);
    let row = book.row(facts);
    book.label(row, fact, "Tax rate");
    let rate = book.put(row, value, tax.clone());
    book.unit(&rate, Unit::Percent);
    book.name(&rate, "TaxRate");

    let totals = book.list(bid, "Price");
    let what = book.column_like(totals, "", ColumnLook::plain(Unit::None, 34.0));
    let amount = book.column(totals, "", Unit::Money);
    let mut put = |label: &str, value: Term, kind: CellKind| {
        let row = book.row(totals);
        book.mark(row, kind);
        book.label(row, what, label);
        book.put(row, amount, value)
    };
    let material = put("Material", total, CellKind::Plain);
    let tax = put("Sales tax on material", (&material * &rate).cents(), CellKind::Plain);
    let hours = put("Labor", labor, CellKind::Plain);
    let price = put("Price of the job", Term::total(&[&material, &tax, &hours]), CellKind::Total);
    let back = &price - &(&(&material + &tax) + &hours);
    let tied = term("0").at_least(&back).pick(&Term::text("OK"), &Term::text("parts do not add up"));
    put("Parts add up", tied, CellKind::Check);
    book.name(&price, "BidTotal");
    book.line(
        bid,
        Look::Words,
        Term::join(&[
            &Term::text("We offer to do the work named here for $"),
            &price.show(2),
            &Term::text(", at "),
            &pressure.show(0),
            &Term::text(" psi, as \"drawn\"; what is not named is not included. "),
            &Term::text("This sentence is a formula and follows the figures it tells. ".repeat(3)),
        ]),
    );
    book.words(
        bid,
        Look::Caution,
        "Water on before the frost: pipes in the outside wall of the barn freeze in 7 hours at the design low.",
    );
    book.gap(bid);
    book.words(bid, Look::Signature, "Accepted by, date");
    book.words(bid, Look::Signature, "For Hill & Hollow Plumbing, date");
    book.page_break(bid);
    book.words(bid, Look::Heading, "What is included");
    book.words(
        bid,
        Look::Words,
        &"Pipe, fittings, hangers and the labor to set them, tested with air before it is closed in. ".repeat(4),
    );

    // Findings
    book.words(findings, Look::Title, "Findings");
    let table = book.table(findings, "What to look at");
    let severity = book.column(table, "Severity", Unit::None);
    let cell = book.column(table, "Cell", Unit::None);
    let words = book.column(table, "What was found and what to do", Unit::None);
    for (level, place, text) in [
        (
            "fix",
            Place::new("Runs", 3, 2),
            "Found 3/4 for a run that may carry 11.5 gpm; 12.1 gpm are asked of it. Write 1, or blank to let the engine choose.",
        ),
        ("note", Place::new("Job", 4, 1), "No valid days were given; the bid says 30."),
    ] {
        let row = book.row(table);
        book.label(row, severity, level);
        let link = book.label(row, cell, &place.to_string());
        book.link(&link, &place);
        book.label(row, words, text);
    }
    let row = book.row(table);
    let formula = book.put(row, words, Term::join(&[&Term::text("Total now "), &price.show(2)]));
    book.link(&formula, &Place::new("Lines", 4, 2));
    assert_eq!(book.defects(), Vec::<String>::new());
    book
}

fn priced_lines(book: &mut Book, lines: tallybore::figure::SheetId) -> (Term, Term, Term) {
    let table = book.table(lines, "Material");
    let columns: Vec<ColumnId> =
        [("Part", Unit::None), ("Quantity", Unit::Each), ("Unit price", Unit::UnitPrice), ("Amount", Unit::Money)]
            .iter()
            .map(|(heading, unit)| book.column(table, heading, *unit))
            .collect();
    for index in 0..60u32 {
        let row = book.row(table);
        book.label(row, columns[0], &format!("elbow no. {} 1/2\" x 90", index + 1));
        let quantity = book.rule(row, columns[1], Value::Exact(Decimal::from(3 + index * 7 % 11)), &"test".into());
        let price =
            book.rule(row, columns[2], Value::Exact(Decimal::new(i64::from(815 + 37 * index), 3)), &"test".into());
        book.put(row, columns[3], (quantity * price).cents());
    }
    let amounts = book.whole(columns[3]);
    let totals = book.list(lines, "Sums");
    let label = book.column(totals, "", Unit::None);
    let value = book.column(totals, "", Unit::Money);
    let row = book.row(totals);
    book.mark(row, CellKind::Total);
    book.label(row, label, "Material");
    let total = book.put(row, value, Term::sum(&amounts).cents());
    let rate = book.input_cell(&Place::new("Job", 3, 1), number("0.0725"));
    let pay = book.input_cell(&Place::new("Job", 5, 1), number("62.5"));
    let row = book.row(totals);
    book.label(row, label, "Labor, 31.5 h");
    let labor = book.put(row, value, (pay * term("31.5")).cents());
    (total, rate, labor)
}
