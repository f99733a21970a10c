//! Rows that say something and change nothing: a price or a task that nothing asks for, a pack left out, shares that do
//! not make a whole, drains that this program does not price.

use crate::check::findings::job::{DrainsNotPriced, SupplyOverHighest, WellNotCounted};
use crate::check::findings::prices::{
    PackMissing, PriceNotUsed, PriceOfNothing, PricesNotUsed, PricesOpen, SharesNotWhole, SupplierNotUsed, TaskNotUsed,
};
use crate::finding::{Finding, nearest, nearest_kind};
use crate::input::{Amount, DEVICE_KINDS};
use crate::model::{Job, Price, Raw, Setting, SettingValue, fold, vocabulary};
use crate::rules::{Rules, matches_kind};
use crate::subjects;
use rust_decimal::Decimal;

/// Units that hold several: without a Pack nobody knows how many.
const HOLD_SEVERAL: &[&str] = &["coil", "stick", "bag", "box", "roll", "pack", "case", "bundle"];

/// Parts of the trade that are not counted here, and that are no misspelling of one that is.
const OTHER_PARTS: &[&str] = &["wax ring", "closet flange", "trap", "cleanout", "pressure gauge"];

pub(crate) fn rows(job: &Job, rules: &Rules) -> Vec<Finding> {
    let mut findings = Vec::new();
    prices(job, rules, &mut findings);
    packs(job, &mut findings);
    suppliers(job, &mut findings);
    free(job, &mut findings);
    open(job, &mut findings);
    tasks(job, rules, &mut findings);
    payments(job, &mut findings);
    supply(job, &mut findings);
    well(job, &mut findings);
    if let Some(drain) = job.drains.first() {
        findings.push(Finding::at(&drain.name.place, DrainsNotPriced { rows: job.drains.len() }));
    }
    findings
}

