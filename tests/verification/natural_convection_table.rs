//! `natural_convection.csv`: Nusselt numbers of natural convection by `ht`.

use crate::ledger::compare;
use crate::table::{Table, Worst};
use tepid_sim::physics::natural_convection::{ChurchillChu, warm_face_down, warm_face_up};

/// Relative: the same closed forms, ten digits printed.
const SAME_FORMULA: f64 = 1e-9;

pub fn natural_convection_is_that_of_the_named_functions() {
    let (mut plate, mut cylinder, mut face_up) = (
        Worst::of("vertical plate"),
        Worst::of("horizontal cylinder"),
        Worst::of("warm face up"),
    );
    for row in Table::read("natural_convection.csv").rows() {
        let (rayleigh, prandtl) = (row.number("Ra"), row.number("Pr"));
        match (row.text("geometry"), row.text("function")) {
            ("vertical_plate", _) => {
                plate.relative(row, "Nu", ChurchillChu::vertical_plate(prandtl).nusselt(rayleigh));
            }
            ("horizontal_cylinder", _) => {
                cylinder.relative(
                    row,
                    "Nu",
                    ChurchillChu::horizontal_cylinder(prandtl).nusselt(rayleigh),
                );
            }
            ("horizontal_hot_up", "Nu_horizontal_plate_McAdams") => {
                face_up.relative(row, "Nu", warm_face_up(rayleigh));
            }
            // The other forms of a warm face up are other correlations; the warm face down has its own test.
            _ => {}
        }
    }
    for worst in [plate, cylinder, face_up] {
        worst.is_within(SAME_FORMULA);
    }
}

pub fn a_textbook_example_of_a_vertical_plate_comes_out() {
    // Incropera and others, Introduction to Heat Transfer, example 9.2, by way of the documentation of `ht`:
    // Pr 0.69, Gr 2.63e9, Nu 147 (rounded to a whole number).
    let nusselt = ChurchillChu::vertical_plate(0.69).nusselt(0.69 * 2.63e9);
    compare(
        "vertical plate, Nusselt number",
        "Incropera and others, example 9.2",
        "Pr 0.69, Gr 2.63e9",
        (nusselt, 147.0),
        0.5,
    );
}

pub fn the_warm_face_down_agrees_with_an_older_correlation_as_far_as_such_correlations_do() {
    let mut face_down = Worst::of("warm face down");
    for row in Table::read("natural_convection.csv").rows() {
        // 0.27 Ra^¼ of McAdams against the model's newer 0.52 Ra^⅕, where a tank's bottom lies (Ra 1e5–1e9).
        if row.text("geometry") == "horizontal_hot_down" && row.number("Ra") <= 1e9 {
            face_down.relative(row, "Nu", warm_face_down(row.number("Ra")));
        }
    }
    // Another correlation, not an error: published forms for a horizontal face differ by up to 91 % (warm face up).
    // The ratio is 1.926 Ra^(−1/20), which is 0.683 at the far end, Ra 1e9.
    face_down.is_within(0.32);
}
