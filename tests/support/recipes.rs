//! Recipes for random figures: expression trees over random inputs and tables that can be shrunk.

use proptest::prelude::*;
use rust_decimal::Decimal;

/// A number-valued expression.
#[derive(Debug, Clone)]
pub enum Num {
    /// A cell of the user's sheet: a number, a blank, or the text of a number.
    Input(usize),
    /// A cell of the table with amounts.
    Amount(usize),
    Constant(Decimal),
    /// A figure put before.
    Earlier(usize),
    Add(Box<Num>, Box<Num>),
    Sub(Box<Num>, Box<Num>),
    Mul(Box<Num>, Box<Num>),
    Div(Box<Num>, Box<Num>),
    /// To one of a few powers.
    Pow(Box<Num>, usize),
    /// `2^3^2` in one formula.
    Tower(Box<Num>),
    Log10(Box<Num>),
    Cents(Box<Num>),
    Round(Box<Num>, u8),
    WholeUp(Box<Num>),
    Min(Box<Num>, Box<Num>),
    Max(Box<Num>, Box<Num>),
    Total(Vec<Num>),
    /// Words where a number is wanted.
    Wrong(Box<Text>),
    If(Box<Cond>, Box<Num>, Box<Num>),
    SumAll,
    Greatest,
    Least,
    SumProduct,
    SumWhere(Box<Text>),
    SumWhereBoth(Box<Text>, Box<Text>),
    CountWhere(Box<Text>),
    /// The amount in the row of a key; a fault where there is none.
    LookUp(Box<Text>),
    NextRowUp(Box<Num>),
    Between(Box<Num>),
    OrIfFault(Box<Num>, Box<Num>),
}

/// A text-valued expression.
#[derive(Debug, Clone)]
pub enum Text {
    Input(usize),
    Key(usize),
    Constant(String),
    Join(Vec<Text>),
    Show(Box<Num>, u8),
    SizeKey(Box<Text>),
    If(Box<Cond>, Box<Text>, Box<Text>),
    /// The second table's word in the row of a key.
    LookUp(Box<Text>),
    OrIfFault(Box<Text>, Box<Text>),
}

/// A condition.
#[derive(Debug, Clone)]
pub enum Cond {
    AtLeast(Box<Num>, Box<Num>),
    Above(Box<Num>, Box<Num>),
    Same(Box<Text>, Box<Text>),
    SameInput(usize, Decimal),
    IsBlank(Box<Text>),
    IsNumber(Box<Num>),
    And(Box<Cond>, Box<Cond>),
    Or(Box<Cond>, Box<Cond>),
    Not(Box<Cond>),
}

#[derive(Debug, Clone)]
pub enum Tree {
    Num(Num),
    Text(Text),
    Cond(Cond),
}

/// All that a random book is made from.
#[derive(Debug, Clone)]
pub struct Recipe {
    pub numbers: Vec<Option<Decimal>>,
    pub texts: Vec<Option<String>>,
    /// Key, second key, amount, price.
    pub rows: Vec<(Option<String>, String, Option<Decimal>, Decimal)>,
    /// Steps down of x, and y.
    pub curve: Vec<(u32, Decimal)>,
    pub trees: Vec<Tree>,
}

pub(super) const EXPONENTS: [&str; 7] = ["2", "1.852", "0.5", "-1", "-4.871", "0.25", "3"];

fn decimal() -> BoxedStrategy<Decimal> {
    prop_oneof![
        4 => (-99_999i64..=99_999, 0u32..=3).prop_map(|(digits, scale)| Decimal::new(digits, scale)),
        2 => (-40i64..=40).prop_map(|whole| Decimal::new(whole, 0)),
        // Halves of a cent, where doubles and Decimals part.
        2 => (0i64..=99_999).prop_map(|digits| Decimal::new(digits * 10 + 5, 3)),
        1 => Just(Decimal::ZERO),
    ]
    .boxed()
}

fn words() -> BoxedStrategy<String> {
    prop_oneof![
        6 => prop::sample::select(vec![
            "PEX 3/4\"", "pex 3/4\"", "1/2", "3/4\"", " 1  1/4 ", "say \"hi\"", "", "O'Brien & <sons>", "ÉCLAIR ½", "éclair ½", "12 ft", "a", "A", "line\nbreak",
        ]).prop_map(str::to_owned),
        1 => "[a-c]{1,2}",
        1 => Just("a long tale of pipes ".repeat(15)),
    ]
    .boxed()
}

/// Words that can be keys: SUMIFS reads `*`, `?`, `~` and a leading `<`, `>` or `=` in its own way.
fn keys() -> BoxedStrategy<String> {
    prop::sample::select(vec!["PEX 3/4\"", "pex 3/4\"", "PEX 1/2\"", "1/2\"", "rough-in", "trim", "O'Brien", "ÉLBOW"])
        .prop_map(str::to_owned)
        .boxed()
}

type Levels = (BoxedStrategy<Num>, BoxedStrategy<Text>, BoxedStrategy<Cond>);

