//! Stick or coil where Form says auto: a line from a manifold goes in coil, any other run in the form that costs less in
//! pipe, fittings and minutes together. By the foot and the piece, as the bid charges them: what whole packs cost is
//! weighed by `buy`, which may cut a run without bends from either.

use super::Context;
use super::accessory_counts::tails_ft;
use super::structure::Structure;
use super::typed_form::{form, is_open, unit_is};
use super::unit_costs::{UnitCosts, mills};
use crate::choice::Choice;
use crate::figure::Number;
use crate::model::{Price, Run, Setting, Size, Status, Whereabouts, fold};
use crate::parts::{COIL, STICK};
use crate::rules::{Item, offers_of};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Why a run goes in one form or the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// A line from a manifold: unrolled in one piece.
    HomeRun,
    /// Prices has it in this form only, or a piece as long as the run in this form only.
    OnlyOffer,
    /// It costs less.
    Costs,
    /// Prices has it in neither form: the one that would cost less at the price of a like size, until it has.
    Unpriced,
}

impl Reason {
    pub fn words(self) -> &'static str {
        match self {
            Self::HomeRun => "home run from a manifold",
            Self::OnlyOffer => "offered in this form only",
            Self::Costs => "costs less",
            Self::Unpriced => "no price yet",
        }
    }
}

/// The form of every run, by position.
#[derive(Debug, Clone, Default)]
pub struct Forms {
    runs: Vec<OfRun>,
}

#[derive(Debug, Clone)]
enum OfRun {
    /// As typed, or `auto` where there is nothing to choose.
    Given(&'static str),
    Open(Open),
}

/// A run whose form is chosen.
#[derive(Debug, Clone)]
struct Open {
    /// As the bid that is read has it.
    saved: Option<&'static str>,
    by_size: Vec<(Size, &'static str, Reason)>,
}

impl Forms {
    pub fn new(context: &Context, materials: &[Arc<str>], structure: &Structure) -> Self {
        let unit = UnitCosts::new(context);
        let mut sold: BTreeMap<&str, Vec<Sold>> = BTreeMap::new();
        let mut home = vec![false; materials.len()];
        structure.home_runs.iter().flat_map(|line| &line.runs).for_each(|position| home[*position] = true);
        let runs = materials.iter().enumerate().map(|(position, material)| {
            if !is_open(context, position, material) {
                return OfRun::Given(form(context, position));
            }
            let run = run(context, position);
            let sold = sold.entry(material).or_insert_with(|| Sold::of(context, &unit, material));
            let of_size = |sold: &Sold| {
                let (form, reason) = Ways::of(context, &unit, run, material, sold).choose(home[position]);
                (sold.size, form, reason)
            };
            let by_size = sold.iter().map(of_size).collect();
            OfRun::Open(Open { saved: saved_form(context, run), by_size })
        });
        Self { runs: runs.collect() }
    }

    /// `auto`, `stick` or `coil`: the form of a run in this size.
    pub fn of(&self, position: usize, size: Option<Size>) -> &'static str {
        match self.runs.get(position) {
            Some(OfRun::Given(form)) => form,
            Some(OfRun::Open(open)) => open.saved.or_else(|| Some(open.in_size(size)?.1)).unwrap_or(COIL),
            None => "auto",
        }
    }

    /// Why a run would be chosen to go so in this size; `None` where the form is not chosen.
    pub fn reason(&self, position: usize, size: Option<Size>) -> Option<Reason> {
        match self.runs.get(position)? {
            OfRun::Given(_) => None,
            OfRun::Open(open) => Some(open.in_size(size).map_or(Reason::OnlyOffer, |(_, _, reason)| *reason)),
        }
    }

    /// Whether the form of a run is chosen.
    pub fn is_open(&self, position: usize) -> bool {
        matches!(self.runs.get(position), Some(OfRun::Open(_)))
    }
}

impl Open {
    fn in_size(&self, size: Option<Size>) -> Option<&(Size, &'static str, Reason)> {
        self.by_size.iter().find(|(of, ..)| size.is_none_or(|size| size == *of))
    }
}

fn run<'a>(context: &Context<'a>, position: usize) -> &'a Run {
    context.run_at(position)
}

/// The choice of the bid that is read. Pipe that is in lies as it was put in, whatever else is chosen anew.
fn saved_form(context: &Context, run: &Run) -> Option<&'static str> {
    let holds = context.hold || run.status.get() == Some(Status::Installed);
    let words = context.job.saved.get(Choice::Form, run.name.value.trim()).filter(|_| holds)?;
    [STICK, COIL].into_iter().find(|form| fold(words) == *form)
}

/// The rows of Prices that sell this pipe in a form: `stick`, or `coil`, to which pipe cut to length off a roll belongs.
pub(crate) fn offers<'a>(context: &Context<'a>, pipe: &Item, form: &str) -> Vec<&'a Price> {
    let fits = |price: &&Price| {
        let sold_as = if price.is_by_foot() || unit_is(price, COIL) { COIL } else { STICK };
        let sound = price.price.value.is_some() && price.pack.value.is_none_or(|pack| pack > Decimal::ZERO);
        sound && sold_as == form
    };
    offers_of(context.job, context.rules, pipe).filter(fits).collect()
}

/// The longest piece of pipe that an offer sells, ft; `None` for as long as one asks for.
pub(crate) fn longest(offers: &[&Price]) -> Option<Decimal> {
    let lengths = offers.iter().map(|price| (!price.is_by_foot()).then(|| price.pack_holds()));
    lengths.max_by_key(|length| length.unwrap_or(Decimal::MAX)).flatten()
}

