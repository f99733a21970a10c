//! What one piece, one joint and one hour cost at the job's prices, in dollars, as the bid charges them (but for trips, which go
//! by whole days of hired work and so by no piece): the coin of the size search, of the choice between sticks and coils, and of
//! the choice how a tee is made up.

use super::installation::{NIPPLE, NIPPLE_FT};
use crate::model::{Job, Price, Setting, Size, Taxed, Whereabouts};
use crate::parts::ring_kind;
use crate::rules::{HoursOf, Item, Rules, YEAR, hours_of, offers_of};
use crate::view::View;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;

/// The job's prices and hours as they are asked for.
pub(crate) struct UnitCosts<'a> {
    job: &'a Job,
    rules: &'a Rules,
    /// Dollars an hour, with its burden.
    rate: f64,
    /// The day that quoted prices are carried to.
    carried_to: Option<Decimal>,
    /// Pipe of a nipple with its waste, ft.
    nipple_ft: f64,
    /// Whether what nobody offers takes another price than usual, a number of its own for each item: by that is seen whether
    /// a difference of sums rests on such prices.
    tells_unoffered: bool,
    offers: RefCell<HashMap<Item, Option<f64>>>,
    dearest: RefCell<HashMap<String, f64>>,
    work: RefCell<HashMap<(String, Place), f64>>,
    ends: RefCell<HashMap<(String, Size, Place), f64>>,
    tees: RefCell<HashMap<String, Rc<Tees>>>,
}

/// Where work is done; `None` for a place that is as good as any.
pub(crate) type Place = Option<Whereabouts>;

/// Dollars to thousandths.
pub(crate) fn mills(dollars: f64) -> i64 {
    // Whatever is asked for, sums of these hold.
    ((dollars * 1000.0).round() as i64).min(i64::MAX / 1024)
}

fn plain(number: Decimal) -> f64 {
    number.to_f64().unwrap_or_default()
}

impl<'a> UnitCosts<'a> {
    pub(crate) fn new<R>(view: &View<'a, R>) -> Self {
        let (job, rules) = (view.job, view.rules);
        let number = |setting| plain(job.number(setting).unwrap_or_default());
        let nipple_ft = rules.limit(NIPPLE, view.code).map_or(NIPPLE_FT, |limit| limit.value);
        Self {
            job,
            rules,
            rate: number(Setting::LaborRate)
                * (1.0 + number(Setting::LaborBurden))
                * job.number(Setting::LaborFactor).map_or(1.0, plain),
            carried_to: job.carries_prices().then(|| job.number(Setting::StartDate)).flatten(),
            nipple_ft: plain(nipple_ft) * (1.0 + number(Setting::Waste)),
            tells_unoffered: false,
            offers: RefCell::default(),
            dearest: RefCell::default(),
            work: RefCell::default(),
            ends: RefCell::default(),
            tees: RefCell::default(),
        }
    }

    /// The same with another price for whatever nobody offers, none alike.
    pub(crate) fn telling_unoffered(self) -> Self {
        Self { tells_unoffered: true, ..self }
    }

    /// The price of one with its tax at the offer that the bid takes: the cheapest before tax. `None` without any.
    pub(crate) fn cheapest(&self, item: &Item, offers: impl Iterator<Item = &'a Price>) -> Option<f64> {
        let prices = offers.filter_map(|price| Some((of_one(price)?, price)));
        let (one, price) = prices.min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(self.charged(item, one, price))
    }

    /// With its tax, and the rise from Quoted to Start date, which the job's own rate taxes.
    fn charged(&self, item: &Item, one: f64, price: &Price) -> f64 {
        let of_job = self.job.number(Setting::TaxRate).unwrap_or_default();
        let rate = match price.tax.value {
            Some(Taxed::At(rate)) => rate,
            _ => of_job,
        };
        one * (1.0 + plain(rate) + self.rise(item, price) * (1.0 + plain(of_job)))
    }

    /// By how much of itself a price rises until Start date; 0 where the job does not carry prices.
    fn rise(&self, item: &Item, price: &Price) -> f64 {
        let Some(start) = self.carried_to else { return 0.0 };
        let days = price.quoted.value.filter(|quoted| !quoted.is_zero()).map_or(0.0, |quoted| plain(start - quoted));
        let yearly = self.rules.price_rise(item).map_or(0.0, |row| plain(row.yearly));
        yearly * days.max(0.0) / f64::from(YEAR)
    }

    /// The cheapest offer of one with its tax; `None` where nobody offers it.
    fn offer(&self, item: &Item) -> Option<f64> {
        if let Some(known) = self.offers.borrow().get(item) {
            return *known;
        }
        let offer = self.cheapest(item, offers_of(self.job, self.rules, item));
        self.offers.borrow_mut().insert(item.clone(), offer);
        offer
    }

