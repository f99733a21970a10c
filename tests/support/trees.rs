//! Random figures, built from recipes.

use super::recalc::Held;
use super::recipes::{Cond, EXPONENTS, Num, Recipe, Text, Tree};
use rust_decimal::Decimal;
use std::sync::Arc;
use tallybore::figure::functions::Op;
use tallybore::figure::lookup::Curve;
use tallybore::figure::{Book, Column, Expr, Look, Term, Value};
use tallybore::model::{KeptBook, KeptCell, KeptSheet, Raw};
use tallybore::place::Place;
use tallybore::unit::Unit;

/// What the trees are built over.
struct Ground {
    numbers: Vec<Term>,
    texts: Vec<Term>,
    amount_cells: Vec<Term>,
    key_cells: Vec<Term>,
    keys: Column,
    seconds: Column,
    amounts: Column,
    prices: Column,
    curve: Curve,
    earlier: Vec<Term>,
}

/// The book of a recipe, its input sheet, and the figures of its trees in order. The sheets bear names that need quotes.
pub fn build(recipe: &Recipe) -> (Book, KeptBook, Vec<Term>) {
    let mut book = Book::new();
    let calculated = book.sheet("What's it worth", false);
    let tables = book.sheet("AB12", false);
    let inputs = "On hand (Bob's)";
    let mut cells = Vec::new();
    let mut input = |book: &mut Book, row: usize, column: u16, raw: Raw| {
        let place = Place::new(inputs, row as u32, column);
        let value = tallybore::raw_value(&raw);
        if raw != Raw::Blank {
            cells.push(KeptCell { row: row as u32, column, raw, formula: None, format: None });
        }
        book.input_cell(&place, value)
    };
    let numbers = recipe.numbers.iter().enumerate();
    let numbers: Vec<Term> = numbers
        .map(|(row, number)| {
            let raw = match number {
                None => Raw::Blank,
                // Every fifth number was typed as text.
                Some(number) if row == 4 => Raw::Text(number.normalize().to_string().into()),
                Some(number) => Raw::Number(*number),
            };
            input(&mut book, row, 0, raw)
        })
        .collect();
    let texts = recipe.texts.iter().enumerate();
    let texts: Vec<Term> = texts
        .map(|(row, words)| {
            let raw = match words.as_deref() {
                None | Some("") => Raw::Blank,
                Some(words) => Raw::Text(words.into()),
            };
            input(&mut book, row, 1, raw)
        })
        .collect();

    let source: Arc<str> = "random".into();
    let table = book.table(tables, "Parts");
    let key = book.column(table, "Key", Unit::None);
    let second = book.column(table, "Second", Unit::None);
    let amount = book.column(table, "Amount", Unit::None);
    let price = book.column(table, "Price", Unit::Money);
    let (mut key_cells, mut amount_cells) = (Vec::new(), Vec::new());
    for (name, other, quantity, cost) in &recipe.rows {
        let row = book.row(table);
        if let Some(name) = name {
            key_cells.push(book.rule(row, key, Value::text(name.as_str()), &source));
        }
        book.rule(row, second, Value::text(other.as_str()), &source);
        if let Some(quantity) = quantity {
            amount_cells.push(book.rule(row, amount, Value::Exact(*quantity), &source));
        }
        book.rule(row, price, Value::Exact(*cost), &source);
    }
    let table = book.table(tables, "Curve");
    let x = book.column(table, "x", Unit::None);
    let y = book.column(table, "y", Unit::None);
    let mut at: u32 = recipe.curve.iter().map(|(step, _)| step).sum();
    for (step, height) in &recipe.curve {
        let row = book.row(table);
        book.rule(row, x, Value::Exact(Decimal::new(i64::from(at), 1)), &source);
        book.rule(row, y, Value::Exact(*height), &source);
        at -= step;
    }
    let mut ground = Ground {
        numbers,
        texts,
        amount_cells,
        key_cells,
        keys: book.whole(key),
        seconds: book.whole(second),
        amounts: book.whole(amount),
        prices: book.whole(price),
        curve: Curve { x: book.whole(x), y: book.whole(y) },
        earlier: Vec::new(),
    };
    let table = book.table(calculated, "Figures");
    let value = book.column(table, "Value", Unit::None);
    let figures: Vec<Term> = recipe
        .trees
        .iter()
        .map(|tree| {
            let row = book.row(table);
            let put = match tree {
                Tree::Num(num) => {
                    let put = book.put(row, value, ground.num(num));
                    ground.earlier.push(put.clone());
                    put
                }
                Tree::Text(text) => book.put(row, value, ground.text(text)),
                Tree::Cond(cond) => book.put(row, value, ground.cond(cond)),
            };
            if ground.earlier.len() == 3 && matches!(tree, Tree::Num(_)) {
                book.name(&put, "third.number");
            }
            put
        })
        .collect();
    book.line(calculated, Look::Words, Term::join(&[&Term::text("Words: "), &ground.texts[0]]));
    let sheet = KeptSheet { name: inputs.into(), shown: inputs.into(), cells, ..KeptSheet::default() };
    (book, KeptBook { sheets: vec![sheet] }, figures)
}

