//! Sticks and coils whose pieces leave nothing to spare.

use super::cutting::{Cut, Piece};
use super::pipe::{Pipe, Source};
use crate::buy::findings::CutToTheEnd;
use crate::finding::Finding;

/// With less than this left, a slip of the saw takes another stick; eighths of an inch. Common practice.
const INCH: i64 = 8;

pub(super) fn find(pipes: &[Pipe], findings: &mut Vec<Finding>) {
    let units: Vec<String> = pipes.iter().flat_map(tight).collect();
    if !units.is_empty() {
        findings.push(Finding::everywhere(CutToTheEnd { units }));
    }
}

/// Names of the units of a pipe that are cut up to less than an inch.
fn tight(pipe: &Pipe) -> Vec<String> {
    let is_joined = |piece: &Piece| {
        let pieces = pipe.plan.cuts.iter().flat_map(|cut| &cut.pieces);
        pieces.filter(|other| other.run == piece.run).count() > 1
    };
    let is_tight = |cut: &Cut| {
        let is_bought = matches!(pipe.sources.get(cut.stock), Some(Source::Offer(_)));
        let length = pipe.problem.stock.get(cut.stock).map_or(0, |stock| stock.length);
        let pieces: i64 = cut.pieces.iter().map(|piece| piece.length).sum();
        let saw = pipe.problem.kerf * i64::try_from(cut.pieces.len().saturating_sub(1)).unwrap_or(0);
        // One that is used whole is not cut, and a joined run may be joined elsewhere.
        let is_cut = cut.pieces.len() > 1 || pieces < length;
        is_bought && is_cut && length - pieces - saw < INCH && !cut.pieces.iter().any(is_joined)
    };
    let tight = pipe.plan.cuts.iter().enumerate().filter(|(_, cut)| is_tight(cut));
    tight.map(|(n, _)| pipe.unit_name(n)).collect()
}
