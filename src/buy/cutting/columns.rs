//! A bound by linear programming over groups: prices for the runs that no group of units can beat.
//!
//! If every set of runs that fits a group is worth no more than the group costs, no plan costs less than all runs are
//! worth together. The best such worths are the optimum of a linear program with a row for each set (Gilmore and
//! Gomory's column generation, seen from its dual); sets are added while the knapsack of some group finds one worth more.
//!
//! The program is solved in floating point and not believed: worths are rounded to whole numbers, the knapsacks are
//! solved exactly in integers, and if some set is worth `v` where its group costs `c`, the sum is scaled by `c / v`
//! (Farley). What comes out is a bound whatever the solver did.

use super::covers::Covers;
use super::shape::{Meter, Shape};
use microlp::{ComparisonOp, OptimizationDirection, Problem};

/// Whole numbers that a tenth of a cent is cut into.
const SCALE: i64 = 1_000;
/// Cells of a knapsack table beyond which the bound is not tried.
const CELLS: i64 = 4_000_000;
const ROUNDS: usize = 400;

struct Class {
    size: i64,
    count: usize,
}

/// A bound on the cost of all plans; 0 when the job is too large for the steps there are.
pub(super) fn bound(shape: &Shape, enough: i64, meter: &mut Meter) -> i64 {
    let limited = shape.kinds.iter().any(|kind| kind.available.is_some());
    if limited {
        return 0;
    }
    let (classes, groups, used) = (classes(shape), groups(shape), least_worth(shape));
    let largest = groups.iter().map(|group| group.0).max().unwrap_or(0);
    let copies: i64 = classes.iter().map(|class| (class.count as i64).min(largest / class.size)).sum();
    if largest * copies > CELLS || largest * classes.len() as i64 > CELLS {
        return 0;
    }
    let cells = (largest * copies) as u64 / 20;
    let mut master = Master::new(&classes, &groups);
    let mut best = 0i64;
    for _ in 0..ROUNDS {
        if !meter.spend(cells + 2_000) {
            break;
        }
        let Some(worths) = master.worths(&classes) else { break };
        let table = Table::new(&classes, &worths, largest as usize);
        let sum: i128 = classes.iter().zip(&worths).map(|(c, w)| i128::from(*w) * c.count as i128).sum();
        let (scaled, mut worst) = scaled(&table, &groups, sum);
        best = best.max(scaled);
        if worst.is_empty() || best + used >= enough {
            break;
        }
        worst.sort_unstable_by(|a, b| b.cmp(a));
        let mut added = false;
        for (_, index) in worst.iter().take(4) {
            added |= master.add(&table.set(&classes, groups[*index].0 as usize), groups[*index].1);
        }
        if !added {
            break;
        }
    }
    best + used
}

/// Runs alike, counted.
fn classes(shape: &Shape) -> Vec<Class> {
    let mut classes: Vec<Class> = Vec::new();
    for item in &shape.items {
        match classes.last_mut() {
            Some(class) if class.size == item.size => class.count += 1,
            _ => classes.push(Class { size: item.size, count: 1 }),
        }
    }
    classes
}

/// What the pipe used is worth at least: the least worth of any kind for its length. The rest of the price is fixed.
fn least_worth(shape: &Shape) -> i64 {
    let rates = shape.kinds.iter().enumerate().map(|(kind, of)| (shape.worth(kind, of.cap), of.cap));
    let (worth, length) = rates
        .min_by(|a, b| (i128::from(a.0) * i128::from(b.1)).cmp(&(i128::from(b.0) * i128::from(a.1))))
        .unwrap_or((0, 1));
    (i128::from(worth) * i128::from(shape.total()) / i128::from(length)) as i64
}

/// How long the groups are that units can make, and the fixed price of each.
fn groups(shape: &Shape) -> Vec<(i64, i64)> {
    let prices = shape.kinds.iter().enumerate().map(|(kind, of)| of.price - shape.worth(kind, of.cap));
    if !shape.items.iter().any(|item| item.split) {
        return shape.kinds.iter().zip(prices).map(|(kind, price)| (kind.cap.min(shape.total()), price)).collect();
    }
    let joined = Covers::at(shape, prices.map(|price| price + shape.joint_cost).collect(), true);
    joined.steps.iter().skip(1).map(|step| (step.cap, step.price - shape.joint_cost)).collect()
}

