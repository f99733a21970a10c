//! What `--json` prints about workbooks: one document, in the form that `templates/price.schema.json` describes.
//!
//! Money is text with its cents (`"12345.67"`), so that nobody's floating point touches it; physics, feet and hours are
//! numbers of at most four decimals. What does not exist is null, never left out.

use crate::figure::Value;
use crate::figure::exported::{money, number, rounded};
use crate::finding::Finding;
use crate::finding::json::{self, FindingJson};
use crate::model::{Job, Phase, Setting, Size};
use crate::pipeline::Priced;
use crate::subjects;
use rust_decimal::Decimal;
use serde::Serialize;

/// The form of the documents; it changes when a reader of the old one could be misled.
const FORM: u32 = 1;

/// One workbook's document by itself, several as `{"books": [...]}`.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub(crate) enum Documents<D> {
    One(D),
    Several { books: Vec<D> },
}

pub(crate) fn several<D>(mut documents: Vec<D>) -> Documents<D> {
    match documents.pop() {
        Some(only) if documents.is_empty() => Documents::One(only),
        Some(last) => {
            documents.push(last);
            Documents::Several { books: documents }
        }
        None => Documents::Several { books: documents },
    }
}

/// What `check --json` says of one workbook.
#[derive(Debug, Serialize)]
pub(crate) struct CheckDocument {
    form: u32,
    input: String,
    can_be_priced: bool,
    findings: Vec<FindingJson>,
}

impl CheckDocument {
    pub(crate) fn new(input: &str, can_be_priced: bool, findings: &[Finding]) -> Self {
        Self { form: FORM, input: input.to_owned(), can_be_priced, findings: json::objects(input, findings) }
    }
}

/// What `price --json` says of one workbook.
#[derive(Debug, Serialize)]
pub(crate) struct PriceDocument {
    form: u32,
    input: String,
    /// The bid that was written; null when none was.
    pub output: Option<String>,
    /// The copy of the job with the rows to be priced; null when none was asked for or everything has a price.
    pub to_quote: Option<String>,
    /// Why no bid was written, when it was not for the findings.
    pub error: Option<String>,
    currency: Option<String>,
    total: Option<String>,
    cash_total: Option<String>,
    cash_with_packs: Option<String>,
    lines_without_price: Option<f64>,
    alternates: Vec<AlternateDocument>,
    hours: Option<HoursDocument>,
    #[serde(flatten)]
    subjects: subjects::Documents,
    findings: Vec<FindingJson>,
    lines: Vec<LineDocument>,
    buying: Vec<BuyingDocument>,
}

#[derive(Debug, Serialize)]
struct HoursDocument {
    underground: Option<f64>,
    rough_in: Option<f64>,
    trim: Option<f64>,
    test: Option<f64>,
    total: Option<f64>,
    owner: Option<f64>,
    hired: Option<f64>,
}

/// An alternate that was priced as a whole job.
#[derive(Debug, Serialize)]
struct AlternateDocument {
    text: String,
    change: String,
    amount: Option<String>,
    offered: bool,
}

#[derive(Debug, Serialize)]
struct LineDocument {
    kind: String,
    material: Option<String>,
    /// `3/4`, or `3/4 x 1/2 x 1/2` for a tee.
    size: Option<String>,
    quantity: Option<f64>,
    unit: &'static str,
    /// Of one unit; null where nobody has priced it.
    price: Option<String>,
    amount: Option<String>,
}

/// Pipe of one material, size and color: sticks and coils, joints, and how near that is to the least cost.
#[derive(Debug, Serialize)]
struct BuyingDocument {
    material: String,
    size: String,
    /// `cold` or `hot` where each has pipe of its own color.
    water: Option<&'static str>,
    pipe_cost: Option<String>,
    joint_cost: Option<String>,
    /// Pipe and joints, less the worth of what is left.
    total: Option<String>,
    /// No plan costs less.
    bound: Option<String>,
    proved: bool,
}