    /// Price of one with its tax: the cheapest offer. What nobody offers counts as dear as the dearest of its kind, so
    /// that the search does not run after what has no price.
    pub(crate) fn price(&self, kind: &str, material: &str, sizes: &[Size]) -> f64 {
        self.price_of(&Item::new(kind, material, sizes))
    }

    /// The same of a thing.
    pub(crate) fn price_of(&self, item: &Item) -> f64 {
        self.offer(item).unwrap_or_else(|| {
            let dearest = *self.dearest.borrow_mut().entry(item.kind.clone()).or_insert_with(|| {
                let of_kind =
                    self.job.prices.iter().filter(|p| !p.is_break() && self.rules.is_called(&item.kind, &p.kind.value));
                of_kind.filter_map(|p| Some(self.charged(item, of_one(p)?, p))).fold(0.0, f64::max)
            });
            if self.tells_unoffered { dearest + own_number(item) } else { dearest }
        })
    }

    /// Pipe of a size run by the foot.
    pub(crate) fn run(&self, at: Place, material: &str, form: &str, size: Size) -> f64 {
        self.work(at, &format!("run {material} {size}"), form, material)
    }

    /// One unit of a task that is the same for pipe of any kind.
    pub(crate) fn task_cost(&self, at: Place, task: &str) -> f64 {
        self.work(at, task, "", "")
    }

    /// The work of one unit of a task at a place, on a form of pipe, of a material.
    fn work(&self, at: Place, task: &str, form: &str, material: &str) -> f64 {
        let key = (if form.is_empty() { task.to_owned() } else { format!("{task}, {form}") }, at);
        if let Some(known) = self.work.borrow().get(&key) {
            return *known;
        }
        let hours = hours_of(self.job, self.rules, task).map_or(Decimal::ZERO, HoursOf::value);
        let factor = self.rules.labor_factor(at.map_or("", Whereabouts::word), form, material);
        let cost = plain(hours) * plain(factor) * self.rate;
        self.work.borrow_mut().insert(key, cost);
        cost
    }

    /// One pipe end joined: its ring, where the material takes rings, and the work.
    pub(crate) fn end(&self, at: Place, material: &str, size: Size) -> f64 {
        let key = (material.to_owned(), size, at);
        if let Some(known) = self.ends.borrow().get(&key) {
            return *known;
        }
        let work = self.work(at, &format!("joint {material} {size}"), "", material);
        let cost = self.ring(material, size) + work;
        self.ends.borrow_mut().insert(key, cost);
        cost
    }

    /// The ring of one pipe end with its spares; nothing where the material takes none.
    pub(crate) fn ring(&self, material: &str, size: Size) -> f64 {
        let Some(kind) = ring_kind(self.job, material) else { return 0.0 };
        let spares = self.rules.spare(kind).map_or(0.0, |spare| plain(spare.share));
        self.price(kind, material, &[size]) * (1.0 + spares)
    }

    /// A fitting with its ends joined, one of each of its sizes.
    pub(crate) fn fitting(&self, at: Place, kind: &str, material: &str, sizes: &[Size]) -> f64 {
        self.price(kind, material, sizes) + sizes.iter().map(|size| self.end(at, material, *size)).sum::<f64>()
    }

    /// What turns pipe of a form at a bend.
    pub(crate) fn bend(&self, at: Place, material: &str, form: &str, size: Size) -> f64 {
        let Some((part, ends)) = self.rules.at_bend(material, form, size) else { return 0.0 };
        self.price(part, material, &[size]) + f64::from(ends) * self.end(at, material, size)
    }

    /// Where the sizes differ a reducer.
    pub(crate) fn reducer(&self, at: Place, material: &str, a: Size, b: Size) -> f64 {
        if a == b { 0.0 } else { self.fitting(at, "reducer", material, &[a.max(b), a.min(b)]) }
    }

    /// The same with another fitting on one side of it, and the nipple of that size between them.
    pub(crate) fn reducer_with_nipple(&self, at: Place, material: &str, [a, b]: [Size; 2], nipple_size: Size) -> f64 {
        if a == b { 0.0 } else { self.reducer(at, material, a, b) + self.nipple(material, nipple_size) }
    }

    /// Pipe between two fittings that stand side by side; their ends are counted with them.
    pub(crate) fn nipple(&self, material: &str, size: Size) -> f64 {
        if self.rules.pipe(material, size).is_none() {
            return 0.0;
        }
        self.price("pipe", material, &[size]) * self.nipple_ft
    }

