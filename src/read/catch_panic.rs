//! Running somebody else's parser so that a panic in it is an answer, not the end.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

/// Runs `work`; `None` when it panicked. The panic prints nothing: the user gets a finding instead.
pub(super) fn without_report<T>(work: impl FnOnce() -> T) -> Option<T> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |info| {
            if !QUIET.get() {
                before(info);
            }
        }));
    });
    let was = QUIET.replace(true);
    // Whatever `work` left half done is dropped with it.
    let answer = panic::catch_unwind(AssertUnwindSafe(work));
    QUIET.set(was);
    answer.ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_nothing() {
        assert_eq!(without_report(|| 1), Some(1));
        assert_eq!(without_report(|| -> i32 { panic!("on purpose") }), None);
    }
}
