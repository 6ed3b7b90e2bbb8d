//! `wilson.csv`: Wilson score intervals of a proportion by scipy.

use crate::table::{Table, Worst};
use tepid::odds::wilson::wilson;

pub fn intervals_of_a_proportion_are_those_of_scipy() {
    let mut worst = Worst::of("ends of a Wilson interval");
    for row in Table::read("wilson.csv").rows() {
        let count = |column: &str| row.number(column) as u64;
        let chance = wilson(count("k"), count("n"), row.number("level"));
        worst.absolute(row, "low", chance.low_frac);
        worst.absolute(row, "high", chance.high_frac);
    }
    // Closed form in double precision; 12 digits printed.
    worst.is_within(1e-9);
}
