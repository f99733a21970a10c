//! Phrases that many findings share.

/// ` Did you mean "M1"?`, or nothing.
pub(crate) fn did_you_mean(nearest: Option<&str>) -> String {
    nearest.map(|n| format!(" Did you mean \"{n}\"?")).unwrap_or_default()
}

/// The same where it is our own name that is missing.
pub(crate) fn perhaps_meant(nearest: Option<&str>) -> String {
    nearest.map(|n| format!(" Perhaps \"{n}\" is meant to be it.")).unwrap_or_default()
}

/// Names in a row, the first dozen of them.
pub(crate) fn listed(names: &[String]) -> String {
    match names.len() {
        0 => "none".to_owned(),
        1..=12 => names.join(", "),
        more => format!("{} and {} more", names[..12].join(", "), more - 12),
    }
}

/// `58-103, 110` of rows in order.
pub(crate) fn rows_in_ranges(rows: &[u64]) -> String {
    let mut ranges: Vec<(u64, u64)> = Vec::new();
    for row in rows {
        match ranges.last_mut() {
            Some((_, last)) if *last + 1 == *row => *last = *row,
            _ => ranges.push((*row, *row)),
        }
    }
    let range = |(first, last): &(u64, u64)| if first == last { first.to_string() } else { format!("{first}-{last}") };
    listed(&ranges.iter().map(range).collect::<Vec<_>>())
}

/// Things named in one finding.
const NAMED: usize = 6;

/// The first few of many, and how many more there are.
pub(crate) fn first_few(each: impl ExactSizeIterator<Item = String>) -> String {
    let more = match each.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{}{more}", each.take(NAMED).collect::<Vec<_>>().join(", "))
}
