//! What is held is not known to the last digit: how far that moves what was found, to first order.

use nalgebra::DVector;
use tepid_output::records::{FitChange, FitParameterKind as Kind};
use tepid_sim::scenario::Scenario;

use super::course::Course;
use super::least_squares::{Found, derivative, inverse_normal, position};
use super::parameters;

/// What one held parameter does where it is otherwise than held.
#[derive(Debug)]
pub(super) struct Moved {
    kind: Kind,
    /// By how much each free parameter comes out otherwise, in the order of the free ones.
    by: DVector<f64>,
}

/// All that is held and not known from elsewhere.
pub(super) fn moved(
    course: &Course,
    (free, known): (&[Kind], &[Kind]),
    found: &Found,
    readings_c: &[f64],
    scenario: &Scenario,
) -> Vec<Moved> {
    let Some(inverse) = inverse_normal(&found.jacobian) else {
        return Vec::new();
    };
    let model_c: Vec<f64> = readings_c
        .iter()
        .zip(&found.residuals_k)
        .map(|(read, off)| read + off)
        .collect();
    parameters::ALL
        .into_iter()
        .filter(|kind| !free.contains(kind) && !known.contains(kind))
        .filter(|kind| *kind != Kind::PumpHeatFrac || !scenario.pumps.is_empty())
        .filter_map(|kind| {
            let slope = derivative(course, kind, &found.values, &found.starts_c, &model_c)?;
            let pull: DVector<f64> = found.jacobian.tr_mul(&slope) * parameters::unsure(kind);
            Some(Moved {
                kind,
                by: -(&inverse * pull),
            })
        })
        .collect()
}

/// By how much all of it together, each independent of the others, moves a free parameter.
pub(super) fn together(moved: &[Moved], at: usize) -> f64 {
    moved.iter().map(|one| one.by[at].powi(2)).sum::<f64>().sqrt()
}

/// How the losses would come out, the largest change first.
pub(super) fn changes(moved: &[Moved], free: &[Kind], found: &Found) -> Vec<FitChange> {
    let Some(losses) = free.iter().position(|kind| *kind == Kind::LossesFrac) else {
        return Vec::new();
    };
    let value = found.values[position(Kind::LossesFrac)];
    let mut changes: Vec<FitChange> = moved
        .iter()
        .map(|one| FitChange {
            what: parameters::unsure_words(one.kind).to_owned(),
            losses_frac: value + one.by[losses],
        })
        .collect();
    let far = |change: &FitChange| (change.losses_frac - value).abs();
    changes.sort_by(|a, b| far(b).total_cmp(&far(a)));
    changes.retain(|change| far(change) > 0.0005);
    changes
}