    /// A tee by run x run x branch where the work is done at a place, made up the cheapest way, as it is anywhere.
    pub(crate) fn tee(&self, at: Place, material: &str, asked: [Size; 3]) -> f64 {
        let tees = self.tees(material);
        if let Some(known) = tees.known.borrow().get(&(asked, at)) {
            return *known;
        }
        let tee = tees.made_up(asked).unwrap_or(asked);
        let reducers =
            tee.iter().zip(&asked).map(|(own, asked)| self.reducer_with_nipple(at, material, [*own, *asked], *own));
        let cost = self.fitting(at, "tee", material, &tee) + reducers.sum::<f64>();
        tees.known.borrow_mut().insert((asked, at), cost);
        cost
    }

    /// The tees and reducers of a material that somebody offers.
    pub(crate) fn tees(&self, material: &str) -> Rc<Tees> {
        if let Some(known) = self.tees.borrow().get(material) {
            return known.clone();
        }
        let tees = Rc::new(self.look_up_tees(material));
        self.tees.borrow_mut().insert(material.to_owned(), tees.clone());
        tees
    }

    fn look_up_tees(&self, material: &str) -> Tees {
        let mut found = Tees::default();
        for price in self.job.prices.iter().filter(|price| !price.is_break() && of_one(price).is_some()) {
            let own = price.material.as_ref().map(|m| &**m).filter(|m| !m.trim().is_empty());
            let of_it = own.is_none_or(|m| self.rules.canonical_material(m) == Some(material));
            let sizes = price.sizes.get().unwrap_or_default();
            let Some(item) = Item::offered(self.rules, &price.kind.value, material, &sizes).filter(|_| of_it) else {
                continue;
            };
            match (item.kind.as_str(), item.sizes.as_slice()) {
                ("tee", &[run, other, branch]) => {
                    let cost = self.fitting(None, "tee", material, &item.sizes);
                    found.offered.insert([run, other, branch], cost);
                    found.offered.insert([other, run, branch], cost);
                    found.sizes.extend([run, other, branch]);
                }
                ("reducer", &[large, small]) => {
                    let cost = self.reducer_with_nipple(None, material, [large, small], large);
                    found.reducers.insert((large, small), cost);
                    found.sizes.extend([large, small]);
                }
                _ => {}
            }
        }
        found
    }
}

/// A price that hardly two items share (FNV-1a of its name).
fn own_number(item: &Item) -> f64 {
    let name = item.text();
    let hash =
        name.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, b| (hash ^ u64::from(b)).wrapping_mul(0x100_0000_01b3));
    1000.0 + f64::from((hash >> 44) as u32) / 1000.0
}

/// Price of one foot or piece, before tax; `None` for a row that offers nothing.
fn of_one(price: &Price) -> Option<f64> {
    if price.pack.value.is_some_and(|pack| pack <= Decimal::ZERO) {
        return None;
    }
    Some(plain(price.price.value?) / plain(price.pack.value.unwrap_or(Decimal::ONE)))
}

/// The tees and reducers of one material that somebody offers, with what each costs joined.
#[derive(Debug, Default)]
pub(crate) struct Tees {
    /// By the sizes of its ends, either way about.
    offered: BTreeMap<[Size; 3], f64>,
    /// By large x small.
    reducers: BTreeMap<(Size, Size), f64>,
    sizes: BTreeSet<Size>,
    /// By the sizes asked for, and the place.
    known: RefCell<HashMap<([Size; 3], Place), f64>>,
}

impl Tees {
    /// The tees offered, either way about.
    pub(crate) fn offered(&self) -> impl Iterator<Item = [Size; 3]> {
        self.offered.keys().copied()
    }

    /// Every size that a tee or reducer of the material is offered in.
    pub(crate) fn sizes(&self) -> &BTreeSet<Size> {
        &self.sizes
    }

    /// The tee to buy where one is asked for, with a reducer at each end that is larger: the cheapest way to make it up out of what
    /// is offered; of equals the one with the fewest reducers, then the smallest tee. `None` where there is none.
    pub(crate) fn made_up(&self, asked: [Size; 3]) -> Option<[Size; 3]> {
        let ways = self.offered.iter().filter_map(|(tee, cost)| {
            let mut cost = *cost;
            let mut reducers = 0;
            for (large, small) in tee.iter().zip(&asked) {
                match large.cmp(small) {
                    std::cmp::Ordering::Less => return None,
                    std::cmp::Ordering::Equal => {}
                    std::cmp::Ordering::Greater => {
                        cost += self.reducers.get(&(*large, *small))?;
                        reducers += 1;
                    }
                }
            }
            Some((mills(cost), reducers, *tee))
        });
        ways.min().map(|(.., tee)| tee)
    }

    /// Whether a tee can be put where this one is asked for: offered, no end too small, a reducer for every larger one.
    pub(crate) fn fits(&self, tee: [Size; 3], asked: [Size; 3]) -> bool {
        let ends = || tee.iter().zip(&asked);
        self.offered.contains_key(&tee)
            && ends().all(|(large, small)| large == small || self.reducers.contains_key(&(*large, *small)))
    }
}
