//! Many of one kind of work at once, on as many threads as the machine has.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// Works on all items and gives the results in their order. `done` is told how many are finished, on this thread.
pub(crate) fn in_parallel<T: Sync, R: Send>(
    items: &[T],
    work: impl Fn(&T) -> R + Sync,
    mut done: impl FnMut(usize),
) -> Vec<R> {
    let threads = thread::available_parallelism().map_or(1, usize::from).min(items.len());
    if threads <= 1 {
        let each = |(index, item): (usize, &T)| {
            let result = work(item);
            done(index + 1);
            result
        };
        return items.iter().enumerate().map(each).collect();
    }
    let next = AtomicUsize::new(0);
    let (send, receive) = mpsc::channel();
    let mut results: Vec<(usize, R)> = Vec::with_capacity(items.len());
    thread::scope(|scope| {
        for _ in 0..threads {
            let (send, next, work) = (send.clone(), &next, &work);
            scope.spawn(move || {
                while let Some((index, item)) = {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    items.get(index).map(|item| (index, item))
                } {
                    // The other end stays open until every thread is through.
                    if send.send((index, work(item))).is_err() {
                        break;
                    }
                }
            });
        }
        drop(send);
        for result in receive {
            results.push(result);
            done(results.len());
        }
    });
    results.sort_by_key(|(index, _)| *index);
    results.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_the_order_of_the_items() {
        let items: Vec<u64> = (0..1000).collect();
        let mut reported = 0;
        let squares = in_parallel(&items, |n| n * n, |done| reported = done);
        assert_eq!(squares, items.iter().map(|n| n * n).collect::<Vec<_>>());
        assert_eq!(reported, 1000);
        assert!(in_parallel(&[] as &[u8], |n| *n, |_| ()).is_empty());
    }
}