fn leaves() -> Levels {
    let num = prop_oneof![
        4 => (0usize..8).prop_map(Num::Input),
        2 => (0usize..8).prop_map(Num::Amount),
        3 => decimal().prop_map(Num::Constant),
        2 => (0usize..64).prop_map(Num::Earlier),
        1 => Just(Num::SumAll),
        1 => Just(Num::Greatest),
        1 => Just(Num::Least),
        1 => Just(Num::SumProduct),
    ]
    .boxed();
    let text = prop_oneof![
        3 => (0usize..8).prop_map(Text::Input),
        3 => (0usize..8).prop_map(Text::Key),
        2 => words().prop_map(Text::Constant),
    ]
    .boxed();
    let (a, b, c, d) = (num.clone(), num.clone(), text.clone(), text.clone());
    let cond = prop_oneof![
        3 => (a, b).prop_map(|(a, b)| Cond::AtLeast(Box::new(a), Box::new(b))),
        2 => (c, d).prop_map(|(a, b)| Cond::Same(Box::new(a), Box::new(b))),
        1 => (0usize..8, decimal()).prop_map(|(input, number)| Cond::SameInput(input, number)),
    ]
    .boxed();
    (num, text, cond)
}

fn deeper((num, text, cond): Levels) -> Levels {
    let n = || num.clone().prop_map(Box::new);
    let t = || text.clone().prop_map(Box::new);
    let c = || cond.clone().prop_map(Box::new);
    let arithmetic = prop_oneof![
        (n(), n()).prop_map(|(a, b)| Num::Add(a, b)),
        (n(), n()).prop_map(|(a, b)| Num::Sub(a, b)),
        (n(), n()).prop_map(|(a, b)| Num::Mul(a, b)),
        (n(), n()).prop_map(|(a, b)| Num::Div(a, b)),
        (n(), 0usize..EXPONENTS.len()).prop_map(|(a, e)| Num::Pow(a, e)),
        n().prop_map(Num::Tower),
        n().prop_map(Num::Log10),
        n().prop_map(Num::Cents),
        (n(), 0u8..7).prop_map(|(a, digits)| Num::Round(a, digits)),
        n().prop_map(Num::WholeUp),
        (n(), n()).prop_map(|(a, b)| Num::Min(a, b)),
        (n(), n()).prop_map(|(a, b)| Num::Max(a, b)),
        prop::collection::vec(num.clone(), 1..4).prop_map(Num::Total),
    ];
    let tables = prop_oneof![
        4 => (c(), n(), n()).prop_map(|(c, a, b)| Num::If(c, a, b)),
        2 => t().prop_map(Num::SumWhere),
        1 => (t(), t()).prop_map(|(a, b)| Num::SumWhereBoth(a, b)),
        1 => t().prop_map(Num::CountWhere),
        2 => t().prop_map(Num::LookUp),
        2 => n().prop_map(Num::NextRowUp),
        2 => n().prop_map(Num::Between),
        2 => (n(), n()).prop_map(|(a, b)| Num::OrIfFault(a, b)),
        1 => t().prop_map(Num::Wrong),
    ];
    let next_num = prop_oneof![3 => arithmetic, 2 => tables].boxed();
    let next_text = prop_oneof![
        2 => prop::collection::vec(text.clone(), 2..4).prop_map(Text::Join),
        3 => (n(), 0u8..4).prop_map(|(a, digits)| Text::Show(a, digits)),
        1 => t().prop_map(Text::SizeKey),
        1 => (c(), t(), t()).prop_map(|(c, a, b)| Text::If(c, a, b)),
        1 => t().prop_map(Text::LookUp),
        1 => (t(), t()).prop_map(|(a, b)| Text::OrIfFault(a, b)),
    ]
    .boxed();
    let next_cond = prop_oneof![
        (n(), n()).prop_map(|(a, b)| Cond::AtLeast(a, b)),
        (n(), n()).prop_map(|(a, b)| Cond::Above(a, b)),
        (t(), t()).prop_map(|(a, b)| Cond::Same(a, b)),
        t().prop_map(Cond::IsBlank),
        n().prop_map(Cond::IsNumber),
        (c(), c()).prop_map(|(a, b)| Cond::And(a, b)),
        (c(), c()).prop_map(|(a, b)| Cond::Or(a, b)),
        c().prop_map(Cond::Not),
    ]
    .boxed();
    (
        prop_oneof![1 => num.clone(), 4 => next_num].boxed(),
        prop_oneof![1 => text.clone(), 4 => next_text].boxed(),
        prop_oneof![1 => cond.clone(), 4 => next_cond].boxed(),
    )
}

pub fn recipe() -> impl Strategy<Value = Recipe> {
    let (num, text, cond) = deeper(deeper(deeper(leaves())));
    let tree =
        prop_oneof![5 => num.prop_map(Tree::Num), 2 => text.prop_map(Tree::Text), 2 => cond.prop_map(Tree::Cond)];
    (
        prop::collection::vec(prop_oneof![6 => decimal().prop_map(Some), 1 => Just(None)], 8),
        prop::collection::vec(prop_oneof![6 => words().prop_map(Some), 1 => Just(None)], 8),
        prop::collection::vec(
            (prop::option::weighted(0.9, keys()), keys(), prop::option::weighted(0.9, decimal()), decimal()),
            1..10,
        ),
        prop::collection::vec((1u32..400, decimal()), 2..7),
        prop::collection::vec(tree, 12),
    )
        .prop_map(|(numbers, texts, rows, curve, trees)| Recipe { numbers, texts, rows, curve, trees })
}
