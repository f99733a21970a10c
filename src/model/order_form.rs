//! The order form: what a supplier's order workbook looks like to a program. `order` writes it, `quotes` reads it back
//! once the supplier has filled it in; both go by what is declared here and by nothing else.
//!
//! An order is an .xlsx workbook with one sheet, [`SHEET`]. It is known by the document property [`PROPERTY`], whose value
//! is the version of this form. The sheet holds, from the top down:
//!
//! 1. A title, and the head: a list of labels and values side by side (the label in column B, its value in column C).
//!    The values of [`HEAD_FILLED`] are blank, for the supplier.
//! 2. The conditions, a row of words each.
//! 3. The lines: a row of the headings of [`COLUMNS`], in that order from column A on, found by their words; under it the
//!    lines, parted by rows that name a group under [`ITEM`] and have nothing under [`LINE`]. The first row with
//!    [`LINES_END`] under [`ITEM`] ends them; below it stand totals.
//!
//! Every line has a [`LineKey`] under [`LINE`], unlike any other of that order. It says what the line is and in what it is
//! sold, not what it costs, so a job priced again gives the same keys. In orders split by phase a key may stand in several,
//! each with its part of the quantity.
//!
//! Of each line the supplier fills the columns that say `filled`. A price is for one Unit: a stick, a coil, a bag.

use super::Size;
use rust_decimal::Decimal;
use std::fmt;

/// The one sheet of an order workbook.
pub const SHEET: &str = "Order";

/// The document property that an order of ours is known by, and the version of its form.
pub const PROPERTY: &str = "tallybore-order";
/// See [`PROPERTY`].
pub const VERSION: &str = "1";
/// Further document properties, as text of at most 255 characters; one whose value would be empty is left out.
pub const NUMBER_PROPERTY: &str = "tallybore-order-number";
/// The job's name.
pub const JOB_PROPERTY: &str = "tallybore-order-job";
/// The revision of the bid.
pub const REVISION_PROPERTY: &str = "tallybore-order-revision";
/// As the first row of Prices that names this supplier spells it; left out where no supplier is given.
pub const SUPPLIER_PROPERTY: &str = "tallybore-order-supplier";
/// Words of [`super::Phase`], joined by a comma and a space; left out where the order is for all phases.
pub const PHASES_PROPERTY: &str = "tallybore-order-phases";

/// Who an order is for when Prices names nobody.
pub const ANY_SUPPLIER: &str = "any supplier";

/// Labels of the head, with the values beside them.
pub const ORDER_NUMBER: &str = "Order number";
/// Label of the head: the order that this one takes the place of, or adds to.
pub const REVISES: &str = "Revises";
/// Label of the head: who it goes to.
pub const SUPPLIER: &str = "Supplier";
/// Label of the head: the job's name.
pub const JOB: &str = "Job";
/// Label of the head: the bid's number and revision.
pub const BID: &str = "Bid";
/// Label of the head: the contractor.
pub const ORDERED_BY: &str = "Ordered by";
/// Label of the head: an address.
pub const DELIVER_TO: &str = "Deliver to";
/// Label of the head: whom to ask.
pub const CONTACT: &str = "Contact";
/// Label of the head: a date.
pub const NEEDED_BY: &str = "Needed by";
/// Label of the head: the phases it is for.
pub const PHASES: &str = "For";
/// A date, or its text: when the prices were given.
pub const QUOTED_ON: &str = "Quote date";
/// A date, or its text.
pub const VALID_UNTIL: &str = "Quote valid until";
/// Money, for the whole order.
pub const CHARGE: &str = "Delivery or trip charge";
/// A name, a telephone number.
pub const QUOTED_BY: &str = "Quoted by";
/// The labels whose values the supplier fills.
pub const HEAD_FILLED: [&str; 4] = [QUOTED_BY, QUOTED_ON, VALID_UNTIL, CHARGE];

/// A column of the lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FormColumn {
    /// As the form spells it.
    pub heading: &'static str,
    /// Blank in the order, for the supplier to fill.
    pub filled: bool,
}

