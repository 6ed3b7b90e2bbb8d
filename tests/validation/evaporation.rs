//! How many watts is a litre, and how cold may new water be?

use tepid_sim::physics::vapour::latent_heat_j_per_kg;
use tepid_sim::physics::water::density_kg_per_m3;

use crate::case::budget;
use crate::row::{Asked, KEEPER, Row, Span, Told};

/// One US gallon, m³. Exact by definition.
const GALLON_M3: f64 = 3.785_411_784e-3;

pub fn rows() -> Vec<Row> {
    let power_w =
        |latent_j_per_kg: f64| GALLON_M3 * density_kg_per_m3(0.0, 26.0) * latent_j_per_kg / (8.0 * 3600.0);
    let litre = Row {
        case: "1 US gal evaporates in 8 h",
        quantity: "latent power at 26 °C".into(),
        unit: "W",
        told: Told::ByHand,
        source: "2.44 MJ/kg",
        outside: Span::at(320.0),
        predicted: Span::at(power_w(latent_heat_j_per_kg(26.0))),
        asked: Asked::Within(1.0),
        remark: "",
    };
    let boiling = Row {
        quantity: "the same as a keeper worked it out".into(),
        told: Told::Reported,
        source: KEEPER,
        outside: Span::at(297.0),
        asked: Asked::KnownMiss,
        remark: "the keeper took the latent heat of boiling water, 2.26 MJ/kg: at 26 °C it is 8 % more",
        ..litre.clone()
    };
    let found = budget("litre-a-day.toml", &[]);
    let path_w = |name: &str| -> f64 {
        found
            .losses
            .iter()
            .filter(|loss| loss.name == name)
            .map(|loss| loss.power_w)
            .sum()
    };
    let a_day = Row {
        case: "open tank of 270 L, make-up 10 K colder",
        quantity: "evaporation for each litre a day".into(),
        told: Told::ByHand,
        source: "2.44 MJ/kg over a day",
        outside: Span::between(26.0, 29.0),
        predicted: Span::at(path_w("evaporation") / found.evaporation_l_per_day),
        asked: Asked::LiesInRange,
        ..litre.clone()
    };
    let make_up = Row {
        quantity: "make-up water at 4 L a day".into(),
        source: "4 L × 4186 J/(kg K) × 10 K over a day",
        outside: Span::at(2.0),
        predicted: Span::at(4.0 * path_w("make-up water") / found.evaporation_l_per_day),
        asked: Asked::Within(0.1),
        remark: "a fiftieth of the latent power: never to be confused with it",
        ..a_day.clone()
    };
    vec![litre, boiling, a_day, make_up]
}
