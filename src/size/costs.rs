//! What sizes cost at the job's prices, for the exact search: pipe with its waste, supports, insulation, fittings, rings
//! and the hours of all that, in thousandths of a dollar.
//!
//! It mirrors how the take-off counts (`takeoff::fittings`, `takeoff::pipe`), so that the search weighs what the bid
//! charges; a test holds the two together.

use super::Context;
use super::exact::{Costs, Fork};
use super::outlets::Outlet;
use super::sizing::Search;
use crate::model::{Field, Setting, Size, Status, Whereabouts, fold};
use crate::rules::{Item, matches_item};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

/// The job's prices and hours as the search asks for them.
pub struct JobCosts<'a> {
    context: &'a Context<'a>,
    search: &'a Search<'a>,
    forks: &'a [Fork],
    materials: &'a [Arc<str>],
    /// Connection size and count of every outlet side at each run's end.
    legs: Vec<Vec<(Size, i64)>>,
    ring: &'static str,
    /// Thousandths of a dollar an hour.
    rate: Decimal,
    waste: Decimal,
    /// 1 and the sales tax: material costs so much more.
    taxed: Decimal,
    prices: RefCell<HashMap<Item, i64>>,
    hours: RefCell<HashMap<String, i64>>,
}

impl<'a> JobCosts<'a> {
    pub fn new(
        context: &'a Context<'a>,
        search: &'a Search<'a>,
        forks: &'a [Fork],
        materials: &'a [Arc<str>],
        outlets: &[Outlet],
    ) -> Self {
        let mut legs = vec![Vec::new(); materials.len()];
        for outlet in outlets {
            let count = outlet.count.value().as_decimal().and_then(|d| d.to_i64()).unwrap_or(1);
            let connection = context.rules.fixture(&outlet.kind).map(|kind| kind.connection);
            for position in [outlet.cold, outlet.hot].into_iter().flatten() {
                legs[position].extend(connection.map(|size| (size, count)));
            }
        }
        let number = |setting| context.job.number(setting).unwrap_or_default();
        Self {
            context,
            search,
            forks,
            materials,
            legs,
            ring: match &*context.job.text(Setting::Joining) {
                "clamp" => "clamp",
                "expansion" => "sleeve",
                _ => "ring",
            },
            rate: number(Setting::LaborRate) * (Decimal::ONE + number(Setting::LaborBurden)) * Decimal::ONE_THOUSAND,
            waste: Decimal::ONE + number(Setting::Waste),
            taxed: Decimal::ONE + number(Setting::TaxRate),
            prices: RefCell::default(),
            hours: RefCell::default(),
        }
    }

    fn size(&self, position: usize, option: usize) -> Size {
        self.search.runs[position].options[option].size
    }

    /// Price of one with its tax, thousandths of a dollar: the cheapest offer. What nobody offers counts as dear as the dearest of
    /// its kind, so that the search does not run after what has no price.
    fn price(&self, item: Item) -> i64 {
        if let Some(known) = self.prices.borrow().get(&item) {
            return *known;
        }
        let of_one = |price: &crate::model::Price| {
            let pack = price.pack.value.filter(|pack| *pack > Decimal::ZERO).unwrap_or(Decimal::ONE);
            price.price.value.and_then(|p| p.checked_div(pack))
        };
        let rows = &self.context.job.prices;
        let fits = |price: &&crate::model::Price| {
            let sizes = price.sizes.get().unwrap_or_default();
            matches_item(self.context.rules, &item, &price.kind.value, price.material.as_ref().map(|m| &**m), &sizes)
        };
        let cheapest = rows.iter().filter(fits).filter_map(of_one).min();
        let kind = fold(&item.kind);
        let dearest = || rows.iter().filter(|p| fold(&p.kind.value) == kind).filter_map(of_one).max();
        let price = mills(cheapest.or_else(dearest).unwrap_or_default() * self.taxed);
        self.prices.borrow_mut().insert(item, price);
        price
    }

    /// The work of one unit of a task, thousandths of a dollar.
    fn work(&self, task: &str) -> i64 {
        if let Some(known) = self.hours.borrow().get(task) {
            return *known;
        }
        let own = self.context.job.labor.iter().find(|row| fold(&row.task.value) == fold(task));
        let own = own.and_then(|row| row.hours.value);
        let hours = own.or_else(|| self.context.rules.labor(task).map(|row| row.hours)).unwrap_or_default();
        let money = (hours * self.rate).round().to_i64().unwrap_or(i64::MAX / 4);
        self.hours.borrow_mut().insert(task.to_owned(), money);
        money
    }

    /// One pipe end joined: its ring, where the material takes rings, and the work.
    fn end(&self, material: &str, size: Size) -> i64 {
        let ring = if material == "PEX" { self.price(Item::new(self.ring, "PEX", &[size])) } else { 0 };
        ring + self.work(&format!("joint {material} {size}"))
    }

    fn fitting(&self, kind: &str, material: &str, sizes: &[Size]) -> i64 {
        let item = match *sizes {
            // As the take-off names a tee: the larger end of its run first.
            [run, on, branch] => Item::new(kind, material, &[run.max(on), run.min(on), branch]),
            _ => Item::new(kind, material, sizes),
        };
        self.price(item) + sizes.iter().map(|size| self.end(material, *size)).sum::<i64>()
    }

    fn adapter(&self, material: &str, size: Size) -> i64 {
        self.price(Item::new("adapter", material, &[size])) + self.end(material, size)
    }