/// How pipe of one size is sold, by form.
struct Sold {
    size: Size,
    stick: Option<Offered>,
    coil: Option<Offered>,
    /// A foot of it where nobody offers that form, dollars.
    otherwise: f64,
}

#[derive(Clone, Copy)]
struct Offered {
    /// A foot with its tax, dollars.
    foot: f64,
    /// The longest piece, ft; `None` for as long as one asks for.
    longest: Option<Decimal>,
}

impl Sold {
    /// Every size of a material.
    fn of(context: &Context, unit: &UnitCosts, material: &str) -> Vec<Self> {
        let of_size = |size: Size| {
            let pipe = Item::new("pipe", material, &[size]);
            let offered = |form| {
                let all = offers(context, &pipe, form);
                Some(Offered { foot: unit.cheapest(&pipe, all.iter().copied())?, longest: longest(&all) })
            };
            let otherwise = unit.price("pipe", material, &[size]);
            Self { size, stick: offered(STICK), coil: offered(COIL), otherwise }
        };
        context.rules.pipes_of(material).iter().map(|pipe| of_size(pipe.size)).collect()
    }
}

/// Both ways that a run of one size can go.
struct Ways {
    stick: Way,
    coil: Way,
}

/// One of them.
struct Way {
    offered: bool,
    /// Nothing is long enough for a run that must be one piece.
    too_short: bool,
    /// Thousandths of a dollar.
    cost: i64,
}

impl Ways {
    fn of(context: &Context, unit: &UnitCosts, run: &Run, material: &str, sold: &Sold) -> Self {
        let number = |number: Option<Decimal>| number.and_then(|n| n.to_f64()).unwrap_or_default();
        let place = run.place.get();
        let one_piece = match run.joints.as_ref().map(|words| fold(words)).as_deref() {
            Some("none") => true,
            Some(_) => false,
            // Under ground and in slabs pipe goes in one piece where nobody says otherwise.
            None => matches!(place, Some(Whereabouts::Buried | Whereabouts::InSlab)),
        };
        let length_ft = number(run.length_ft.value);
        let cut_ft = length_ft + tails_ft(&length_ft, &number(context.job.number(Setting::TailAllowance)));
        let (size, at) = (sold.size, Some(place.unwrap_or_default()));
        let way = |form, offered: Option<Offered>| {
            let longest = offered.and_then(|offered| offered.longest);
            let couplings = longest.map_or(0.0, |longest| couplings(&cut_ft, &number(Some(longest))));
            let costs = InForm {
                cut_ft,
                length_ft,
                bends: number(run.bends.value),
                couplings,
                waste: 1.0 + number(context.job.number(Setting::Waste)),
                foot: offered.map_or(sold.otherwise, |offered| offered.foot),
                foot_work: unit.run(at, material, form, size),
                factor: 1.0,
                bend: unit.bend(at, material, form, size),
                // The minutes of a coupling are in those of the pipe, by the factor of its form.
                coupling: unit.price("coupling", material, &[size]) + 2.0 * unit.ring(material, size),
            };
            Way {
                offered: offered.is_some(),
                too_short: one_piece && couplings > 0.0,
                cost: mills(costs.cost(|_, money| money)),
            }
        };
        Self { stick: way(STICK, sold.stick), coil: way(COIL, sold.coil) }
    }

    fn choose(&self, home_run: bool) -> (&'static str, Reason) {
        let Self { stick, coil } = self;
        match (stick.offered, coil.offered) {
            (true, false) => (STICK, Reason::OnlyOffer),
            _ if home_run => (COIL, Reason::HomeRun),
            (false, true) => (COIL, Reason::OnlyOffer),
            _ if stick.too_short && !coil.too_short => (COIL, Reason::OnlyOffer),
            _ if coil.too_short && !stick.too_short => (STICK, Reason::OnlyOffer),
            (stick_offered, coil_offered) => {
                // Of equals the one with fewer joints.
                let form = if coil.cost <= stick.cost { COIL } else { STICK };
                (form, if stick_offered || coil_offered { Reason::Costs } else { Reason::Unpriced })
            }
        }
    }
}

/// What decides the cost of a run in one form.
pub(crate) struct InForm<N> {
    /// With its tails.
    pub cut_ft: N,
    pub length_ft: N,
    pub bends: N,
    pub couplings: N,
    /// 1 and the waste of pipe.
    pub waste: N,
    /// A foot bought, dollars.
    pub foot: N,
    /// A foot run, dollars, and the factor on that.
    pub foot_work: N,
    pub factor: N,
    pub bend: N,
    pub coupling: N,
}

/// Steps of the reckoning, which the bid shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FormStep {
    Pipe,
    Bends,
}

impl<N: Number> InForm<N> {
    /// Its pipe with the waste, its bends, its couplings, and the minutes. `step` gives what is reckoned on with.
    pub(crate) fn cost(self, mut step: impl FnMut(FormStep, N) -> N) -> N {
        let pipe = self.cut_ft * self.waste * self.foot + self.length_ft * self.foot_work * self.factor;
        let pipe = step(FormStep::Pipe, pipe);
        let bends = step(FormStep::Bends, self.bends * self.bend);
        pipe + bends + self.couplings * self.coupling
    }
}

/// Couplings in a run with its tails, cut from pieces as they are offered.
pub(crate) fn couplings<N: Number>(cut_ft: &N, longest_ft: &N) -> N {
    let pieces = (cut_ft.clone() / longest_ft.clone()).whole_up();
    (pieces - N::of(Decimal::ONE)).larger(&N::of(Decimal::ZERO))
}
