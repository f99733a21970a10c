//! What the checks find of prices, hours, suppliers and terms.

use crate::finding::findings;
use crate::finding::phrases::{did_you_mean, listed, rows_in_ranges};

/// A row of a sheet whose sizes no part of its kind has: what it offers, its row as a reader counts, and what is wrong with its sizes.
pub(crate) type OddRow = (String, u64, String);

findings! {
    /// Prices has kinds that nothing asks for and that are nearly some of the program's.
    PriceNotUsed { kinds: Vec<(String, String, u64)> } = Fix "price-not-used" {
        found: {
            match &kinds[..] {
                [(kind, nearest, _)] => format!("Nothing asks for a \"{kind}\". Did you mean \"{nearest}\"?"),
                kinds => format!("Nothing asks for {} kinds in Prices that are nearly others.", kinds.len()),
            }
        },
        remedy: "Write the kind as the Take-off sheet names it, or add your name for it to a sheet Part names; as it \
             stands, the price is not used.",
        table: {
            let line = |(kind, near, row): &(String, String, u64)| {
                vec![kind.clone(), format!("row {row} of Prices"), format!("perhaps {near}")]
            };
            if kinds.len() > 1 { kinds.iter().map(line).collect() } else { Vec::new() }
        },
    }

    /// Prices has kinds that nothing asks for.
    PricesNotUsed { kinds: Vec<String> } = Note "prices-not-used" {
        found: ("Nothing that is counted here asks for these kinds: {}.", listed(&kinds)),
        remedy: "Their prices are carried along and are in no total. Enter what the job needs of them under Other \
             costs.",
    }

    /// Overhead and profit as shares of the price leave nothing for the cost.
    MarkupOverPrice { percent: String } = Stop "markup-over-price" and figure {
        found: "Overhead and profit are {percent}% of the price. That leaves nothing for cost.",
        remedy: "Set Markup to on cost, or lower Overhead and Profit.",
    }

    /// Rows of Prices have no price.
    PricesOpen { rows: Vec<u64> } = Note "prices-open" {
        found: {
            let word = if rows.len() == 1 { "Row" } else { "Rows" };
            format!("{word} of Prices without a price: {}.", rows_in_ranges(&rows))
        },
        remedy: "A row without a price asks for a quote (`order` and `order --ask`) and offers nothing. Fill in Price \
             to use it.",
    }

    /// Rows of Prices have a price of 0.
    PriceOfNothing { rows: Vec<String> } = Note "price-of-nothing" {
        found: ("Price is 0 in {} of Prices: what costs nothing is bought before every other offer.", rows_of(&rows)),
        remedy: "Right for what is given; else fill in the price, or clear the row until it is quoted.",
    }

    /// Coils, bags or boxes in Prices do not say how many they hold.
    PackMissing { kind: String, unit: String, rows: Vec<u64> } = Fix "pack-missing" {
        found: {
            match rows.len() {
                1 => format!("A {unit} of {kind} has no Pack; it is counted as holding one foot or piece."),
                _ => format!(
                    "Rows {} of Prices have no Pack; each coil, bag or box there is counted as holding one foot or piece.",
                    rows_in_ranges(&rows)
                ),
            }
        },
        remedy: "Fill in how many feet or pieces one of them holds.",
    }

    /// Prices has a Unit that the program does not know.
    UnitNotKnown { found: String, nearest: Option<String> } = Fix "unit-not-known" {
        found: ("Unit holds \"{found}\", which is no unit the program knows.{}", did_you_mean(nearest.as_deref())),
        remedy: "Write each, ft, stick, coil, bag or box.",
    }

    /// Prices or On hand has a material that is nearly one of the program's.
    MaterialNotKnown { kind: String, found: String, nearest: String } = Fix "material-not-known" {
        found: "There is no pipe material \"{found}\". Did you mean \"{nearest}\"?",
        remedy: "Correct Material; until then this {kind} is not used.",
    }

    /// Prices or On hand has materials that no pipe here is made of.
    MaterialsNotUsed { materials: Vec<String> } = Note "materials-not-used" {
        found: ("No pipe here is of these materials: {}.", listed(&materials)),
        remedy: "Their rows are carried along and are in no total.",
    }

    /// Rows of Prices or On hand have sizes that no part of their kind has.
    SizesNotUsed {
        sheet: &'static str,
        rows: Vec<OddRow>,
        /// At least one is no size of other pipe.
        is_slip: bool,
    } = Fix if is_slip else Note "sizes-not-used" {
        found: {
            match &rows[..] {
                [(part, row, trouble)] => format!("Row {row} of {sheet}, {part}: {trouble}."),
                rows => format!("{} rows of {sheet} have sizes that no part of their kind has.", rows.len()),
            }
        },
        remedy: "Correct Size: until then the row is not used. A size that the pipe does come in goes into a sheet Pipe.",
        table: {
            let line = |(part, row, trouble): &OddRow| {
                vec![part.clone(), format!("row {row} of {sheet}"), trouble.clone()]
            };
            if rows.len() > 1 { rows.iter().map(line).collect() } else { Vec::new() }
        },
    }

    /// On hand has a kind that the job does not need.
    StockNotUsed {
        kind: String,
        /// What the job needs that is written nearly so.
        nearest: Option<String>,
    } = Fix if (nearest.is_some()) else Note "stock-not-used" {
        found: ("The job needs no \"{kind}\".{}", did_you_mean(nearest.as_deref())),
        remedy: "Write the kind as the Take-off sheet names it; as it stands, what is on hand is not used.",
    }

    /// On hand has a Unit other than the one it is counted in.
    StockUnit { found: String, quantity: String, counted_in: &'static str } = Fix "stock-unit" {
        found: "On hand is counted in {counted_in}: {quantity} {found} is taken as {quantity} {counted_in}.",
        remedy: (
            "Enter how many {} there are, with Unit {counted_in}.",
            if counted_in == "ft" { "feet" } else { "pieces" },
        ),
    }

    /// Labor has a task that nothing asks for.
    TaskNotUsed { task: String, nearest: Option<String> } = Fix "task-not-used" {
        found: ("Nothing asks for the task \"{task}\".{}", did_you_mean(nearest.as_deref())),
        remedy: "Write the task as the Hours sheet names it, or enter the work under Other costs.",
    }

    /// Labor has hours for another unit than the task is counted in.
    LaborUnit { found: String, task: String, counted_in: String } = Fix "labor-unit" {
        found: "The task \"{task}\" is counted by {counted_in}; these hours are per {found}.",
        remedy: "Enter the hours for one {counted_in}, with Unit {counted_in}.",
    }

    /// A supplier in Prices or Fixtures is nearly one of Suppliers or of other rows.
    SupplierNearly { found: String, nearest: String, rows: usize } = Fix "supplier-nearly" {
        found: (
            "Suppliers has no \"{found}\", named in {}. Did you mean \"{nearest}\"?",
            match rows {
                0 => "Fixtures".to_owned(),
                1 => "1 row of Prices".to_owned(),
                rows => format!("{rows} rows of Prices"),
            },
        ),
        remedy: "Write the name alike in both sheets, or list this supplier in Suppliers too.",
    }

    /// Prices has suppliers that Suppliers does not list, whose terms are not known.
    SuppliersNotListed { suppliers: Vec<String> } = Note "suppliers-not-listed" {
        found: (
            "Suppliers has no row for {}. {} an order without trip, delivery or minimum cost.",
            listed(&suppliers),
            if suppliers.len() == 1 { "That supplier gets" } else { "Each gets" },
        ),
        remedy: "Add them to Suppliers, with their terms; or correct Supplier in Prices.",
    }

    /// Suppliers has a supplier that no row of Prices names.
    SupplierNotUsed { supplier: String, nearest: Option<String> } = Note "supplier-not-used" {
        found: ("No row of Prices names \"{supplier}\".{}", did_you_mean(nearest.as_deref())),
        remedy: "Write the name as Prices has it, or leave the row: it changes nothing.",
    }

    /// A price was quoted longer before the bid than Price age limit allows.
    QuoteTooOld { rows: usize, supplier: String, quoted: String, days: String, limit: String } = Fix "quote-too-old" {
        found: (
            "{} on {quoted}, {days} days before the bid; Price age limit is {limit} days.",
            quoted_by(rows, &supplier),
        ),
        remedy: "Ask for the price again, and write the new date under Quoted.",
    }

    /// A price was quoted after the bid's date.
    QuotedLater { rows: usize, supplier: String, quoted: String, date: String } = Note "quoted-later" {
        found: ("{} on {quoted}, after the bid's Date {date}.", quoted_by(rows, &supplier)),
        remedy: "Fix the one that is wrong.",
    }

    /// Prices are dated and the bid is not, so their age is not checked.
    QuotesNotJudged { quotes: usize } = Note "quotes-not-judged" {
        found: "The bid has no Date, so the age of no price is judged; dates under Quoted: {quotes}.",
        remedy: "Fill in Date in Job.",
    }

    /// Other costs has travel, and the trips are counted too.
    TravelTwice { item: String, settings: Vec<&'static str> } = Fix "travel-twice" {
        found: ("Other costs has \"{item}\", and Job counts trips by {}: travel may be in the price twice.", settings.join(", ")),
        remedy: "Take one of them out: the row, or what Job says of the way.",
    }

    /// The payments do not come to 100%.
    SharesNotWhole { percent: String } = Fix "shares-not-whole" {
        found: "The shares of the payments come to {percent}%; the last payment is made to take what is left.",
        remedy: "Make them come to 100%.",
    }

    /// An alternate's change cannot be made or priced.
    AlternateNotPriced { alternate: String, reason: String } = Fix "alternate-not-priced" {
        found: "What \"{alternate}\" would change cannot be priced: {reason}",
        remedy: "Write changes such as main size=1; run M1 material=copper L, parted by semicolons; or write its \
             Amount yourself.",
    }
}

/// `row 20`, `rows 20, 21`.
fn rows_of(rows: &[String]) -> String {
    format!("{} {}", if rows.len() == 1 { "row" } else { "rows" }, rows.join(", "))
}

/// `This price and 3 more were quoted by Quillmoor Supply`
fn quoted_by(rows: usize, supplier: &str) -> String {
    let what = match rows {
        1 => "This price was".to_owned(),
        _ => format!("This price and {} more were", rows - 1),
    };
    let by = if supplier.is_empty() { String::new() } else { format!(" by {supplier}") };
    format!("{what} quoted{by}")
}