/// Kinds of things that a take-off may ask for; a fixture by its own name is bought itself.
pub(super) fn known_kinds<'a>(job: &'a Job, rules: &'a Rules) -> Vec<&'a str> {
    let fixtures = job.fixtures.iter().filter_map(|fixture| rules.canonical_fixture(&fixture.fixture.value));
    let parts = rules.assemblies().iter().map(|part| &*part.kind);
    let sundries = rules.sundries().iter().map(|row| &*row.part);
    let counted = subjects::part_kinds().map(|kind| -> &'a str { kind });
    counted.chain(parts).chain(sundries).chain(fixtures).collect()
}

/// Kinds that the take-off never asks for. Those that are nearly kinds of ours are told with these; the others by themselves.
fn prices(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
    let known = known_kinds(job, rules);
    let mut others: Vec<(&Price, String)> = Vec::new();
    let (mut near_kinds, mut first_near) = (Vec::new(), None);
    let mut seen: Vec<String> = Vec::new();
    for price in &job.prices {
        let kind = &*price.kind.value;
        let device = vocabulary::device_kind(kind).is_some();
        if device || known.iter().any(|name| rules.is_called(name, kind)) || seen.contains(&fold(kind)) {
            continue;
        }
        seen.push(fold(kind));
        match nearest_kind(kind, known.iter().copied()) {
            Some(near) if !OTHER_PARTS.iter().any(|part| matches_kind(part, kind)) => {
                first_near.get_or_insert(&price.kind.place);
                near_kinds.push((kind.to_owned(), near.to_owned(), u64::from(price.row) + 1));
            }
            _ => others.push((price, kind.to_owned())),
        }
    }
    if let Some(first) = first_near {
        findings.push(Finding::at(first, PriceNotUsed { kinds: near_kinds }));
    }
    if let Some((first, _)) = others.first() {
        let kinds = others.iter().map(|(_, kind)| kind.clone()).collect();
        findings.push(Finding::at(&first.kind.place, PricesNotUsed { kinds }));
    }
}

/// Suppliers whom no row of Prices names.
fn suppliers(job: &Job, findings: &mut Vec<Finding>) {
    let name = |text: &str| text.trim().to_lowercase();
    let in_prices: Vec<&str> =
        job.prices.iter().map(|price| price.supplier.text()).filter(|name| !name.is_empty()).collect();
    for terms in &job.suppliers {
        let supplier = &terms.supplier;
        if !in_prices.iter().any(|known| name(known) == name(&supplier.value)) {
            let near = nearest(&supplier.value, in_prices.iter().copied()).map(str::to_owned);
            let facts = SupplierNotUsed { supplier: supplier.value.to_string(), nearest: near };
            findings.push(Finding::at(&supplier.place, facts));
        }
    }
}

fn packs(job: &Job, findings: &mut Vec<Finding>) {
    let holds_several = |price: &&Price| HOLD_SEVERAL.iter().any(|word| matches_kind(word, price.unit.text()));
    let missing: Vec<&Price> = job.prices.iter().filter(|price| price.pack.is_blank()).filter(holds_several).collect();
    if let Some(first) = missing.first() {
        let rows = missing.iter().map(|price| u64::from(price.row) + 1).collect();
        let (kind, unit) = (first.kind.value.to_string(), first.unit.text().to_owned());
        let place = first.pack.cell.as_ref().or(first.unit.cell.as_ref());
        findings.push(Finding::near(place, PackMissing { kind, unit, rows }));
    }
}

/// What costs nothing goes before every other offer.
fn free(job: &Job, findings: &mut Vec<Finding>) {
    let free: Vec<&Price> = job.prices.iter().filter(|price| price.price.value.is_some_and(|p| p.is_zero())).collect();
    if let Some(first) = free.first() {
        let rows = free.iter().map(|price| (u64::from(price.row) + 1).to_string()).collect();
        findings.push(Finding::near(first.price.cell.as_ref(), PriceOfNothing { rows }));
    }
}

/// Rows without a price ask for a quote. One that could not be read has its finding.
fn open(job: &Job, findings: &mut Vec<Finding>) {
    let open: Vec<&Price> = job.prices.iter().filter(|price| price.is_open()).collect();
    if let Some(first) = open.first() {
        let rows = open.iter().map(|price| u64::from(price.row) + 1).collect();
        let place = first.price.cell.as_ref().or(Some(&first.kind.place));
        findings.push(Finding::near(place, PricesOpen { rows }));
    }
}

fn tasks(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
    let known: Vec<&str> = rules.all_labor().iter().map(|row| &*row.task).collect();
    for row in &job.labor {
        let task = &*row.task.value;
        let sets_a_device = DEVICE_KINDS.iter().any(|kind| fold(&format!("set {kind}")) == fold(task));
        let of_own_pipe = ["run ", "joint "].iter().any(|verb| task.to_lowercase().starts_with(verb));
        if rules.labor(task).is_none() && !sets_a_device && !of_own_pipe {
            let nearest = of_a_fixture(task, rules)
                .filter(|proper| known.contains(&proper.as_str()))
                .or_else(|| nearest(task, known.iter().copied()).map(str::to_owned));
            findings.push(Finding::at(&row.task.place, TaskNotUsed { task: task.to_owned(), nearest }));
        }
    }
}

/// The proper task where an everyday name of a fixture stands in it: `trim water closet` for `trim toilet`.
fn of_a_fixture(task: &str, rules: &Rules) -> Option<String> {
    ["rough in ", "trim ", "remove "].iter().find_map(|verb| {
        let fixture = task.strip_prefix(verb)?;
        let proper = rules.canonical_fixture(fixture).or_else(|| rules.names().nearest_fixture(fixture))?;
        Some(format!("{verb}{proper}"))
    })
}

/// Shares that were all given and do not make the whole.
fn payments(job: &Job, findings: &mut Vec<Finding>) {
    let payments: Vec<_> = job.terms.iter().filter(|term| &*term.kind.value == "payment").collect();
    let shares: Option<Vec<Decimal>> = payments.iter().map(|term| term.amount.value.map(Amount::number)).collect();
    let Some(shares) = shares.filter(|shares| !shares.is_empty()) else { return };
    let whole: Decimal = shares.iter().copied().sum();
    if whole != Decimal::ONE {
        let percent = (whole * Decimal::ONE_HUNDRED).normalize().to_string();
        let place = payments.last().and_then(|term| term.amount.cell.as_ref());
        findings.push(Finding::near(place, SharesNotWhole { percent }));
    }
}

/// What stands between a well and the tank's outlet is the well's, and nothing of it is counted.
fn well(job: &Job, findings: &mut Vec<Finding>) {
    if &*job.text(Setting::Supply) == "well" {
        let place = job.settings.get(&Setting::Supply).and_then(|field| field.cell.as_ref());
        findings.push(Finding::near(place, WellNotCounted {}));
    }
}

/// The lowest pressure cannot be above the highest.
fn supply(job: &Job, findings: &mut Vec<Finding>) {
    let given = |setting: Setting| {
        let field = job.settings.get(&setting).filter(|field| field.raw != Raw::Blank)?;
        match field.value {
            Some(SettingValue::Number(psi)) => Some((psi, field.cell.as_ref())),
            _ => None,
        }
    };
    if let (Some((supply, place)), Some((highest, _))) =
        (given(Setting::SupplyPressure), given(Setting::HighestPressure))
        && supply > highest
    {
        let (supply, highest) = (supply.normalize().to_string(), highest.normalize().to_string());
        findings.push(Finding::near(place, SupplyOverHighest { supply, highest }));
    }
}
