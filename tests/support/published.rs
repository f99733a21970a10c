//! Outside figures: the tables of `tests/published/`. Lines that begin with # say where a table comes from.

use std::collections::BTreeMap;

/// One row, by its headings.
#[derive(Debug, Clone)]
pub struct Row(BTreeMap<String, String>);

impl Row {
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}: {:?}", self.0))
    }

    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("{column}: {text} is no number"))
    }
}

/// The rows of `tests/published/<name>.csv`.
pub fn published(name: &str) -> Vec<Row> {
    let path = format!("{}/tests/published/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).unwrap();
    let rows: Vec<Row> = reader.deserialize().map(|row| Row(row.unwrap_or_else(|e| panic!("{path}: {e}")))).collect();
    assert!(!rows.is_empty(), "{path} is empty");
    rows
}

/// The largest of what was seen, and where: for tests that say how near they came.
#[derive(Debug, Default)]
pub struct Largest {
    pub value: f64,
    pub at: String,
    pub count: usize,
}

impl Largest {
    pub fn see(&mut self, value: f64, at: impl FnOnce() -> String) {
        self.count += 1;
        // A NaN is larger than anything.
        if self.count == 1 || value.is_nan() || value > self.value {
            self.value = value;
            self.at = at();
        }
    }

    /// Fails unless everything seen was within `limit`, and something was seen.
    pub fn within(&self, limit: f64, what: &str) {
        println!("{what}: largest of {} is {:.3e} (limit {limit:.0e}), {}", self.count, self.value, self.at);
        assert!(self.count > 0, "{what}: nothing was compared");
        assert!(self.value <= limit, "{what}: {} at {}", self.value, self.at);
    }
}
