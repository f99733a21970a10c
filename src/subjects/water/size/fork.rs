//! How runs part: the ways that leave the end of a run, and the main down to the first of them.

use super::Context;

/// How the runs that leave the end of a run leave it.
#[derive(Debug, Clone, Default)]
pub struct Fork {
    /// Goes straight on.
    pub straight: Option<usize>,
    /// The branch whose tee the straight way leaves by.
    pub last: Option<usize>,
    /// Branches before it.
    pub others: Vec<usize>,
}

/// Runs from SUPPLY down to the first fork.
pub(super) fn main_runs(context: &Context) -> Vec<usize> {
    let mut runs = Vec::new();
    for root in (0..context.network.len()).filter(|p| context.network.parent[*p].is_none()) {
        let mut at = root;
        runs.push(at);
        while let [only] = context.network.children[at][..] {
            at = only;
            runs.push(at);
        }
    }
    runs
}
