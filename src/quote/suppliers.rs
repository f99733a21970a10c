//! Filled orders -> suppliers: which of them speak for whom, and which are of this job at all.

use super::Context;
use super::answer::Answer;
use super::form::Form;
use super::money::dollars;
use super::order_lines::Wanted;
use crate::finding::{Finding, excerpt};
use crate::model::order_form::LineKey;
use crate::model::{Setting, date_text, fold};
use crate::order::{is_order_number_of, plain, supplier_key};
use crate::place::Place;
use crate::quote::findings::{
    FormByOther, FormOfOther, FormRevision, QuoteExpired, QuoteNotNeeded, QuoteQuantityChanged, QuoteRowsGone,
    QuoteSubstitute, QuoteTwice,
};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

/// Somebody who quoted.
#[derive(Debug, Clone, Default)]
pub struct Supplier {
    pub name: String,
    /// Its spelling as two are compared.
    pub key: String,
    pub quoted_by: String,
    pub files: Vec<Arc<str>>,
    /// Which of the files those are.
    pub at: Vec<usize>,
    /// The latest, where several files have one.
    pub dated: Option<Decimal>,
    /// The earliest.
    pub valid_until: Option<Decimal>,
    /// Of all its files together; where none says one, the Trip cost that the job has for the supplier.
    pub charge: Decimal,
    /// The job's Minimum order for the supplier: less is charged as this much.
    pub minimum: Decimal,
    pub answers: BTreeMap<LineKey, Answered>,
}

/// An answer, and where it stands.
#[derive(Debug, Clone)]
pub struct Answered {
    pub answer: Answer,
    pub file: Arc<str>,
    /// Which of the files that is.
    pub at: usize,
    pub place: Place,
}

/// A property of an order is cut to so many characters.
const PROPERTY: usize = 127;

/// Whether a form is of this job; a finding says why it is not.
pub(crate) fn is_of_job(context: &Context, form: &Form, findings: &mut Vec<Finding>) -> bool {
    let ours = |setting: Setting| plain(&context.job.text(setting)).chars().take(PROPERTY).collect::<String>();
    let of_other = |what: &'static str, theirs: &Option<String>, ours: String| {
        let differs = |theirs: &String| fold(theirs) != fold(&ours) && !is_order_number_of(theirs, &ours);
        let found = theirs.clone().filter(|theirs| !ours.is_empty() && differs(theirs))?;
        Some(Finding::at(&form.place, FormOfOther { what, found: excerpt(&found), ours: excerpt(&ours) }))
    };
    let other = of_other("job", &form.job, ours(Setting::JobName))
        .or_else(|| of_other("order number", &form.number, ours(Setting::OrderNumber)));
    if let Some(finding) = other {
        findings.push(finding);
        return false;
    }
    let revision = ours(Setting::Revision);
    if let Some(found) = form.revision.clone().filter(|found| fold(found) != fold(&revision)) {
        let facts = FormRevision { found: excerpt(&found), ours: excerpt(&revision) };
        findings.push(Finding::at(&form.place, facts));
    }
    if let Some((until, place)) = &form.valid_until {
        let days = [("Needed by", Setting::NeededBy), ("Date", Setting::Date)];
        let late = days.into_iter().find_map(|(what, setting)| {
            let on = context.job.number(setting)?;
            (*until < on).then_some((what, on))
        });
        if let Some((what, on)) = late {
            let facts = QuoteExpired { until: date_text(*until), what, on: date_text(on) };
            findings.push(Finding::at(place, facts));
        }
    }
    true
}

/// Suppliers in the order of their first files; `findings` has a list for each form.
pub(crate) fn gather(
    context: &Context,
    forms: &[Form],
    wanted: &[Wanted],
    findings: &mut [Vec<Finding>],
) -> Vec<Supplier> {
    let mut suppliers: Vec<Supplier> = Vec::new();
    for (form, findings) in forms.iter().zip(findings) {
        let name = name_of(form, &suppliers, forms, findings);
        let key = supplier_key(&name);
        let at = suppliers.iter().position(|supplier| supplier.key == key).unwrap_or_else(|| {
            suppliers.push(Supplier { name, key: key.clone(), ..Supplier::default() });
            suppliers.len() - 1
        });
        add(context, &mut suppliers[at], form, wanted, findings);
    }
    for supplier in &mut suppliers {
        let mut terms = context.job.suppliers.iter();
        let Some(terms) = terms.find(|terms| supplier_key(&terms.supplier.value) == supplier.key) else { continue };
        supplier.minimum = terms.minimum_order.value.unwrap_or_default();
        if supplier.charge.is_zero() {
            supplier.charge = terms.trip_cost.value.unwrap_or_default();
        }
    }
    suppliers
}

