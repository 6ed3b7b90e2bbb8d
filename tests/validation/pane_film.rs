//! The film outside a pane beside what building standards take for an indoor face.

use tepid_sim::physics::STANDARD_PRESSURE_PA;
use tepid_sim::physics::dry_air::DryAir;
use tepid_sim::physics::natural_convection::ChurchillChu;
use tepid_sim::physics::radiation::coefficient_w_per_m2_k;

use crate::row::{Asked, Row, Span, Told};

/// Convection and radiation of a vertical pane beside what building standards take for an indoor face.
pub fn rows() -> Vec<Row> {
    let film = |height_m: f64, emissivity: f64, glass_c: f64, air_c: f64| {
        let film = DryAir::at(0.5 * (glass_c + air_c), STANDARD_PRESSURE_PA);
        let rayleigh = film.rayleigh_per_k_m3() * (glass_c - air_c).abs() * height_m * height_m * height_m;
        let convective = ChurchillChu::vertical_plate(film.prandtl()).nusselt(rayleigh)
            * film.conductivity_w_per_m_k
            / height_m;
        convective + coefficient_w_per_m2_k(emissivity, glass_c, air_c)
    };
    let window = Row {
        case: "indoor face of a single window in still air, 22 to −7 °C",
        quantity: "convection and radiation".into(),
        unit: "W/(m² K)",
        told: Told::Published,
        source: "ASHRAE design value 8.29 (the figure from memory; glass at −7 °C, room at 22 °C, emissivity 0.84 as read in an online course)",
        outside: Span::at(8.29),
        predicted: Span::of([0.6, 1.2].map(|height_m| film(height_m, 0.84, -7.0, 22.0))),
        asked: Asked::KnownMiss,
        remark: "panes of 0.6 to 1.2 m: 6 to 8 % high. The radiation is the same; the design value's convection is a law for slow currents, \
                 1.77 ΔT^¼ (from memory), and 29 K over such a pane is turbulent, where Churchill and Chu's mean lies above it. At a tank's few \
                 kelvins they agree (next row)",
    };
    let pane = Row {
        case: "pane of a tank, 0.5 m high, 3.5 K over its room",
        source: "ISO 6946, horizontal heat flow, Rsi 0.13 m² K/W, from memory",
        outside: Span::at(1.0 / 0.13),
        predicted: Span::at(film(0.5, 0.9, 24.5, 21.0)),
        asked: Asked::Within(0.5),
        remark: "asked: 0.5, its rounding. A design value for walls of a room, 2.5 of it convection",
        ..window.clone()
    };
    vec![window, pane]
}
