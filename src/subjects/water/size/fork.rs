//! How runs part: the ways that leave the end of a run, and the main down to the first of them.

use crate::model::network::Network;

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
pub(crate) fn main_runs(network: &Network) -> Vec<usize> {
    let mut runs = Vec::new();
    for root in (0..network.len()).filter(|p| network.parent[*p].is_none()) {
        let mut at = root;
        runs.push(at);
        while let [only] = network.children[at][..] {
            at = only;
            runs.push(at);
        }
    }
    runs
}
