//! `[[probe]]`.

use tepid_sim::scenario::{Probe, ProbePurpose};
use tepid_sim::time::{DAY, seconds};

use super::Index;
use super::equipment::{collect, tank_of};
use crate::fields::probe::PROBE;
use crate::node::Table;
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

pub(super) fn read_all(
    tables: &[&Table],
    index: &Index,
    problems: &Problems,
) -> Result<Vec<Probe>, Reported> {
    collect(tables, |table| {
        let reader = Reader::open(table, &PROBE, problems);
        let (name, tank) = (reader.text("name"), tank_of(&reader, index));
        let purpose = reader.choice("for");
        let (lag, noise, step) = (
            reader.millis("lag"),
            reader.quantity("noise"),
            reader.quantity("step"),
        );
        let (offset, drift) = (reader.quantity("offset"), reader.quantity("drift"));
        Ok(Probe {
            name: name?,
            tank: tank?,
            purpose: if purpose? == "monitor" {
                ProbePurpose::Monitor
            } else {
                ProbePurpose::Control
            },
            lag_ms: lag?,
            noise_k: noise?,
            resolution_k: step?,
            offset_k: offset?,
            drift_k_per_day: drift? * seconds(DAY),
        })
    })
}