    /// Down (or up) from one size to another; nothing where they are alike.
    fn reducer(&self, material: &str, a: Size, b: Size) -> i64 {
        if a == b { 0 } else { self.fitting("reducer", material, &[a.max(b), a.min(b)]) }
    }

    fn is_new(&self, position: usize) -> bool {
        self.search.runs[position].new
    }

    /// The material fittings at the end of a run are of: its own where it is new, else that of the new pipe there.
    fn material(&self, position: usize, child: usize) -> &str {
        if self.is_new(position) { &self.materials[position] } else { &self.materials[child] }
    }

    fn devices_at(&self, position: usize) -> impl Iterator<Item = &crate::model::Device> {
        let in_line = |kind: &str| !matches!(kind, "expansion tank" | "hammer arrester" | "other");
        self.context
            .job
            .devices
            .iter()
            .filter(move |d| in_line(&d.kind.value) && self.context.network.find(&d.on_run.value) == Some(position))
    }

    /// Outlets at the end of a run that nothing else leaves.
    fn dead_end(&self, position: usize, size: Size) -> i64 {
        let material = &self.materials[position];
        let tee = |through: Size, branch: Size| self.fitting("tee", material, &[size, through, branch]);
        let Some(((last, alike), others)) = self.legs[position].split_last() else { return 0 };
        let mut cost = (alike - 1).max(0) * tee(size, *last);
        for (index, (branch, times)) in others.iter().enumerate() {
            let through = if index + 1 == others.len() { *last } else { size };
            cost += times * tee(through, *branch);
        }
        if others.is_empty() { cost + self.reducer(material, size, *last) } else { cost }
    }
}

/// Dollars to thousandths.
fn mills(dollars: Decimal) -> i64 {
    (dollars * Decimal::ONE_THOUSAND).round().to_i64().unwrap_or(i64::MAX / 4)
}

impl Costs for JobCosts<'_> {
    fn run(&self, position: usize, option: usize) -> i64 {
        if !self.is_new(position) {
            return 0;
        }
        let run = &self.context.job.runs[self.context.network.order[position]];
        let (size, material) = (self.size(position, option), &*self.materials[position]);
        let number = |field: &Field<Decimal>| field.value.unwrap_or_default();
        let feet = number(&run.length_ft);
        let scaled = |count: Decimal, each: i64| (count * Decimal::from(each)).round().to_i64().unwrap_or(i64::MAX / 4);
        let mut cost = scaled(feet * self.waste, self.price(Item::new("pipe", material, &[size])));
        cost += scaled(feet, self.work(&format!("run {material} {size}")));
        cost += scaled(number(&run.bends), self.fitting("elbow", material, &[size]) + self.end(material, size));
        if !matches!(run.place.get().unwrap_or_default(), Whereabouts::Buried | Whereabouts::InSlab) {
            let spacing = self.context.rules.support(material, size).map_or(Decimal::from(4), |s| s.horizontal_ft);
            let supports = (feet / spacing).ceil() + Decimal::ONE;
            cost += scaled(supports, self.price(Item::new("support", "", &[size])) + self.work("support pipe"));
        }
        if number(&run.insulation_in) > Decimal::ZERO {
            let each = self.price(Item::new("pipe insulation", "", &[size])) + self.work("insulate pipe");
            cost += scaled(feet, each);
        }
        for device in self.devices_at(position).filter(|d| d.status.get().unwrap_or_default() == Status::New) {
            let _ = device;
            cost += 2 * self.adapter(material, size);
        }
        let fork = &self.forks[position];
        match (fork.straight, self.legs[position].as_slice()) {
            (None, _) => cost += self.dead_end(position, size),
            // Outlets where the run goes on are branches before the others; the last tee is the joint's.
            (Some(_), legs) => {
                let before =
                    if fork.last.is_some() { legs } else { legs.split_last().map_or(legs, |(_, before)| before) };
                for (branch, times) in before {
                    cost += times * self.fitting("tee", material, &[size, size, *branch]);
                }
            }
        }
        cost
    }

    fn joint(&self, position: usize, option: usize, straight: (usize, usize), last: Option<(usize, usize)>) -> i64 {
        let (child, through) = (straight.0, self.size(straight.0, straight.1));
        let ours = self.is_new(position) || self.is_new(child) || last.is_some_and(|(l, _)| self.is_new(l));
        if !ours {
            return 0;
        }
        let size = self.size(position, option);
        let material = self.material(position, child);
        if let Some((branch, option)) = last {
            return self.fitting("tee", material, &[size, through, self.size(branch, option)]);
        }
        if let Some((connection, times)) = self.legs[position].last() {
            return times * self.fitting("tee", material, &[size, through, *connection]);
        }
        if self.materials[position] != self.materials[child] {
            return self.adapter(material, if self.is_new(position) { through } else { size });
        }
        if size != through || self.devices_at(child).next().is_some() {
            return self.reducer(material, size, through);
        }
        self.price(Item::new("coupling", material, &[size])) + 2 * self.end(material, size)
    }

    fn branch(&self, position: usize, option: usize, branch: (usize, usize)) -> i64 {
        if !self.is_new(position) && !self.is_new(branch.0) {
            return 0;
        }
        let size = self.size(position, option);
        self.fitting("tee", self.material(position, branch.0), &[size, size, self.size(branch.0, branch.1)])
    }
}
