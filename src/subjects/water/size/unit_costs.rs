//! What one piece, one joint and one hour cost at the job's prices, in thousandths of a dollar: the coin of the size
//! search and of the choice how a tee is made up.

use super::installation::{NIPPLE, NIPPLE_FT};
use crate::model::{Job, Price, Setting, Size, Whereabouts, same_folded};
use crate::parts::ring_kind;
use crate::rules::{CodeBasis, Item, Rules, matches_item};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;

/// The job's prices and hours as they are asked for.
pub(crate) struct UnitCosts<'a> {
    job: &'a Job,
    rules: &'a Rules,
    /// What PEX is joined with.
    ring: &'static str,
    /// Thousandths of a dollar an hour.
    rate: Decimal,
    /// Where the work is done; empty for a place that is as good as any.
    place: &'static str,
    /// 1 and the sales tax: material costs so much more.
    taxed: Decimal,
    /// 1 and the spare rings.
    spares: Decimal,
    /// Pipe of a nipple with its waste, ft.
    nipple_ft: Decimal,
    /// Whether what nobody offers takes another price than usual, a number of its own for each item: by that is seen whether
    /// a difference of sums rests on such prices.
    tells_unoffered: bool,
    offers: RefCell<HashMap<Item, Option<i64>>>,
    dearest: RefCell<HashMap<String, i64>>,
    hours: RefCell<HashMap<String, i64>>,
    ends: RefCell<HashMap<(String, Size), i64>>,
    tees: RefCell<HashMap<String, Rc<Tees>>>,
    placed: RefCell<HashMap<(String, [Size; 3]), i64>>,
}

/// Pipe between two fittings that stand side by side, ft.
fn nipple_ft(job: &Job, rules: &Rules) -> Decimal {
    let code = CodeBasis::named(&job.text(Setting::CodeBasis)).unwrap_or(CodeBasis::Irc);
    rules.limit(NIPPLE, code).map_or(NIPPLE_FT, |limit| limit.value)
}

/// Dollars to thousandths.
pub(crate) fn mills(dollars: Decimal) -> i64 {
    dollars.saturating_mul(Decimal::ONE_THOUSAND).round().to_i64().unwrap_or(i64::MAX / 1024)
}

impl<'a> UnitCosts<'a> {
    pub(crate) fn new(job: &'a Job, rules: &'a Rules) -> Self {
        let ring = ring_kind(job);
        let number = |setting| job.number(setting).unwrap_or_default();
        let more = |setting| Decimal::ONE.saturating_add(number(setting));
        Self {
            job,
            rules,
            ring,
            rate: number(Setting::LaborRate)
                .saturating_mul(more(Setting::LaborBurden))
                .saturating_mul(job.number(Setting::LaborFactor).unwrap_or(Decimal::ONE))
                .saturating_mul(Decimal::ONE_THOUSAND),
            place: "",
            taxed: more(Setting::TaxRate),
            spares: rules.spare(ring).map_or(Decimal::ONE, |spare| Decimal::ONE.saturating_add(spare.share)),
            nipple_ft: nipple_ft(job, rules).saturating_mul(more(Setting::Waste)),
            tells_unoffered: false,
            offers: RefCell::default(),
            dearest: RefCell::default(),
            hours: RefCell::default(),
            ends: RefCell::default(),
            tees: RefCell::default(),
            placed: RefCell::default(),
        }
    }

    /// The cheapest offer of one with its tax; `None` where nobody offers it.
    pub(crate) fn offer(&self, item: &Item) -> Option<i64> {
        if let Some(known) = self.offers.borrow().get(item) {
            return *known;
        }
        let fits = |price: &&Price| {
            let sizes = price.sizes.get().unwrap_or_default();
            matches_item(self.rules, item, &price.kind.value, price.material.as_ref().map(|m| &**m), &sizes)
        };
        let cheapest = self.job.prices.iter().filter(fits).filter_map(of_one).min();
        let offer = cheapest.map(|price| mills(price.saturating_mul(self.taxed)));
        self.offers.borrow_mut().insert(item.clone(), offer);
        offer
    }

