//! What goes along a run, by its length and the size of its pipe: reckoned once, in plain numbers for the size search and in
//! figures for the bid.

use super::installation::Lay;
use super::run_accessories::Accessories;
use crate::figure::{Number, Term};
use crate::model::{Setting, Whereabouts};
use crate::view::View;
use rust_decimal::Decimal;

/// What goes along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Goes {
    /// By the foot, as it lies.
    Pipe,
    /// By the foot: what is left at both ends to work with, bought and cut, and not run.
    Tails,
    Supports,
    NailPlates,
    /// Of this kind.
    Sleeves(&'static str),
    /// By the foot.
    Insulation,
}

/// Steps of the reckoning, which the bid shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    Length,
    Upright,
    Level,
    Studs,
    PlatesCrossed,
    /// Of a stud beside a hole in its middle, in.
    LeftOfStud,
}

/// What a run's pipe takes from where it is told.
pub(crate) trait Takes<N> {
    /// A step of the reckoning; gives what is reckoned on with.
    fn step(&mut self, step: Step, value: N) -> N;
    fn take(&mut self, what: Goes, quantity: N);
    /// Length that is insulated; `None` where nothing ever is.
    fn insulated_ft(&mut self, length_ft: &N) -> Option<N>;
}

/// Settings and limits that hold for all runs.
#[derive(Debug, Clone)]
pub(crate) struct Framing<N> {
    stud_spacing_in: N,
    stud_depth_in: N,
    /// Above 0: holes in framing that stand no farther apart than supports would hold the pipe.
    framing_holds: N,
    /// Nail plates where a hole leaves less than this to the face of the stud, in.
    edge_in: N,
    plates_per_hole: N,
    tail_in: N,
}

/// What pipe of a size needs.
#[derive(Debug, Clone)]
pub(crate) struct Spacing<N> {
    /// Greatest distance between supports of level pipe, ft.
    level_ft: N,
    /// The same of upright pipe, guides counted, ft.
    upright_ft: N,
    /// Hole that it needs in framing, in.
    hole_in: N,
}

impl<N> Framing<N> {
    /// `read` gives what is reckoned with: the figure itself, or what it now is.
    pub(crate) fn of<R>(view: &View<R>, lay: &Lay, read: impl Fn(&Term) -> N) -> Self {
        let setting = |setting| read(&view.settings.get(setting));
        Self {
            stud_spacing_in: setting(Setting::StudSpacing),
            stud_depth_in: setting(Setting::StudDepth),
            framing_holds: read(&lay.framing_holds),
            edge_in: read(&lay.edge_in),
            plates_per_hole: read(&lay.plates_per_hole),
            tail_in: setting(Setting::TailAllowance),
        }
    }
}

impl<N> Spacing<N> {
    /// By the row of the pipe table. `read` as for [`Framing::of`].
    pub(crate) fn of(lay: &Lay, pipe_row: &Term, read: impl Fn(&Term) -> N) -> Self {
        let [level_ft, upright_ft, hole_in] =
            [&lay.level_ft, &lay.upright_ft, &lay.hole_in].map(|column| read(&Term::at(column, pipe_row)));
        Self { level_ft, upright_ft, hole_in }
    }
}

/// A run as it lies.
pub(crate) struct Lying<'a, N> {
    pub length_ft: N,
    pub rise_ft: N,
    pub place: Whereabouts,
    /// It begins at the supply.
    pub starts: bool,
    pub accessories: &'a Accessories,
    pub framing: &'a Framing<N>,
    pub spacing: Spacing<N>,
}

fn of<N: Number>(number: u8) -> N {
    N::of(Decimal::from(number))
}

/// Of both ends of a run, ft.
pub(crate) fn tails_ft<N: Number>(length_ft: &N, tail_in: &N) -> N {
    let tails = tail_in.clone() * of(2) / of(12);
    N::pick(length_ft.above(&of(0)), &tails, &of(0))
}

impl<N: Number> Lying<'_, N> {
    /// All that goes along it.
    pub(crate) fn takes(&self, to: &mut impl Takes<N>) {
        let length = to.step(Step::Length, self.length_ft.clone());
        let rise = &self.rise_ft;
        let upright = to.step(Step::Upright, rise.larger(&(of::<N>(0) - rise.clone())).smaller(&length));
        let level = to.step(Step::Level, length.clone() - upright.clone());
        to.take(Goes::Pipe, length.clone());
        to.take(Goes::Tails, tails_ft(&length, &self.framing.tail_in));
        if !matches!(self.place, Whereabouts::Buried | Whereabouts::InSlab) {
            to.take(Goes::Supports, self.supports(&level, &upright));
        }
        if self.accessories.can_be_nailed {
            let plates = self.plates(&level, to);
            to.take(Goes::NailPlates, plates);
        }
        if let Some((kind, pieces)) = self.accessories.sleeves {
            to.take(Goes::Sleeves(kind), of(pieces));
        }
        if let Some(insulated) = to.insulated_ft(&length) {
            to.take(Goes::Insulation, insulated);
        }
    }

    /// By the code's spacing: one for each space of level pipe begun, and one for each of upright pipe filled, for a
    /// short rise hangs between level pipe. The start is held by what feeds it; at the supply it has a support of its
    /// own. Holes in framing that stand no farther apart hold level pipe by themselves.
    fn supports(&self, level: &N, upright: &N) -> N {
        let Spacing { level_ft, upright_ft, .. } = &self.spacing;
        let mut supports_along = (level.clone() / level_ft.clone()).whole_up();
        if self.accessories.in_studs {
            let studs_ft = self.framing.stud_spacing_in.clone() / of(12);
            let held_by_framing = N::both(self.framing.framing_holds.above(&of(0)), level_ft.at_least(&studs_ft));
            supports_along = N::pick(held_by_framing, &of(0), &supports_along);
        }
        let supports = supports_along + (upright.clone() / upright_ft.clone()).whole_down();
        if self.starts { supports + of(1) } else { supports }
    }

    /// Plates at the studs that the run passes, where a hole in the middle of a stud leaves less than the code's
    /// distance to its faces.
    fn plates(&self, level: &N, to: &mut impl Takes<N>) -> N {
        let framing = self.framing;
        let studs = (level.clone() * of(12) / framing.stud_spacing_in.clone()).whole_up();
        let studs = to.step(Step::Studs, studs);
        let crossed = to.step(Step::PlatesCrossed, of(self.accessories.plates_crossed));
        let left = (framing.stud_depth_in.clone() - self.spacing.hole_in.clone()) / of(2);
        let left = to.step(Step::LeftOfStud, left);
        let plates = (studs + crossed) * framing.plates_per_hole.clone();
        N::pick(framing.edge_in.above(&left), &plates, &of(0))
    }
}