fn nth(terms: &[Term], index: usize) -> Term {
    terms.get(index % terms.len().max(1)).cloned().unwrap_or_else(|| Term::number(7))
}

/// Size of an expression. A formula may hold 8192 characters; the book's builders put what they need twice into a cell,
/// these trees do not.
fn nodes(expr: &Expr) -> usize {
    match expr {
        Expr::Apply(_, parts) => 1 + parts.iter().map(nodes).sum::<usize>(),
        _ => 1,
    }
}

/// False where a number made in several steps falls on a tie: after a cancellation doubles and Decimals rightly part
/// there. Cells, constants and their products (a quantity times a price) may fall on ties: they must agree.
fn clear_of_ties(term: &Term, digits: u8) -> bool {
    let leaf = |expr: &Expr| matches!(expr, Expr::Cell(_) | Expr::Const(_));
    let direct = match term.expr() {
        Expr::Apply(Op::Mul, parts) => parts.iter().all(&leaf),
        expr => leaf(expr),
    };
    let scaled = term.value().as_f64().abs() * 10f64.powi(i32::from(digits));
    direct || (scaled.fract() - 0.5).abs() >= 1e-3 || scaled.is_nan()
}

impl Ground {
    /// Kept within a million, and not next to nothing: far out, doubles and Decimals rightly differ.
    fn tame(&self, term: Term) -> Term {
        if nodes(term.expr()) > 300 {
            return nth(&self.numbers, 0);
        }
        let size = term.value().as_f64().abs();
        if size.is_finite() && size > 1e6 { term.min(&Term::number(1000)).max(&Term::number(-1000)) } else { term }
    }

    fn positive(&self, num: &Num) -> Term {
        self.num(num).max(&Term::constant(Value::Exact(Decimal::new(1, 2)))).min(&Term::number(500))
    }

    fn num(&self, num: &Num) -> Term {
        let n = |num: &Num| self.num(num);
        let made = match num {
            // The text of a number is one to arithmetic; MIN, MAX and SUM pass over it, or not, when IF hands it to them.
            Num::Input(index) => match nth(&self.numbers, *index) {
                text if matches!(text.value(), Value::Text(_)) => text + Term::number(0),
                number => number,
            },
            Num::Amount(index) => nth(&self.amount_cells, *index),
            Num::Constant(number) => Term::constant(Value::Exact(*number)),
            Num::Earlier(index) => nth(&self.earlier, *index),
            Num::Add(a, b) => n(a) + n(b),
            Num::Sub(a, b) => n(a) - n(b),
            Num::Mul(a, b) => n(a) * n(b),
            Num::Div(a, b) => {
                let (above, below) = (n(a), n(b));
                let size = below.value().as_f64().abs();
                // Division by what is 0 but for the last bit of a double says nothing.
                if size < 1e-4 && !matches!(**b, Num::Input(_)) { above + below } else { above / below }
            }
            Num::Pow(base, exponent) => {
                let exponent: Decimal = EXPONENTS[*exponent].parse().expect("a number");
                self.positive(base).pow(&Term::constant(Value::Exact(exponent)))
            }
            Num::Tower(top) => {
                let three = Term::number(3).pow(&n(top).max(&Term::number(0)).min(&Term::number(2)));
                Term::number(2).pow(&three)
            }
            Num::Log10(a) => self.positive(a).log10(),
            Num::Cents(a) => {
                if clear_of_ties(&n(a), 2) {
                    n(a).cents()
                } else {
                    n(a)
                }
            }
            Num::Round(a, digits) => {
                if clear_of_ties(&n(a), *digits) {
                    n(a).round(*digits)
                } else {
                    n(a)
                }
            }
            Num::WholeUp(a) => n(a).whole_up(),
            Num::Min(a, b) => n(a).min(&n(b)),
            Num::Max(a, b) => n(a).max(&n(b)),
            Num::Total(parts) => {
                let parts: Vec<Term> = parts.iter().map(n).collect();
                Term::total(&parts.iter().collect::<Vec<_>>())
            }
            // Not `+ 1`: the engine we compare with loses the parentheses of (a&b)+1 when it loads them.
            Num::Wrong(text) => match self.text(text) {
                // A size is a date to some programs.
                size if matches!(size.value(), Value::Text(words) if words.contains('/')) => Term::number(3),
                words => words.cents(),
            },
            Num::If(cond, a, b) => self.cond(cond).pick(&n(a), &n(b)),
            Num::SumAll => Term::sum(&self.amounts),
            Num::Greatest => Term::greatest(&self.prices),
            Num::Least => Term::least(&self.amounts),
            Num::SumProduct => Term::sum_product(&self.amounts, &self.prices),
            Num::SumWhere(key) => Term::sum_where(&self.amounts, &[(&self.keys, &self.key(key))]),
            Num::SumWhereBoth(key, second) => {
                Term::sum_where(&self.prices, &[(&self.keys, &self.key(key)), (&self.seconds, &self.key(second))])
            }
            Num::CountWhere(key) => Term::count_where(&[(&self.seconds, &self.key(key))]),
            Num::LookUp(key) => Term::at(&self.prices, &Term::row_of(&self.key(key), &self.keys)),
            Num::NextRowUp(a) => {
                let row = self.curve.row(&n(a));
                self.curve.next_row_up(&row)
            }
            Num::Between(a) => {
                let x = n(a);
                let row = self.curve.row(&x);
                let slope = self.curve.slope(&row);
                self.curve.between(&x, &row, &slope)
            }
            Num::OrIfFault(a, b) => n(a).or_if_fault(&n(b)),
        };
        self.tame(made)
    }

