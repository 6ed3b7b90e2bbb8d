//! A million component-years.

use tepid::compare::Silent;
use tepid::odds::{OddsRequest, odds};

use crate::Effort;
use crate::row::{Row, quickest_s};
use crate::years::strategy;

const COMPONENT_YEARS: u64 = 1_000_000;

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let scenario = tepid_scenarios::scenario("spare-room-winter", &[]).expect("a library scenario loads");
    let lives = tepid_scenarios::lives(&scenario).expect("lives");
    let strategies = [("on-off".to_owned(), strategy("on-off"))];
    let years = effort.choose(COMPONENT_YEARS, 1_000).div_ceil(lives.len() as u64);
    let request = OddsRequest {
        scenario: &scenario,
        strategies: &strategies,
        lives: &lives,
        years,
        span_years: 10,
        seed: 7,
    };
    let took_s = quickest_s(1, || {
        odds(&request, &Silent).expect("odds");
    });
    vec![Row::told(
        format!("{years} years of {} parts, spare-room-winter", lives.len()),
        format!("{took_s:.1} s on all cores"),
    )]
}
