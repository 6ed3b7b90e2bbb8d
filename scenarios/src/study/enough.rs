//! `enough`: when a study needs no more replicates.

use super::gate::width;
use crate::fields::score::{ScoreName, known_score, never_a_value};
use crate::fields::study::ENOUGH;
use crate::problem::{Problems, Reported};
use crate::reader::Reader;

/// No more replicates of a scenario and fault are run once the mean of a score is known well enough for every strategy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Enough {
    /// The score.
    pub score: ScoreName,
    /// Half the interval of its mean, in the published unit of the score.
    pub within: f64,
}

pub(super) fn enough(
    reader: &Reader<'_>,
    faults: Option<&[String]>,
    problems: &Problems,
) -> Result<Option<Enough>, Reported> {
    let Some(table) = reader.optional_table("enough")? else {
        return Ok(None);
    };
    let reader = Reader::open(table, &ENOUGH, problems);
    let score = known_score(&reader, "score");
    let within = width(&reader, "within", score.as_ref().ok());
    let (score, within) = (score?, within?);
    let within = within.ok_or_else(|| reader.missing("within"))?;
    if faults.is_some_and(|faults| !score.has_value_among(faults)) {
        return Err(reader.report(never_a_value(&score, reader.place_of("score"))));
    }
    Ok(Some(Enough { score, within }))
}