impl PriceDocument {
    /// A workbook that has no bid.
    pub(crate) fn stopped(input: &str, findings: &[Finding]) -> Self {
        Self {
            form: FORM,
            input: input.to_owned(),
            output: None,
            to_quote: None,
            error: None,
            currency: None,
            total: None,
            cash_total: None,
            cash_with_packs: None,
            lines_without_price: None,
            alternates: Vec::new(),
            hours: None,
            subjects: subjects::Documents::default(),
            findings: json::objects(input, findings),
            lines: Vec::new(),
            buying: Vec::new(),
        }
    }

    pub(crate) fn priced(input: &str, job: &Job, priced: &Priced) -> Self {
        let build_up = &priced.bid.build_up;
        let hours = |phase| number(&priced.labor.in_phase(phase));
        Self {
            currency: Some(job.text(Setting::Currency).to_string()),
            total: money(&build_up.total),
            cash_total: money(&build_up.totals.cash_total),
            cash_with_packs: priced.bid.whole_packs.as_ref().and_then(|whole_packs| money(&whole_packs.cash)),
            lines_without_price: number(&build_up.unpriced),
            alternates: alternates(job, priced),
            hours: Some(HoursDocument {
                underground: hours(Phase::Underground),
                rough_in: hours(Phase::RoughIn),
                trim: hours(Phase::Trim),
                test: hours(Phase::Test),
                total: number(&priced.labor.total),
                owner: number(&build_up.totals.owner_hours),
                hired: number(&build_up.totals.hired_hours),
            }),
            subjects: priced.subjects.documents(job, &priced.network),
            lines: lines(priced),
            buying: priced.purchases.pipes.iter().map(buying).collect(),
            ..Self::stopped(input, &priced.findings)
        }
    }
}

fn alternates(job: &Job, priced: &Priced) -> Vec<AlternateDocument> {
    let document = |alternate: &crate::price::PricedAlternate| {
        let term = job.terms.iter().find(|term| term.row == alternate.row)?;
        Some(AlternateDocument {
            text: term.text.value.to_string(),
            change: term.change.text().to_owned(),
            amount: money(&alternate.amount),
            offered: alternate.offered,
        })
    };
    priced.bid.alternates.iter().filter_map(document).collect()
}

fn buying(pipe: &crate::buy::PipeBought) -> BuyingDocument {
    BuyingDocument {
        material: pipe.material.to_string(),
        size: pipe.size.trim_end_matches('"').to_owned(),
        water: (!pipe.water.is_empty()).then_some(pipe.water),
        pipe_cost: money(&pipe.pipe_cost),
        joint_cost: money(&pipe.joint_cost),
        total: money(&pipe.total),
        bound: money(&pipe.bound),
        proved: pipe.proved,
    }
}

/// The lines of which anything is needed.
fn lines(priced: &Priced) -> Vec<LineDocument> {
    let line = |with_money: &crate::price::PricedLine| {
        let line = priced.take_off.lines.get(with_money.line)?;
        let sizes: Vec<String> = line.item.sizes.iter().map(Size::to_string).collect();
        let unit_price = with_money.unit_price.value().as_decimal().filter(|_| with_money.priced);
        (*line.needed.value() != Value::Exact(Decimal::ZERO)).then(|| LineDocument {
            kind: line.item.kind.clone(),
            material: (!line.item.material.is_empty()).then(|| line.item.material.clone()),
            size: (!sizes.is_empty()).then(|| sizes.join(" x ")),
            quantity: number(&line.needed),
            unit: if line.feet { "ft" } else { "each" },
            price: unit_price.map(|price| format!("{:.4}", rounded(price, 4))),
            amount: money(&with_money.amount),
        })
    };
    priced.bid.lines.iter().filter_map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::several;

    #[test]
    fn one_document_stands_by_itself_and_several_in_a_list() {
        let text = |documents| serde_json::to_string(&several(documents)).unwrap();
        assert_eq!(text(vec![1]), "1");
        assert_eq!(text(vec![1, 2]), "{\"books\":[1,2]}");
    }
}
