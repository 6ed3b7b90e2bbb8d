//! `t_intervals.csv`, `bootstrap_enumerated.csv`, `holm_ranks.csv`: intervals of a mean and ranks by scipy and statsmodels.

use tepid::statistics::{bootstrap_interval, ranks, t_interval};

use crate::table::{Table, Worst};

fn numbers(text: &str) -> Vec<f64> {
    let numbers = text.split_whitespace().map(str::parse);
    numbers.collect::<Result<_, _>>().expect("numbers with blanks")
}

pub fn t_intervals_are_those_of_scipy() {
    let mut worst = Worst::of("ends of a t interval");
    for row in Table::read("t_intervals.csv").rows() {
        let values = numbers(row.text("values"));
        let [low, high] = t_interval(&values, row.number("level")).expect("two values and more");
        // Figures of double precision: a mean of values around 10⁶ is known to some 10⁻¹⁰.
        let largest = values
            .iter()
            .fold(0.0_f64, |largest, value| largest.max(value.abs()));
        let allowed = 1e-9 * 0.5 * (high - low) + 1e-15 * largest;
        worst.fraction(row, (low - row.number("low")) / allowed);
        worst.fraction(row, (high - row.number("high")) / allowed);
    }
    worst.is_within(1.0);
}

/// The ends hang on which resamples were drawn. Of 1999 the share beyond an end lies within five binomial errors of its own, for all but one seed in a million.
pub fn bootstrap_intervals_are_those_of_all_resamples_there_are() {
    let mut worst = Worst::of("ends of a studentised bootstrap interval");
    for row in Table::read("bootstrap_enumerated.csv").rows() {
        let values = numbers(row.text("values"));
        for seed in 0..20 {
            let found = bootstrap_interval(&values, row.number("level"), seed).expect("five values and more");
            for (name, end) in ["low", "high"].into_iter().zip(found) {
                let column = |of: &str| row.number(&format!("{name}{of}"));
                let side = if end < column("") { "_least" } else { "_most" };
                worst.fraction(row, (end - column("")) / (column(side) - column("")));
            }
        }
    }
    worst.is_within(1.0);
}

pub fn ranks_are_those_of_statsmodels() {
    let mut worst = Worst::of("ranks over all pairs");
    for row in Table::read("holm_ranks.csv").rows() {
        let values: Vec<Vec<Option<f64>>> = row
            .text("values")
            .split(';')
            .map(|one| numbers(one).into_iter().map(Some).collect())
            .collect();
        let found = ranks(&values, true, 0.95);
        // Of so few runs the program tells no rank, whatever a t test says.
        if row.number("n") < 4.0 {
            assert!(found.iter().all(Option::is_none));
            continue;
        }
        let wanted = numbers(row.text("ranks"));
        assert_eq!(found.len(), wanted.len());
        for (found, wanted) in found.into_iter().zip(wanted) {
            worst.fraction(row, found.map_or(f64::NAN, f64::from) - wanted);
        }
    }
    // Whole numbers.
    worst.is_within(0.0);
}