/// The sum of the worths, scaled until no set is worth more than its group costs; and the groups that had such a set, with how
/// far over each was, in millionths.
fn scaled(table: &Table, groups: &[(i64, i64)], sum: i128) -> (i64, Vec<(i128, usize)>) {
    let mut scaled = sum / i128::from(SCALE);
    let mut over: Vec<(i128, usize)> = Vec::new();
    for (index, (cap, cost)) in groups.iter().enumerate() {
        let value = i128::from(table.best(*cap as usize));
        if value > i128::from(*cost) * i128::from(SCALE) {
            // Rounded up to whole tenths of a cent: costs are whole.
            scaled = scaled.min((sum * i128::from(*cost) + value - 1) / value.max(1));
            over.push((value * 1_000_000 / (i128::from(*cost) * i128::from(SCALE)).max(1), index));
        } else {
            scaled = scaled.min((sum + i128::from(SCALE) - 1) / i128::from(SCALE));
        }
    }
    (scaled as i64, over)
}

/// The linear program: variables are worths, rows are sets and what their group costs.
struct Master {
    rows: Vec<(Vec<usize>, i64)>,
    unit: f64,
    most: Vec<i64>,
}

impl Master {
    fn new(classes: &[Class], groups: &[(i64, i64)]) -> Self {
        // No run is worth more than the cheapest group it fits alone.
        let most = classes
            .iter()
            .map(|class| groups.iter().filter(|g| g.0 >= class.size).map(|g| g.1).min().unwrap_or(0))
            .collect();
        let unit = groups.iter().map(|group| group.1).max().unwrap_or(1).max(1) as f64;
        let mut master = Self { rows: Vec::new(), unit, most };
        for (index, class) in classes.iter().enumerate() {
            for (cap, cost) in groups.iter().filter(|group| group.0 >= class.size).take(2) {
                let mut set = vec![0; classes.len()];
                set[index] = (cap / class.size).min(class.count as i64) as usize;
                master.add(&set, *cost);
            }
        }
        master
    }

    /// False when the row is there already.
    fn add(&mut self, set: &[usize], cost: i64) -> bool {
        let row = (set.to_vec(), cost);
        let fresh = !self.rows.contains(&row);
        if fresh {
            self.rows.push(row);
        }
        fresh
    }

    /// The best worths for the rows so far, scaled, rounded down.
    fn worths(&self, classes: &[Class]) -> Option<Vec<i64>> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let variables: Vec<_> = classes
            .iter()
            .zip(&self.most)
            .map(|(class, most)| problem.add_var(class.count as f64, (0.0, *most as f64 / self.unit)))
            .collect();
        for (set, cost) in &self.rows {
            let terms: Vec<_> =
                set.iter().enumerate().filter(|(_, n)| **n > 0).map(|(at, n)| (variables[at], *n as f64)).collect();
            if !terms.is_empty() {
                problem.add_constraint(terms.as_slice(), ComparisonOp::Le, *cost as f64 / self.unit);
            }
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let scale = self.unit * SCALE as f64;
        Some(variables.iter().map(|v| ((solution.var_value(*v) * scale + 1e-3).floor() as i64).max(0)).collect())
    }
}

/// The knapsacks of all lengths at once: the most that runs are worth which fit in each.
struct Table {
    /// `value[class][length]`: with the classes up to this one.
    value: Vec<Vec<i64>>,
    worths: Vec<i64>,
}

impl Table {
    fn new(classes: &[Class], worths: &[i64], largest: usize) -> Self {
        let mut value: Vec<Vec<i64>> = Vec::with_capacity(classes.len());
        for (class, worth) in classes.iter().zip(worths) {
            let mut row = value.last().cloned().unwrap_or_else(|| vec![0; largest + 1]);
            let size = class.size as usize;
            if *worth > 0 {
                for _ in 0..class.count.min(largest / size) {
                    for length in (size..=largest).rev() {
                        row[length] = row[length].max(row[length - size] + worth);
                    }
                }
            }
            value.push(row);
        }
        Self { value, worths: worths.to_vec() }
    }

    fn best(&self, cap: usize) -> i64 {
        self.value.last().and_then(|row| row.get(cap.min(row.len().saturating_sub(1)))).copied().unwrap_or(0)
    }

    /// A set of runs worth [`Self::best`], by class.
    fn set(&self, classes: &[Class], cap: usize) -> Vec<usize> {
        let mut set = vec![0; classes.len()];
        let mut length = cap;
        for at in (0..classes.len()).rev() {
            let size = classes[at].size as usize;
            let without = |length: usize| if at == 0 { 0 } else { self.value[at - 1][length] };
            let most = classes[at].count.min(length / size);
            let exact = |n: &usize| without(length - n * size) + self.worths[at] * *n as i64 == self.value[at][length];
            set[at] = (0..=most).find(exact).unwrap_or(0);
            length -= set[at] * size;
        }
        set
    }
}
