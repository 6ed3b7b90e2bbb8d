//! What a run asks of the allocator, without a trace.

use std::hint::black_box;

use stats_alloc::Region;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::time::Millis;

use crate::row::Row;
use crate::years::{scenario, strategy};
use crate::{ALLOCATOR, Effort};

/// KiB that a run may hold. A target: see `docs/performance.md`.
const RUN_KIB: f64 = 64.0;

/// Everything that a run of so many days allocates, given back or not: how often, and KiB.
fn allocated(days: Millis) -> (usize, f64) {
    let scenario = scenario("spare-room-winter", days);
    let recipe = strategy("on-off");
    let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
    let region = Region::new(ALLOCATOR);
    black_box(run(&request, None).expect("runs"));
    let change = region.change();
    (change.allocations, change.bytes_allocated as f64 / 1024.0)
}

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let (short_days, long_days) = effort.choose((10, 365), (1, 2));
    let (_, _) = allocated(1);
    let (short_times, short_kib) = allocated(short_days);
    let (long_times, long_kib) = allocated(long_days);
    let further_days = (long_days - short_days) as f64;
    vec![
        Row::told(
            format!("all that a run of {long_days} days allocates, given back or not"),
            format!("{long_kib:.0} KiB"),
        )
        .at_most(long_kib, RUN_KIB, "KiB"),
        Row::told(
            "allocations for each further day",
            format!(
                "{:.2}, {:.3} KiB",
                (long_times as f64 - short_times as f64) / further_days,
                (long_kib - short_kib) / further_days
            ),
        ),
    ]
}