    /// Price of one with its tax: the cheapest offer. What nobody offers counts as dear as the dearest of its kind, so
    /// that the search does not run after what has no price.
    pub(crate) fn price(&self, item: &Item) -> i64 {
        self.offer(item).unwrap_or_else(|| {
            let dearest = *self.dearest.borrow_mut().entry(item.kind.clone()).or_insert_with(|| {
                let of_kind = self.job.prices.iter().filter(|p| same_folded(&p.kind.value, &item.kind));
                mills(of_kind.filter_map(of_one).max().unwrap_or_default().saturating_mul(self.taxed))
            });
            if self.tells_unoffered { dearest.saturating_add(own_number(item)) } else { dearest }
        })
    }

    /// The same prices, and the hours that work takes at a place.
    pub(crate) fn at(job: &'a Job, rules: &'a Rules, place: Whereabouts) -> Self {
        Self { place: place.word(), ..Self::new(job, rules) }
    }

    /// The same with another price for whatever nobody offers, none alike.
    pub(crate) fn telling_unoffered(self) -> Self {
        Self { tells_unoffered: true, ..self }
    }

    /// Pipe of a size run by the foot.
    pub(crate) fn run(&self, material: &str, form: &str, size: Size) -> i64 {
        self.work(&format!("run {material} {size}"), material, form)
    }

    /// One unit of a task that is the same for pipe of any kind.
    pub(crate) fn along(&self, task: &str) -> i64 {
        self.work(task, "", "")
    }

    /// The work of one unit of a task.
    fn work(&self, task: &str, material: &str, form: &str) -> i64 {
        let key = if form.is_empty() { task.to_owned() } else { format!("{task}, {form}") };
        if let Some(known) = self.hours.borrow().get(&key) {
            return *known;
        }
        let own = self.job.labor.iter().find(|row| same_folded(&row.task.value, task));
        let own = own.and_then(|row| row.hours.value);
        let hours = own.or_else(|| self.rules.labor(task).map(|row| row.hours)).unwrap_or_default();
        let hours = hours.saturating_mul(self.rules.labor_factor(self.place, form, material));
        let money = hours.saturating_mul(self.rate).round().to_i64().unwrap_or(i64::MAX / 1024);
        self.hours.borrow_mut().insert(key, money);
        money
    }

    /// One pipe end joined: its ring, where the material takes rings, and the work.
    pub(crate) fn end(&self, material: &str, size: Size) -> i64 {
        *self
            .ends
            .borrow_mut()
            .entry((material.to_owned(), size))
            .or_insert_with(|| self.ring(material, size) + self.work(&format!("joint {material} {size}"), material, ""))
    }

    /// The ring of one pipe end with its spares; nothing where the material takes none.
    pub(crate) fn ring(&self, material: &str, size: Size) -> i64 {
        let ring = if material == "PEX" { self.price(&Item::new(self.ring, "PEX", &[size])) } else { 0 };
        Decimal::from(ring).saturating_mul(self.spares).round().to_i64().unwrap_or(ring)
    }

    /// A fitting with its ends joined, one of each of its sizes.
    pub(crate) fn fitting(&self, kind: &str, material: &str, sizes: &[Size]) -> i64 {
        self.price(&Item::new(kind, material, sizes)) + sizes.iter().map(|size| self.end(material, *size)).sum::<i64>()
    }

    /// Down (or up) from one size to another; nothing where they are alike.
    pub(crate) fn reducer(&self, material: &str, a: Size, b: Size) -> i64 {
        if a == b { 0 } else { self.fitting("reducer", material, &[a.max(b), a.min(b)]) }
    }

    /// The same with another fitting on one side of it, and the nipple of that size between them.
    pub(crate) fn reducer_beside(&self, material: &str, a: Size, b: Size, beside: Size) -> i64 {
        if a == b { 0 } else { self.reducer(material, a, b) + self.nipple(material, beside) }
    }