/// Running number of the line in this order, for the telephone.
pub const ROW: &str = "No.";
/// What it is, in the trade's words.
pub const ITEM: &str = "Item";
/// Nominal size, or sizes joined by x.
pub const SIZE: &str = "Size";
/// The supplier's own number; blank where Prices has none.
pub const PART: &str = "Part no.";
/// Whole Units.
pub const QUANTITY: &str = "Quantity";
/// Each, bag, box, stick, coil or ft, as Prices has it.
pub const UNIT: &str = "Unit";
/// Feet or pieces in one Unit.
pub const PACK: &str = "One holds";
/// The phase that needs it first; of several, how many Units each.
pub const NEEDED_FOR: &str = "Needed for";
/// [`ORDERED`], or [`QUOTE`] where the job has no price for it.
pub const STATE: &str = "Order or quote";
/// Of one Unit, before tax, as Prices has it; [`NO_PRICE`] where it has none, blank where a price is asked for.
pub const QUOTED_PRICE: &str = "Quoted price";
/// Quantity times quoted price, a live formula.
pub const EXTENSION: &str = "Extension";
/// Under [`QUOTED_PRICE`] of a line that nobody has priced.
pub const NO_PRICE: &str = "no price";
/// Of one Unit, before tax.
pub const PRICE: &str = "Price of one Unit";
/// Yes, no, or when.
pub const AVAILABLE: &str = "Available";
/// The number of what is offered in its place.
pub const SUBSTITUTE: &str = "Substitute part no.";
/// Anything else the supplier says of the line.
pub const REMARK: &str = "Remark";
/// Quantity times price, a live formula.
pub const SUM: &str = "Sum";
/// The line's [`LineKey`].
pub const LINE: &str = "Line";

/// The columns of the lines, from column A on.
pub const COLUMNS: &[FormColumn] = &[
    ours(ROW),
    ours(ITEM),
    ours(SIZE),
    ours(PART),
    ours(QUANTITY),
    ours(UNIT),
    ours(PACK),
    ours(NEEDED_FOR),
    ours(STATE),
    ours(QUOTED_PRICE),
    ours(EXTENSION),
    theirs(PRICE),
    theirs(AVAILABLE),
    theirs(SUBSTITUTE),
    theirs(REMARK),
    ours(SUM),
    ours(LINE),
];

const fn ours(heading: &'static str) -> FormColumn {
    FormColumn { heading, filled: false }
}

const fn theirs(heading: &'static str) -> FormColumn {
    FormColumn { heading, filled: true }
}

/// What stands under [`STATE`].
pub const ORDERED: &str = "order";
/// See [`ORDERED`].
pub const QUOTE: &str = "quote";

/// Under [`ITEM`] in the row that ends the lines.
pub const LINES_END: &str = "All lines";

/// What a line of an order is and in what it is sold: `pipe|PEX|3/4|stick 20`, `tee|PEX|3/4 x 1/2 x 1/2|each 1`,
/// `nail plate|||box 50`.
///
/// Kind, material and sizes are the take-off's own (see [`crate::rules::Item`]), Unit and Pack those of the row of
/// Prices, the Unit in lower case; a thing that no row has is counted by `each 1` or `ft 1`. What says its ends has them after that: `|ends crimp x MPT`. Pipe that has a color for
/// each water has `cold` or `hot` after that. Where several rows of Prices of one supplier sell the same thing in the
/// same packs, all but the first are numbered: `|no. 2`.
///
/// ```
/// use tallybore::model::order_form::LineKey;
/// let key = LineKey::parse("pipe|PEX|3/4|stick 20|hot").unwrap();
/// assert_eq!((key.unit.as_str(), key.pack.to_string(), key.water.as_str()), ("stick", "20".to_owned(), "hot"));
/// assert_eq!(key.to_string(), "pipe|PEX|3/4|stick 20|hot");
/// assert_eq!(LineKey::parse("pipe|PEX|3/4"), None);
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LineKey {
    /// Of the thing, as the take-off names it: `pipe`, `tee`.
    pub kind: String,
    /// Empty where the material does not matter.
    pub material: String,
    /// As [`crate::rules::Item::sizes`].
    pub sizes: Vec<Size>,
    /// In lower case.
    pub unit: String,
    /// Feet or pieces in one Unit, without zeros at its end.
    pub pack: Decimal,
    /// As [`crate::rules::Item::ends`].
    pub ends: String,
    /// `cold`, `hot` or empty.
    pub water: String,
    /// From 1.
    pub number: u32,
}

/// Before the ends.
const ENDS: &str = "ends ";

/// The most characters of a word of a key; no kind or unit of the trade is as long.
const WORD: usize = 60;