    /// A text fit to be a key: what is long, or has signs of its own there, is replaced.
    fn key(&self, text: &Text) -> Term {
        let term = self.text(text);
        match term.value() {
            Value::Text(words) if words.len() > 60 || words.starts_with(['<', '>', '=']) => nth(&self.key_cells, 1),
            Value::Text(words) if words.contains(['*', '?', '~', '\n']) => nth(&self.key_cells, 2),
            // The text of a number or a fraction is read as one there.
            Value::Text(words)
                if words.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == ' ') && !words.ends_with('"') =>
            {
                Term::join(&[&term, &Term::text("\"")])
            }
            // A fault as a key gives 0 in some programs and comes out in others.
            Value::Blank | Value::Exact(_) | Value::Physical(_) | Value::Fault(_) => nth(&self.key_cells, 3),
            _ => term,
        }
    }

    fn text(&self, text: &Text) -> Term {
        let t = |text: &Text| self.text(text);
        match text {
            Text::Input(index) => nth(&self.texts, *index),
            Text::Key(index) => nth(&self.key_cells, *index),
            Text::Constant(words) => Term::text(words.as_str()),
            Text::Join(parts) => {
                let parts: Vec<Term> = parts.iter().map(t).collect();
                let joined = Term::join(&parts.iter().collect::<Vec<_>>());
                let long = matches!(joined.value(), Value::Text(words) if words.len() > 2000);
                if long || nodes(joined.expr()) > 100 { Term::text("shortened") } else { joined }
            }
            Text::Show(a, digits) => {
                let number = self.num(a);
                // The engine we compare with drops the sign of some negative numbers, as in TEXT(-1,"0"); LibreOffice does not.
                let negative = number.value().as_f64() < 0.0;
                let number = if negative { Term::number(0) - number } else { number };
                if clear_of_ties(&number, *digits) { number } else { number.whole_up() }.show(*digits)
            }
            Text::SizeKey(a) => t(a).size_key(),
            Text::If(cond, a, b) => self.cond(cond).pick(&t(a), &t(b)),
            Text::LookUp(key) => Term::at(&self.seconds, &Term::row_of(&self.key(key), &self.keys)),
            Text::OrIfFault(a, b) => t(a).or_if_fault(&t(b)),
        }
    }

    /// The engine we compare with does not look at the second condition once the first has decided; real programs do, and
    /// a fault in it comes out. So faults are kept out of AND and OR.
    fn both(&self, a: &Cond, b: &Cond, join: impl Fn(&Term, &Term) -> Term) -> Term {
        let (a, b) = (self.cond(a), self.cond(b));
        match (a.value().fault(), b.value().fault()) {
            (None, None) => join(&a, &b),
            (Some(_), _) => a,
            _ => b,
        }
    }

    fn cond(&self, cond: &Cond) -> Term {
        match cond {
            Cond::AtLeast(a, b) => self.num(a).at_least(&self.num(b)),
            Cond::Above(a, b) => self.num(a).above(&self.num(b)),
            Cond::Same(a, b) => self.text(a).same(&self.text(b)),
            Cond::SameInput(index, number) => nth(&self.numbers, *index).same(&Term::constant(Value::Exact(*number))),
            Cond::IsBlank(a) => self.text(a).is_blank(),
            Cond::IsNumber(a) => self.num(a).is_number(),
            Cond::And(a, b) => self.both(a, b, Term::and),
            Cond::Or(a, b) => self.both(a, b, Term::or),
            Cond::Not(a) => self.cond(a).negate(),
        }
    }
}

/// Whether a value of ours and one of another program are the same: numbers to a billionth, the rest to the letter.
pub fn agrees(ours: &Value, theirs: &Held) -> bool {
    match (ours, theirs) {
        (Value::Exact(_) | Value::Physical(_), Held::Number(b)) => {
            let a = ours.as_f64();
            (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0)
        }
        (Value::Text(a), Held::Text(b)) => **a == *b,
        (Value::Flag(a), Held::Flag(b)) => a == b,
        (Value::Fault(fault), Held::Error(name)) => fault.text() == name,
        _ => false,
    }
}
