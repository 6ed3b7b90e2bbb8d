//! Clause: the order in which cells are run does not matter. Watched: anything that one run leaves behind for the next.

use std::sync::Mutex;

use crate::support::plan;
use tepid::study::{CellResult, Piece};

#[test]
fn cells_run_backwards_and_alone_have_the_scores_of_cells_run_forwards_together() {
    let plan = plan(2);
    let run = |pair: usize, replicate: u64, cases: &[usize]| {
        let results: Mutex<Vec<(usize, CellResult)>> = Mutex::default();
        let piece = Piece::new(&plan, plan.pairs[pair], replicate).expect("draws");
        piece.run(cases, |case, result| {
            results.lock().expect("lock").push((case, result))
        });
        let mut results = results.into_inner().expect("lock");
        results.sort_by_key(|(case, _)| *case);
        results
    };
    let all: Vec<usize> = (0..plan.cases(plan.pairs[0]).len()).collect();
    assert!(all.len() >= 3);
    let forwards: Vec<_> = (0..plan.pairs.len())
        .flat_map(|pair| (0..2).map(move |replicate| (pair, replicate)))
        .map(|(pair, replicate)| run(pair, replicate, &all))
        .collect();
    let mut backwards: Vec<_> = (0..plan.pairs.len())
        .rev()
        .flat_map(|pair| (0..2).rev().map(move |replicate| (pair, replicate)))
        .map(|(pair, replicate)| {
            let each = all.iter().rev().flat_map(|case| run(pair, replicate, &[*case]));
            let mut each: Vec<_> = each.collect();
            each.sort_by_key(|(case, _)| *case);
            each
        })
        .collect();
    backwards.reverse();
    assert!(forwards == backwards);
}
