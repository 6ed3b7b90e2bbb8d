//! How time grows with what is asked: the exponent of a power law through all sizes. One is in proportion; more is a defect.

use tepid_scenarios::{Loaded, load_str};
use tepid_sim::scenario::Scenario;
use tepid_sim::time::DAY;

use crate::Effort;
use crate::row::Row;
use crate::studies::{SHORT, plan, run_study};
use crate::years::{run_s, scenario, strategy};

/// Exponents up to this are called proportion: timings vary by more than a tenth here.
const PROPORTION: f64 = 1.1;

/// Least squares through the logarithms.
fn exponent(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let logs = points.iter().map(|(size, took_s)| (size.ln(), took_s.ln()));
    let (x, y) = logs
        .clone()
        .fold((0.0, 0.0), |(x, y), (size, took)| (x + size / n, y + took / n));
    let (over, under) = logs.fold((0.0, 0.0), |(over, under), (size, took)| {
        (over + (size - x) * (took - y), under + (size - x).powi(2))
    });
    over / under
}

fn row(what: &str, unit: &str, points: &[(f64, f64)]) -> Row {
    let exponent = exponent(points);
    let told: Vec<String> = points
        .iter()
        .map(|(size, took_s)| format!("{size} {unit} {:.3} s", took_s))
        .collect();
    Row::told(
        format!("{what}: {}", told.join(", ")),
        format!("grows with the power {exponent:.2}"),
    )
    .at_most(exponent, PROPORTION, "")
}

pub(crate) fn rows(effort: Effort) -> Vec<Row> {
    let recipe = strategy("on-off");
    let rounds = effort.choose(3, 1);
    let horizons: Vec<(f64, f64)> = effort
        .choose(vec![30, 120, 480, 1920], vec![1, 2])
        .into_iter()
        .map(|days| {
            (
                days as f64,
                run_s(&scenario("spare-room-winter", days), recipe.as_ref(), rounds),
            )
        })
        .collect();
    let cells: Vec<(f64, f64)> = effort
        .choose(vec![500, 2_500, 12_500, 62_500], vec![2, 4])
        .into_iter()
        .map(|replicates| {
            let (result, took_s) = run_study(&plan(SHORT, replicates), 2);
            (result.cells_done as f64, took_s)
        })
        .collect();
    vec![
        row("horizon", "d", &horizons),
        row("study", "cells", &cells),
        nodes(effort),
    ]
}

/// So many tanks in a row, each pumped to the next and back, a heater in the first.
fn chained(tanks: usize) -> Scenario {
    let mut text = String::from(
        "title = \"in a row\"\nduration = \"60 d\"\n[water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
         [livestock]\nkind = \"community\"\nsource = \"common practice, no source\"\nused_to = \"25 °C\"\n\
         danger_hot = [[\"30 °C\", \"12 h\"]]\ndanger_cold = [[\"18 °C\", \"12 h\"]]\n\
         [room]\ntemperature = \"20 °C\"\nhumidity = \"50 %\"\n\
         [[heater]]\nname = \"heater\"\npower = \"800 W\"\ntank = \"tank 1\"\nchain = [\"relay\"]\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"main\"\ntank = \"tank 1\"\nfor = \"control\"\n",
    );
    for tank in 1..=tanks {
        text += &format!(
            "[[tank]]\nname = \"tank {tank}\"\ninside = [\"60 cm\", \"40 cm\", \"40 cm\"]\nwater_height = \"35 cm\"\n\
             pane = {{ material = \"glass\", thickness = \"8 mm\" }}\ncover = \"open\"\nlivestock = true\n"
        );
        if tank > 1 {
            text += &format!(
                "[[pump]]\nname = \"pump {tank}\"\npower = \"5 W\"\ntank = \"tank {tank}\"\n\
                 [[flow]]\nfrom = \"tank {}\"\nto = \"tank {tank}\"\nrate = \"800 L/h\"\npump = \"pump {tank}\"\n",
                tank - 1
            );
        }
    }
    match load_str("in-a-row.toml", &text) {
        Ok(Loaded::Scenario(scenario)) => *scenario,
        other => panic!("{other:?}"),
    }
}

/// Tanks of one water system behind each other, as long as the network has room for them.
fn nodes(effort: Effort) -> Row {
    let recipe = strategy("on-off");
    let (days, rounds) = effort.choose((60, 3), (1, 1));
    let points: Vec<(f64, f64)> = effort
        .choose(vec![1, 2, 4, 8], vec![1, 2])
        .into_iter()
        .map(|tanks| {
            let mut scenario = chained(tanks);
            scenario.duration_ms = days * DAY;
            (tanks as f64, run_s(&scenario, recipe.as_ref(), rounds))
        })
        .collect();
    row("one water in several tanks", "tanks", &points)
}
