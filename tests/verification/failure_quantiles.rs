//! `failure_quantiles.csv`: quantiles and means of exponential and Weibull lives by scipy.

use crate::table::{Table, Worst};
use tepid_sim::scenario::Life;

pub fn lives_end_where_scipy_says() {
    let (mut quantile, mut mean) = (Worst::of("quantile of a life"), Worst::of("mean life"));
    for row in Table::read("failure_quantiles.csv").rows() {
        let scale = row.number("scale");
        let life = if row.text("dist") == "exponential" {
            Life::exponential(1.0 / scale)
        } else {
            Life {
                characteristic: scale,
                shape: row.number("shape"),
            }
        };
        quantile.relative(row, "q", life.quantile(row.number("p")));
        mean.relative(row, "mean", life.mean());
    }
    // Closed form in double precision; 12 digits printed.
    quantile.is_within(1e-9);
    mean.is_within(1e-9);
}

pub fn a_part_that_reached_an_age_lasts_as_long_as_those_new_ones_that_did() {
    // Of all new ones a share p fails by q; of those past its quarter point, a share (p − ¼)/¾.
    let mut worst = Worst::of("quantile of an aged life");
    for row in Table::read("failure_quantiles.csv").rows() {
        let p = row.number("p");
        if p <= 0.25 {
            continue;
        }
        let life = Life {
            characteristic: row.number("scale"),
            shape: row.number("shape"),
        };
        let age = life.quantile(0.25);
        worst.relative(row, "q", life.quantile_from_age((p - 0.25) / 0.75, age));
    }
    // Closed form in double precision; 12 digits printed.
    worst.is_within(1e-9);
}
