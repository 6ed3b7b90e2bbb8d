//! Least squares by Levenberg–Marquardt, and what the curvature at the end says of the values.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};
use rayon::prelude::*;
use tepid_output::records::FitParameterKind as Kind;

use super::course::{Course, Values};
use super::parameters;

/// A start's step for derivatives, K.
const START_STEP_K: f64 = 0.01;

/// As near as it matters: relative change of the sum of squares and of the values. A choice: far below any interval.
const NEAR: f64 = 1e-7;

/// The values that were found, and what stands around them.
pub(super) struct Found {
    pub values: Values,
    pub starts_c: Vec<f64>,
    /// Model less reading, K.
    pub residuals_k: Vec<f64>,
    /// Derivatives of all readings: the free parameters in their order, then the starts.
    pub jacobian: DMatrix<f64>,
}

struct Problem<'c> {
    course: &'c Course,
    readings_c: &'c [f64],
    free: &'c [Kind],
    values: Values,
    starts_c: Vec<f64>,
    model_c: Option<Vec<f64>>,
}

/// Finds the free ones; the others stay at their values.
pub(super) fn found(
    course: &Course,
    readings_c: &[f64],
    free: &[Kind],
    values: Values,
    starts_c: Vec<f64>,
) -> Option<Found> {
    let model_c = course.model(&values, &starts_c).ok();
    let problem = Problem {
        course,
        readings_c,
        free,
        values,
        starts_c,
        model_c,
    };
    let (end, _) = LevenbergMarquardt::new()
        .with_ftol(NEAR)
        .with_xtol(NEAR)
        .minimize(problem);
    let residuals = end.residuals()?;
    let jacobian = end.jacobian()?;
    Some(Found {
        values: end.values,
        starts_c: end.starts_c.clone(),
        residuals_k: residuals.iter().copied().collect(),
        jacobian,
    })
}

/// Derivatives of all readings by one parameter.
pub(super) fn derivative(
    course: &Course,
    kind: Kind,
    values: &Values,
    starts_c: &[f64],
    at_c: &[f64],
) -> Option<DVector<f64>> {
    let step = parameters::step(kind);
    let mut moved = *values;
    moved[position(kind)] += step;
    let there = course.model(&moved, starts_c).ok()?;
    let slopes = there.iter().zip(at_c).map(|(there, here)| (there - here) / step);
    Some(DVector::from_iterator(at_c.len(), slopes))
}

pub(super) fn position(kind: Kind) -> usize {
    parameters::ALL
        .iter()
        .position(|known| *known == kind)
        .unwrap_or(0)
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, x: &DVector<f64>) {
        for (kind, value) in self.free.iter().zip(x.iter()) {
            self.values[position(*kind)] = parameters::possible(*kind, *value);
        }
        self.starts_c = x.iter().skip(self.free.len()).copied().collect();
        self.model_c = self.course.model(&self.values, &self.starts_c).ok();
    }

    fn params(&self) -> DVector<f64> {
        let free = self.free.iter().map(|kind| self.values[position(*kind)]);
        DVector::from_iterator(
            self.free.len() + self.starts_c.len(),
            free.chain(self.starts_c.iter().copied()),
        )
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let model_c = self.model_c.as_ref()?;
        let off = model_c
            .iter()
            .zip(self.readings_c)
            .map(|(model, read)| model - read);
        Some(DVector::from_iterator(model_c.len(), off))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let model_c = self.model_c.as_ref()?;
        let by_parameter: Option<Vec<DVector<f64>>> = self
            .free
            .par_iter()
            .map(|kind| derivative(self.course, *kind, &self.values, &self.starts_c, model_c))
            .collect();
        // A start moves its own stretch alone, so all are moved at once.
        let moved: Vec<f64> = self
            .starts_c
            .iter()
            .map(|start_c| start_c + START_STEP_K)
            .collect();
        let there = self.course.model(&self.values, &moved).ok()?;
        let mut columns = by_parameter?;
        let mut begin = 0;
        for length in self.course.lengths() {
            let mut column = DVector::zeros(model_c.len());
            for at in begin..begin + length {
                column[at] = (there[at] - model_c[at]) / START_STEP_K;
            }
            columns.push(column);
            begin += length;
        }
        Some(DMatrix::from_columns(&columns))
    }
}

/// The inverse of JᵀJ, with columns scaled so that their units do not matter; `None` where some column says nothing or repeats others.
pub(super) fn inverse_normal(jacobian: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    let norms: Vec<f64> = jacobian.column_iter().map(|column| column.norm()).collect();
    if norms.iter().any(|norm| *norm < 1e-12) {
        return None;
    }
    let mut scaled = jacobian.clone();
    for (mut column, norm) in scaled.column_iter_mut().zip(&norms) {
        column /= *norm;
    }
    let mut inverse = scaled.tr_mul(&scaled).cholesky()?.inverse();
    for (i, row) in norms.iter().enumerate() {
        for (j, column) in norms.iter().enumerate() {
            inverse[(i, j)] /= row * column;
        }
    }
    Some(inverse)
}