    /// Pipe between two fittings that stand side by side; their ends are counted with them.
    pub(crate) fn nipple(&self, material: &str, size: Size) -> i64 {
        if self.rules.pipe(material, size).is_none() {
            return 0;
        }
        let foot = Decimal::from(self.price(&Item::new("pipe", material, &[size])));
        foot.saturating_mul(self.nipple_ft).round().to_i64().unwrap_or(i64::MAX / 1024)
    }

    /// A tee by run x run x branch, made up as it is anywhere, where the work is done at a place.
    pub(crate) fn tee_as(&self, anywhere: &Self, material: &str, asked: [Size; 3]) -> i64 {
        let key = (material.to_owned(), asked);
        if let Some(known) = self.placed.borrow().get(&key) {
            return *known;
        }
        let tee = anywhere.tees(material).made_up(asked).map_or(asked, |made_up| made_up.tee);
        let reducers = tee.iter().zip(&asked).map(|(own, asked)| self.reducer_beside(material, *own, *asked, *own));
        let cost = self.fitting("tee", material, &tee) + reducers.sum::<i64>();
        self.placed.borrow_mut().insert(key, cost);
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
        for price in self.job.prices.iter().filter(|price| of_one(price).is_some()) {
            let own = price.material.as_ref().map(|m| &**m).filter(|m| !m.trim().is_empty());
            let of_it = own.is_none_or(|m| self.rules.canonical_material(m) == Some(material));
            let sizes = price.sizes.get().unwrap_or_default();
            let Some(item) = Item::offered(&price.kind.value, material, &sizes).filter(|_| of_it) else { continue };
            match (item.kind.as_str(), item.sizes.as_slice()) {
                ("tee", &[run, other, branch]) => {
                    let cost = self.fitting("tee", material, &item.sizes);
                    found.offered.insert([run, other, branch], cost);
                    found.offered.insert([other, run, branch], cost);
                    found.sizes.extend([run, other, branch]);
                }
                ("reducer", &[large, small]) => {
                    found.reducers.insert((large, small), self.reducer_beside(material, large, small, large));
                    found.sizes.extend([large, small]);
                }
                _ => {}
            }
        }
        found
    }
}

/// A price in thousandths that hardly two items share (FNV-1a of its name).
fn own_number(item: &Item) -> i64 {
    let name = item.text();
    let hash =
        name.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, b| (hash ^ u64::from(b)).wrapping_mul(0x100_0000_01b3));
    1_000_000 + i64::from((hash >> 44) as u32)
}

/// Price of one foot or piece, before tax; `None` for a row that offers nothing.
fn of_one(price: &Price) -> Option<Decimal> {
    // How many will be bought is not known yet: a price break decides no size.
    if price.is_break() || price.pack.value.is_some_and(|pack| pack <= Decimal::ZERO) {
        return None;
    }
    price.price.value?.checked_div(price.pack.value.unwrap_or(Decimal::ONE))
}

/// The tees and reducers of one material that somebody offers, with what each costs joined.
#[derive(Debug, Default)]
pub(crate) struct Tees {
    /// By the sizes of its ends, either way about.
    offered: BTreeMap<[Size; 3], i64>,
    /// By large x small.
    reducers: BTreeMap<(Size, Size), i64>,
    sizes: BTreeSet<Size>,
}

/// How a tee is made up: the tee bought, and a reducer at each end where it is larger than what it joins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct MadeUp {
    pub tee: [Size; 3],
    /// Joined, reducers and all.
    pub cost: i64,
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

    /// The cheapest way to make up a tee out of what is offered; of equals the one with the fewest reducers, then the
    /// smallest tee. `None` where there is none.
    pub(crate) fn made_up(&self, asked: [Size; 3]) -> Option<MadeUp> {
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
            Some((cost, reducers, *tee))
        });
        ways.min().map(|(cost, _, tee)| MadeUp { tee, cost })
    }

    /// Whether a tee can be put where this one is asked for: offered, no end too small, a reducer for every larger one.
    pub(crate) fn fits(&self, tee: [Size; 3], asked: [Size; 3]) -> bool {
        let ends = || tee.iter().zip(&asked);
        self.offered.contains_key(&tee)
            && ends().all(|(large, small)| large == small || self.reducers.contains_key(&(*large, *small)))
    }
}
