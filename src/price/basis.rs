//! How the price is made up: each step in its order, at what rate, and of what it is a share.

use super::Context;
use crate::figure::{Book, Term};
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::columns;
use crate::unit::Unit;

/// True when overhead and profit are shares of price.
pub(super) fn on_price(context: &Context) -> bool {
    &*context.job.text(Setting::Markup) == "on price"
}

/// What overhead, profit and contingency are shares of, in words.
pub(super) fn overhead(on_price: bool) -> &'static str {
    if on_price { "price before contingency" } else { "direct cost" }
}

pub(super) fn profit(on_price: bool) -> &'static str {
    if on_price { "price before contingency" } else { "direct cost and overhead" }
}

columns! {
    struct Columns on CostBuildUp("How the price is made up, step by step") {
        step: "Step", words 36;
        at: "At", Percent;
        of: "Of what", words;
    }
}

/// Writes the steps down; gives the hired wage an hour, burden included.
pub(super) fn put(book: &mut Book, context: &Context) -> Term {
    let on_price = on_price(context);
    let Columns { table, step, at, of } = Columns::on_page(book, context);
    let mut put = |words: &str, figure: Term, unit: Unit, what: &str| {
        let row = book.row(table);
        book.label(row, step, words);
        let figure = book.put(row, at, figure);
        book.unit(&figure, unit);
        book.label(row, of, what);
        figure
    };
    let setting = |setting: Setting| context.settings.get(setting);
    let (percent, money) = (Unit::Percent, Unit::Money);
    put(
        "1 Sales tax",
        setting(Setting::TaxRate),
        percent,
        "of material, and of other costs marked yes; a row's own Tax goes before it",
    );
    let rate = setting(Setting::LaborRate) * (Term::number(1) + setting(Setting::LaborBurden));
    let rate = put("2 Labor, an hour", rate, money, "the hired wage and its burden, whoever does the work; not taxed");
    put("   of it burden", setting(Setting::LaborBurden), percent, "of the wage");
    put("3 Overhead", setting(Setting::Overhead), percent, &format!("of {}", overhead(on_price)));
    put("4 Profit", setting(Setting::Profit), percent, &format!("of {}", profit(on_price)));
    put("5 Contingency", setting(Setting::Contingency), percent, "of direct cost; bears no overhead and no profit");
    put("6 Permit", setting(Setting::Permit), money, "at cost, nothing added");
    put(
        "7 Minimum charge",
        setting(Setting::MinimumCharge),
        money,
        "what all of it, allowances included, is raised to where it comes to less",
    );
    book.words(
        context.page(Page::CostBuildUp),
        crate::figure::Look::Small,
        match on_price {
            true => "Direct cost is material, sales tax, labor and other costs. Markup is on price: cost = price x (1 - overhead - profit).",
            false => "Direct cost is material, sales tax, labor and other costs. Markup is on cost: overhead first, profit on both.",
        },
    );
    rate
}
