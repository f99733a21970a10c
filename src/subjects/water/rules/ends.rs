//! How things join: which ends meet, the end that a fitting has for a pipe, the ends of devices, and what stands between two
//! systems of pipe. Ends have the counter's words: crimp, sweat, MPT.

use crate::model::fold;
use crate::rules::{BY, Rules, matches_kind, rule};
use std::sync::Arc;

rule! {
    /// Two ends that meet, and what one such joint takes. Where several meet an end, an adapter to it has the first.
    JointEnds "joints" overridden by "Joints" {
        key end: Arc<str> = Ends;
        key meets: Arc<str> = Ends;
        /// Ring, clamp or sleeve, as Prices names it; blank where nothing is bought for it.
        optional takes: Arc<str> = Text;
        optional sealant: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

rule! {
    /// The end that fittings have for pipe of a material, by the job's Joining where that matters.
    PipeEnd "pipe_ends" overridden by "Pipe ends" {
        key material: Arc<str> = Material;
        key_or_blank joining: Arc<str> = Word(&["crimp", "clamp", "expansion"]);
        value end: Arc<str> = Ends;
        /// The end of the pipe itself.
        value pipe_end: Arc<str> = Ends;
        remark note: Arc<str> = Text;
    }
}

rule! {
    /// The ends of a device, or of the supply, that pipe is joined to.
    DeviceEnds "device_ends" overridden by "Device ends" {
        key device: Arc<str> = Known;
        /// Blank where nothing flows into it.
        optional inlet: Arc<str> = Ends;
        optional outlet: Arc<str> = Ends;
        remark note: Arc<str> = Text;
    }
}

rule! {
    /// The one part that joins pipe of one material to another, by the ends that fittings have for each: a fitting of the first
    /// one's system. Two ends that no row has are joined by two adapters and a thread between them.
    Transition "transitions" overridden by "Transitions" {
        key end: Arc<str> = Ends;
        key other: Arc<str> = Ends;
        value part: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

/// What the supply is called among the devices.
pub const SUPPLY_END: &str = "supply";
/// Between two adapters.
const THREAD: [&str; 2] = ["MPT", "FPT"];

impl Rules {
    /// The end of fittings for pipe of a material; `None` of a material that no row has.
    pub fn pipe_end(&self, material: &str, joining: &str) -> Option<&PipeEnd> {
        let rows = || self.pipe_ends().iter().filter(|row| *row.material == *material);
        rows().find(|row| *row.joining == *joining).or_else(|| rows().find(|row| row.joining.is_empty()))
    }

    /// Whether two ends meet.
    pub fn ends_meet(&self, a: &str, b: &str) -> bool {
        self.joints().iter().any(|row| [&*row.end, &*row.meets] == [a, b] || [&*row.meets, &*row.end] == [a, b])
    }

    /// The end that an adapter has for this one.
    pub fn mate(&self, end: &str) -> Option<&str> {
        let meets = self.joints().iter().find(|row| *row.end == *end).map(|row| &*row.meets);
        meets.or_else(|| self.joints().iter().find(|row| *row.meets == *end).map(|row| &*row.end))
    }

    /// An end as the tables spell it, whatever its capitals and spaces; `None` where nothing joins such an end.
    pub fn canonical_end(&self, written: &str) -> Option<&str> {
        let ends = self.joints().iter().flat_map(|row| [&*row.end, &*row.meets]);
        let meant = fold(self.names().end(written));
        ends.into_iter().find(|end| fold(end) == meant)
    }

    /// The ends of a device where its run comes and goes on: of what stands between them (flexible connectors, isolation valves)
    /// where its assembly has that. Empty where the tables do not say.
    pub fn device_connections<'a>(&'a self, device: &'a str) -> [&'a str; 2] {
        self.bought_connections(device, &[])
    }

    /// The ends that a device is sold with, each once; `None` where the tables do not say.
    pub fn device_ends_said(&self, device: &str) -> Option<String> {
        let row = self.device_ends().iter().find(|row| matches_kind(&row.device, device))?;
        let mut ends: Vec<&str> = [&*row.inlet, &row.outlet].into_iter().filter(|end| !end.is_empty()).collect();
        ends.dedup();
        Some(ends.join(BY))
    }

    /// The same of a device bought with other ends than the table's: one for both sides, or two.
    pub fn bought_connections<'a>(&'a self, device: &'a str, bought: &[&'a str]) -> [&'a str; 2] {
        let own = self.device_ends().iter().find(|row| *row.device == *device);
        let facing = |end: &'a str| {
            let mut between = self.assembly(device).filter(|part| !part.inlet.is_empty() && !part.joins_run());
            between.find(|part| self.ends_meet(&part.outlet, end)).map(|part| &*part.inlet)
        };
        own.map_or([""; 2], |row| {
            let told = [bought.first().copied(), bought.last().copied()];
            [(&*row.inlet, told[0]), (&*row.outlet, told[1])].map(|(end, told)| match told {
                Some(told) if !end.is_empty() => facing(told).unwrap_or(told),
                _ => facing(end).unwrap_or(end),
            })
        })
    }

    /// The ends of an adapter from a fitting's end to one that is there; empty where either is not known.
    pub fn adapter_ends(&self, end: Option<&PipeEnd>, to: &str) -> String {
        end.zip(self.mate(to)).map_or(String::new(), |(own, mate)| format!("{}{BY}{mate}", own.end))
    }

    /// What stands between two systems of pipe: kind and ends, of the first system and, where it takes two parts, of the
    /// second.
    pub fn transition(&self, [own, other]: [Option<&PipeEnd>; 2]) -> (Between, Option<Between>) {
        let part = |kind: &str, ends: &[&str], of_other| Between { kind: kind.into(), ends: ends.join(BY), of_other };
        let (Some(own), Some(other)) = (own, other) else { return (part("adapter", &[], false), None) };
        let pair = [&*own.end, &*other.end];
        let row = |[a, b]: [&str; 2]| self.transitions().iter().find(|row| [&*row.end, &*row.other] == [a, b]);
        if let Some(row) = row(pair) {
            return (part(&row.part, &pair, false), None);
        }
        let turned = [pair[1], pair[0]];
        match row(turned) {
            Some(row) => (part(&row.part, &turned, true), None),
            None if pair[0] == pair[1] => (part("coupling", &[], false), None),
            None => {
                let [first, second] = [0, 1].map(|at| part("adapter", &[pair[at], THREAD[at]], at == 1));
                (first, Some(second))
            }
        }
    }
}

/// A part between two systems of pipe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Between {
    /// As in Prices.
    pub kind: Arc<str>,
    /// As [`crate::rules::Item::ends`].
    pub ends: String,
    /// It is a fitting of the second system, by its first end.
    pub of_other: bool,
}