impl LineKey {
    /// The key of a thing and the pack it is sold in; a blank `unit` is `each`, `water` is empty and `number` 1.
    pub fn new(kind: &str, material: &str, sizes: &[Size], unit: &str, pack: Decimal) -> Self {
        let unit = word(unit).to_lowercase();
        Self {
            kind: word(kind),
            material: word(material),
            sizes: sizes.to_vec(),
            unit: if unit.is_empty() { "each".to_owned() } else { unit },
            pack: pack.normalize(),
            ends: String::new(),
            water: String::new(),
            number: 1,
        }
    }

    /// Reads a key as [`fmt::Display`] writes it; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        let mut fields = text.trim().split('|').map(str::trim);
        let (kind, material, sizes, sold) = (fields.next()?, fields.next()?, fields.next()?, fields.next()?);
        let sizes = sizes.split(" x ").filter(|size| !size.is_empty()).map(Size::parse).collect::<Option<Vec<_>>>()?;
        let (unit, pack) = sold.rsplit_once(' ')?;
        let mut key = Self::new(kind, material, &sizes, unit, pack.parse().ok()?);
        for field in fields {
            match field.strip_prefix("no. ") {
                Some(number) => key.number = number.parse().ok()?,
                None if matches!(field, "cold" | "hot") => field.clone_into(&mut key.water),
                None => key.ends = field.strip_prefix(ENDS)?.to_owned(),
            }
        }
        (!kind.is_empty()).then_some(key)
    }
}

impl fmt::Display for LineKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sizes: Vec<String> = self.sizes.iter().map(Size::to_string).collect();
        write!(f, "{}|{}|{}|{} {}", self.kind, self.material, sizes.join(" x "), self.unit, self.pack)?;
        if !self.ends.is_empty() {
            write!(f, "|{ENDS}{}", self.ends)?;
        }
        if !self.water.is_empty() {
            write!(f, "|{}", self.water)?;
        }
        if self.number > 1 {
            write!(f, "|no. {}", self.number)?;
        }
        Ok(())
    }
}

/// A word of a key: on one line, without the sign that parts them, not endlessly long.
fn word(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c == '|' { '/' } else { c }).filter(|c| !c.is_control()).collect();
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    plain.chars().take(WORD).collect::<String>().trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_read_back_as_they_were_written() {
        let sizes = |text: &str| text.split('x').map(|s| Size::parse(s).unwrap()).collect::<Vec<_>>();
        let mut tee = LineKey::new("tee", "PEX", &sizes("3/4 x 1/2 x 1/2"), "Each", Decimal::ONE);
        assert_eq!(tee.to_string(), "tee|PEX|3/4 x 1/2 x 1/2|each 1");
        tee.number = 2;
        let plate = LineKey::new("nail plate", "", &[], "box of | 50", "50.0".parse().unwrap());
        assert_eq!(plate.to_string(), "nail plate|||box of / 50 50");
        let mut adapter = LineKey::new("adapter", "PEX", &sizes("3/4"), "each", Decimal::ONE);
        adapter.ends = "crimp x MPT".to_owned();
        let mut spout = LineKey::new("drop-ear", "brass", &sizes("1/2"), "each", Decimal::ONE);
        spout.ends = "FPT".to_owned();
        let mut pipe = LineKey::new("pipe", "PEX", &sizes("1-1/4"), " Coil\n", "100".parse().unwrap());
        pipe.water = "cold".to_owned();
        for key in [tee, plate, pipe, adapter, spout] {
            assert_eq!(LineKey::parse(&key.to_string()), Some(key.clone()), "{key}");
        }
    }

    #[test]
    fn what_is_no_key_is_not_read_as_one() {
        for text in [
            "",
            "All lines",
            "pipe",
            "pipe|PEX|3/4|stick",
            "pipe|PEX|blue|stick 20",
            "|PEX|3/4|stick 20",
            "a|b||each 1|warm",
        ] {
            assert_eq!(LineKey::parse(text), None, "{text}");
        }
    }

    #[test]
    fn headings_are_unlike_each_other() {
        let mut headings: Vec<String> = COLUMNS.iter().map(|column| crate::model::fold(column.heading)).collect();
        headings.sort();
        headings.dedup();
        assert_eq!(headings.len(), COLUMNS.len());
    }
}
