//! The ends that devices are bought with: what a row of Prices says of them goes before the table of devices' ends.

use crate::model::Size;
use crate::rules::{BY, Item, fits};
use crate::view::View;

/// How a device is joined.
pub(crate) struct BoughtEnds<'a> {
    /// As [`Item::ends`]; empty where Prices says nothing.
    pub said: String,
    /// Where its run comes, and where it goes on; empty where nothing does, or nobody knows.
    pub connections: [&'a str; 2],
}

/// The ends of a device of a kind and size: of the first row of Prices for it that says any.
pub(crate) fn bought_ends<'a, R>(view: &View<'a, R>, kind: &'a str, size: Option<Size>) -> BoughtEnds<'a> {
    let (job, rules) = (view.job, view.rules);
    let mut rows = job.prices.iter().filter(|price| !price.is_break() && !price.ends.text().trim().is_empty());
    let found = rows.find(|price| {
        let sizes = price.sizes.value.as_deref().unwrap_or_default();
        let sized = size.is_none_or(|size| sizes.is_empty() || sizes == [size]);
        sized && fits(rules, &Item::new(kind, "", sizes), *price)
    });
    let written = found.map_or("", |price| price.ends.text());
    let ends: Option<Vec<&str>> = written.split(BY).map(|end| rules.canonical_end(end)).collect();
    let ends = ends.unwrap_or_default();
    BoughtEnds { said: ends.join(BY), connections: rules.bought_connections(kind, &ends) }
}

impl BoughtEnds<'_> {
    /// How many of its ends take pipe with this end of fittings, without an adapter.
    pub(crate) fn joined_directly(&self, fitting_end: Option<&str>) -> usize {
        self.connections.iter().filter(|end| Some(**end) == fitting_end).count()
    }
}
