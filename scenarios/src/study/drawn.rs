//! A varied field whose value is drawn for each replicate.

use super::written::Written;
use crate::node::Node;
use crate::problem::{Problem, Reported};
use crate::reader::Reader;
use crate::uncertainty::Distribution;

/// Standard deviations at which a normal draw is tried when the study is read: one draw in 370 lies farther out.
const TRIED_SPREADS: f64 = 3.0;

/// How a field's value is drawn.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// The distribution, in the unit of the field's values as the study writes them.
    pub distribution: Distribution,
    like: Written,
}

impl Drawn {
    /// The unit of its numbers as written; empty: a bare number.
    #[must_use]
    pub fn unit(&self) -> &str {
        &self.like.unit
    }

    pub(super) fn node(&self, number: f64) -> Node {
        self.like.with(number)
    }
}

/// The distribution, and the values that stand for its extremes.
pub(super) fn drawn(reader: &Reader<'_>) -> Result<(Drawn, Vec<Node>), Reported> {
    let word = reader.optional_choice("distribution")?.unwrap_or_default();
    let need = |name: &'static str| Written::read(reader, name);
    let (distribution, like, extremes) = match word {
        "uniform" => {
            let (low, high) = (need("low"), need("high"));
            let (low, high) = (low?, high?);
            high.in_unit_of(&low, reader)?;
            let made = Distribution::Uniform {
                low: low.number,
                high: high.number,
            };
            (
                made,
                low.clone(),
                vec![low.with(low.number), high.with(high.number)],
            )
        }
        "triangular" => {
            let (low, likely, high) = (need("low"), need("likely"), need("high"));
            let (low, likely, high) = (low?, likely?, high?);
            likely.in_unit_of(&low, reader)?;
            high.in_unit_of(&low, reader)?;
            let made = Distribution::Triangular {
                low: low.number,
                likely: likely.number,
                high: high.number,
            };
            (
                made,
                likely.clone(),
                vec![low.with(low.number), high.with(high.number)],
            )
        }
        _ => {
            let (mean, spread) = (need("mean"), need("spread"));
            let (mean, spread) = (mean?, spread?);
            // The spread of a temperature is a difference.
            if !(mean.unit == "°C" && spread.unit == "K") {
                spread.in_unit_of(&mean, reader)?;
            }
            let made = Distribution::Normal {
                mean: mean.number,
                spread: spread.number,
            };
            let far = |spreads: f64| mean.with(mean.number + spreads * spread.number);
            (made, mean.clone(), vec![far(-TRIED_SPREADS), far(TRIED_SPREADS)])
        }
    };
    if !distribution.is_sound() {
        let problem = Problem::new(
            "no-distribution",
            reader.place_of("distribution"),
            "these numbers make no distribution",
        )
        .label("of which nothing can be drawn")
        .expected("low below high with `likely` between them; `spread` not negative");
        return Err(reader.report(problem));
    }
    Ok((Drawn { distribution, like }, extremes))
}
