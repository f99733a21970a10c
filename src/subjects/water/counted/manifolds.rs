//! Manifolds: how many ports each needs and how much it carries, against what it has and may carry; and the lines from
//! them that are smaller than other pipe, against the length the code allows those.

use super::Context;
use crate::figure::verdict::OK;
use crate::figure::{Book, Term, Value};
use crate::finding::Finding;
use crate::model::{Device, Size};
use crate::subjects::water::findings::counted::{ManifoldFlow, ManifoldPorts};
use crate::subjects::water::size::home_runs::{DISTRIBUTION, HomeRun, is_manifold};
use crate::table::columns;
use rust_decimal::Decimal;

pub(super) fn put(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) {
    let manifolds: Vec<(&Device, usize)> = context
        .job
        .devices
        .iter()
        .filter(|device| is_manifold(device))
        .filter_map(|device| Some((device, context.network.find(&device.on_run.value)?)))
        .collect();
    if manifolds.is_empty() {
        return;
    }
    ports_and_flow(book, context, &manifolds, findings);
    small_lines(book, context);
}

columns! {
    struct Ports on Counts("Manifolds") {
        name: "Manifold", words 12;
        needed: "Ports needed", Each;
        has: "Ports it has", Each;
        flow: "Flow", Gpm;
        most: "Most flow for its size", Gpm;
        check: "Check", check 18;
    }
}

fn ports_and_flow(book: &mut Book, context: &Context, manifolds: &[(&Device, usize)], findings: &mut Vec<Finding>) {
    let Ports { table, name, needed, has, flow, most, check } = Ports::on_page(book, context);
    for (device, position) in manifolds {
        let row = book.row(table);
        let words = device.name.figure(book);
        book.put(row, name, words);
        let ports_needed = ports_needed(context, *position);
        let ports_needed = book.put_or_state(row, needed, ports_needed, "counted from the job");
        let mut verdict = Term::text(OK);
        if device.ports.cell.is_some() {
            // A blank cell says nothing of ports until somebody fills it in.
            let typed = device.ports.figure(book);
            let ports = book.put(row, has, typed);
            let short = ports.above(&Term::number(0)).and(&ports_needed.above(&ports));
            verdict = short.pick(&Term::text("too few ports"), &verdict);
            if device.ports.value.is_some_and(|p| p > Decimal::ZERO)
                && ports_needed.value().as_f64() > ports.value().as_f64()
            {
                let facts = ManifoldPorts {
                    manifold: device.name.value.to_string(),
                    needed: ports_needed.value().to_string(),
                    ports: ports.value().to_string(),
                };
                findings.push(Finding::near(device.ports.cell.as_ref(), facts));
            }
        }
        let gpm = book.put(row, flow, context.sizes.demand_gpm[*position].clone());
        let body = body(&context.sizes.materials[*position]);
        let size = device.size.get().or(context.sizes.sizes[*position]);
        if let Some(row_of) = size.and_then(|size| context.rules.manifold_flow(body, size)) {
            let source = row_of.origin.words();
            let allowed = book.rule(row, most, Value::Exact(row_of.gpm), &source);
            verdict = gpm.above(&allowed).pick(&Term::text("too much flow"), &verdict);
            if gpm.value().as_f64() > allowed.value().as_f64() {
                let facts = ManifoldFlow {
                    manifold: device.name.value.to_string(),
                    what: format!("{}, {body}", row_of.size),
                    gpm: gpm.value().as_f64(),
                    most: row_of.gpm,
                    source: source.to_string(),
                };
                findings.push(Finding::near(device.size.cell.as_ref().or(Some(&device.name.place)), facts));
            }
        }
        book.put(row, check, verdict.or_price_again());
    }
}

/// Lines and outlets that a manifold feeds, live in the counts of fixtures.
pub(super) fn ports_needed(context: &Context, position: usize) -> Term {
    let lines = Term::number(context.network.children[position].len() as u64);
    let mut outlets = Vec::new();
    for outlet in &context.sizes.outlets {
        for _ in [outlet.cold, outlet.hot].into_iter().filter(|side| *side == Some(position)) {
            outlets.push(outlet.count.clone());
        }
    }
    if outlets.is_empty() { lines } else { lines + Term::total(&outlets.iter().collect::<Vec<_>>()) }
}

/// What the body is taken to be made of: what its run is.
fn body(material: &str) -> &'static str {
    if super::is_metal(material) { "metal" } else { "plastic" }
}

columns! {
    struct Small on Counts("Lines from manifolds to one outlet") {
        name: "Ends with run", words 12;
        feet: "Developed length", Feet;
        size: "Size at its end", words;
        most: "Most where smaller than other pipe", Feet;
        check: "Check", check 18;
    }
}

/// Lines that serve one outlet may be smaller than other pipe as long as they are short.
fn small_lines(book: &mut Book, context: &Context) {
    let limit = |name: &str| context.rules.limit(name, context.code);
    let (Some(longest), Some(smallest)) = (limit("individual line length"), limit(DISTRIBUTION)) else { return };
    let Some(smallest) = Size::from_inches(crate::figure::Number::of(smallest.value)) else { return };
    if context.sizes.structure.home_runs.is_empty() {
        return;
    }
    let Small { table, name, feet, size, most, check } = Small::on_page(book, context);
    let source = longest.origin.words();
    for HomeRun { runs } in &context.sizes.structure.home_runs {
        let Some(last) = runs.last() else { continue };
        let row = book.row(table);
        let run = context.run_at(*last);
        let words = run.name.figure(book);
        book.put(row, name, words);
        let lengths: Vec<&Term> = runs.iter().map(|run| &context.sizes.length_ft[*run]).collect();
        let length = book.put(row, feet, Term::total(&lengths));
        book.put(row, size, context.sizes.size_keys[*last].clone());
        let longest = book.rule(row, most, Value::Exact(longest.value), &source);
        // By the rows of the pipe table: the smaller the size the earlier its row.
        let other = Term::text(format!("{} {}", context.sizes.materials[*last], smallest.key()));
        let other = Term::row_of(&other, &context.sizes.pipe_table_keys);
        let small = other.above(&context.sizes.pipe_rows[*last]);
        let verdict = small.and(&length.above(&longest)).flag("too long for its size");
        book.put(row, check, verdict.or_price_again());
    }
}