fn name_of(form: &Form, before: &[Supplier], forms: &[Form], findings: &mut Vec<Finding>) -> String {
    let stem = Path::new(&*form.file).file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let by = [form.quoted_by.clone(), stem].into_iter().find(|name| !name.is_empty()).unwrap_or_default();
    let Some(name) = form.supplier.clone() else { return by };
    // The same order passed on to a second supply house: both forms bear the first one's name.
    let twin = before.iter().find(|supplier| supplier.key == supplier_key(&name)).filter(|supplier| {
        let same_order = forms
            .iter()
            .any(|other| supplier.at.contains(&other.at) && other.at != form.at && other.phases == form.phases);
        let both_named = !supplier.quoted_by.is_empty() && !form.quoted_by.is_empty();
        let shares = form.lines.iter().any(|line| supplier.answers.contains_key(&line.key));
        same_order && shares && both_named && fold(&supplier.quoted_by) != fold(&form.quoted_by)
    });
    match twin {
        Some(_) => {
            let facts = FormByOther { supplier: name, by: form.quoted_by.clone() };
            findings.push(Finding::at(&form.place, facts));
            form.quoted_by.clone()
        }
        None => name,
    }
}

fn add(context: &Context, supplier: &mut Supplier, form: &Form, wanted: &[Wanted], findings: &mut Vec<Finding>) {
    supplier.files.push(form.file.clone());
    supplier.at.push(form.at);
    if supplier.quoted_by.is_empty() {
        supplier.quoted_by.clone_from(&form.quoted_by);
    }
    supplier.dated = supplier.dated.max(form.dated);
    let until = form.valid_until.as_ref().map(|(date, _)| *date);
    supplier.valid_until = [supplier.valid_until, until].into_iter().flatten().min();
    supplier.charge += form.charge.unwrap_or_default();
    let known: BTreeMap<&LineKey, &Wanted> = wanted.iter().map(|wanted| (&wanted.key, wanted)).collect();
    let here: BTreeSet<&LineKey> = form.lines.iter().map(|line| &line.key).collect();
    for line in &form.lines {
        let Some(wanted) = known.get(&line.key) else {
            let facts = QuoteNotNeeded { line: line.key.to_string() };
            findings.push(Finding::at(&line.place, facts));
            continue;
        };
        let ours = wanted.quantity_for(&form.phases);
        if let Some(found) = line.quantity.filter(|found| *found != ours && !ours.is_zero()) {
            let facts =
                QuoteQuantityChanged { found: found.normalize().to_string(), ours: ours.normalize().to_string() };
            findings.push(Finding::at(&line.place, facts));
        }
        substitute(context, &line.answer, &line.place, findings);
        let answered =
            Answered { answer: line.answer.clone(), file: form.file.clone(), at: form.at, place: line.place.clone() };
        match supplier.answers.get_mut(&line.key) {
            None => _ = supplier.answers.insert(line.key.clone(), answered),
            Some(first) => {
                let (one, other) = (first.answer.price, answered.answer.price);
                if let (Some(one), Some(other)) = (one, other)
                    && one != other
                {
                    let (line_name, first) = (line.key.to_string(), dollars(one));
                    let facts = QuoteTwice { line: line_name, first, other: dollars(other) };
                    findings.push(Finding::at(&line.place, facts));
                }
                if other > one {
                    *first = answered;
                }
            }
        }
    }
    let asked = form.asked.as_deref().map(supplier_key).unwrap_or_default();
    let gone: Vec<String> = wanted
        .iter()
        .filter(|wanted| wanted.asked.contains(&asked) && !wanted.quantity_for(&form.phases).is_zero())
        .filter(|wanted| !here.contains(&wanted.key))
        .map(Wanted::name)
        .collect();
    if !gone.is_empty() {
        findings.push(Finding::at(&form.place, QuoteRowsGone { lines: gone }));
    }
}

fn substitute(context: &Context, answer: &Answer, place: &Place, findings: &mut Vec<Finding>) {
    if answer.substitute.is_empty() || answer.price.is_none() {
        return;
    }
    let policy = match &*context.job.text(Setting::Substitutes) {
        "none" => "none",
        "as good" => "as good",
        _ => "call first",
    };
    findings.push(Finding::at(
        place,
        QuoteSubstitute { part: excerpt(&answer.substitute), policy, fine: policy == "as good" },
    ));
}
