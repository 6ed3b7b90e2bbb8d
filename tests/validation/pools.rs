//! Pools: rates measured over quiet ones, and examples that others worked out, beside the equations themselves.
//!
//! Only what was read: the figure and what it was worked out or measured for stand beside each row.

use tepid_sim::physics::evaporation::{ashrae_pool, shah, vdi_2089};
use tepid_sim::physics::moist_air::Air;
use tepid_sim::physics::vapour::saturation_pressure_pa;
use tepid_sim::physics::{STANDARD_PRESSURE_PA, surface::psychrometric_pa_per_k};
use tepid_sim::time::{HOUR, seconds};

use crate::row::{Asked, Row, Span, Told};

pub fn rows() -> Vec<Row> {
    let mut rows = quiet_pools();
    rows.extend(worked_pools());
    rows
}

/// Air at standard pressure.
pub fn air(temp_c: f64, relative_humidity_frac: f64) -> Air {
    Air::from_relative_humidity(temp_c, relative_humidity_frac, STANDARD_PRESSURE_PA)
}

/// Shah's rate over that of the pool equation with an activity factor of 1.
fn shah_over_pool_equation(water_c: f64, air: Air) -> f64 {
    let water_pa = saturation_pressure_pa(water_c);
    shah::conductance_kg_per_s_m2_pa(water_c, water_pa, air)
        / ashrae_pool::conductance_kg_per_s_m2_pa(1.0, water_c)
}

/// Shah's rate over that of the pool equation: from and to over some air temperatures less the water's, K, at 30 to 60 %.
fn over_states(waters_c: [f64; 2], warmer_k: [f64; 2]) -> Span {
    Span::of(waters_c.into_iter().flat_map(|water_c| {
        warmer_k.into_iter().flat_map(move |warmer_k| {
            [0.3, 0.6].map(|humidity| shah_over_pool_equation(water_c, air(water_c + warmer_k, humidity)))
        })
    }))
}

/// Measured rates of quiet pools over the pool equation. Their states are not in the abstracts: indoors water of 26–30 °C and air from 4 K
/// colder to 2 K warmer, outdoors by night and day in late summer air from 15 K colder to as warm.
fn quiet_pools() -> Vec<Row> {
    let norway = Row {
        case: "quiet pools: evaporation over the pool equation of the ASHRAE Handbook",
        quantity: "two halls, 477 h".into(),
        unit: "1",
        told: Told::Measured,
        source: "Measurement and Analysis of Evaporation in Indoor Swimming Pools: Comparison with the ASHRAE's Activity Factor, E3S Web of \
                 Conferences, January 2022, abstract",
        outside: Span::between(0.50, 0.57),
        predicted: over_states([26.0, 30.0], [-4.0, 2.0]),
        asked: Asked::RangesMeet,
        remark: "Shah's relation over the states a hall may be in: the halls' own are not in the abstract",
    };
    let indoors = Row {
        quantity: "one large hall, 18 to 68 h each".into(),
        source: "C. C. Smith, R. W. Jones and G. O. G. Löf, Energy Requirements and Potential Savings for Heated Indoor Swimming Pools, ASHRAE \
                 Transactions 1993, DE-93-12-3, abstract",
        outside: Span::between(0.726, 0.794),
        asked: Asked::KnownMiss,
        remark: "0.76 with a standard deviation of 4.5 %, the most careful of these: Shah's relation lies low, over its most favourable state \
                 by a tenth, in the middle by a third. A hall's ventilation moves its air; the equation holds 0 to 0.15 m/s",
        ..norway.clone()
    };
    let later = Row {
        quantity: "undisturbed pools".into(),
        source: "C. C. Smith, G. O. G. Löf and R. W. Jones, Rates of Evaporation from Swimming Pools in Active Use, ASHRAE Transactions 1998, \
                 104(1A), paper 4146, abstract",
        outside: Span::at(0.74),
        remark: "by the same authors",
        ..indoors.clone()
    };
    let outdoors = Row {
        quantity: "an outdoor pool without wind".into(),
        source: OUTDOOR_POOL,
        outside: Span::at(0.72),
        predicted: over_states([26.0, 30.0], [-15.0, 0.0]),
        asked: Asked::SpanHoldsFigure,
        remark: "August and September, 21 periods; air from 15 K colder to as warm as the water",
        ..norway.clone()
    };
    // 18 % over 56 %. At 84 kPa (Fort Collins lies at some 1500 m: from memory); water 26 to 30 °C, air of late summer nights 8 to 16 °C,
    // its dew point 3 to 10 °C.
    let split = Row {
        case: "an outdoor pool through two nights",
        quantity: "convection over evaporation".into(),
        outside: Span::at(18.0 / 56.0),
        predicted: Span::of(
            [(26.0, 16.0), (26.0, 8.0), (30.0, 16.0), (30.0, 8.0)]
                .into_iter()
                .flat_map(|(water_c, air_c)| {
                    [3.0, 10.0_f64].map(|dew_c| {
                        let night = Air {
                            temp_c: air_c,
                            vapour_pressure_pa: saturation_pressure_pa(dew_c.min(air_c)),
                            pressure_pa: 84_000.0,
                        };
                        let drop_pa = saturation_pressure_pa(water_c) - night.vapour_pressure_pa;
                        psychrometric_pa_per_k(water_c, night) * (water_c - air_c) / drop_pa
                    })
                }),
        ),
        remark: "Bowen's ratio over the nights of a late summer in the mountains; their temperatures are not in the abstract",
        ..outdoors.clone()
    };
    vec![norway, indoors, later, outdoors, split]
}

/// The outdoor pool that two themes draw on.
pub const OUTDOOR_POOL: &str = "C. C. Smith, G. O. G. Löf and R. W. Jones, Measurement and Analysis of Evaporation from an Inactive Outdoor \
                            Swimming Pool, Solar Energy 53(1) (1994) 3–7, abstract";

fn worked_pools() -> Vec<Row> {
    let vdi = |water_c: f64, air: Air| {
        let difference_pa = saturation_pressure_pa(water_c) - air.vapour_pressure_pa;
        seconds(HOUR) * vdi_2089::conductance_kg_per_s_m2_pa(water_c, air) * difference_pa
    };
    let by_shah = |water_c: f64, air: Air| {
        let water_pa = saturation_pressure_pa(water_c);
        seconds(HOUR)
            * shah::conductance_kg_per_s_m2_pa(water_c, water_pa, air)
            * (water_pa - air.vapour_pressure_pa)
    };
    let hall = Row {
        case: "private pool at rest, 28 m², water 30 °C, air 32 °C, 48 %",
        quantity: "evaporation by VDI 2089".into(),
        unit: "g/h",
        told: Told::Published,
        source: "a public forum for pool builders, worked out by VDI 2089 (draft of 2006)",
        outside: Span::at(2737.6),
        predicted: Span::at(28.0 * 1000.0 * vdi(30.0, air(32.0, 0.48))),
        asked: Asked::Within(0.005 * 2737.6),
        remark: "half a per cent is asked: that is what saturation pressures differ by between the formulas in use",
    };
    let planner = Row {
        case: "private pool, water 27 °C, air 30 °C, 60 %",
        quantity: "evaporation a day, by Shah and by VDI 2089".into(),
        unit: "kg/(m² d)",
        source: "planning page of a dealer in dehumidifiers, from a diagram that it calls well below VDI and enough by experience",
        outside: Span::at(1.2),
        predicted: Span::of([
            24.0 * by_shah(27.0, air(30.0, 0.6)),
            24.0 * vdi(27.0, air(30.0, 0.6)),
        ]),
        asked: Asked::Within(0.1),
        remark: "the page works the load of a pool in use, by VDI, beside it",
        ..hall.clone()
    };
    vec![hall, planner]
}

#[test]
fn water_carries_as_much_away_by_vapour_at_60_pa_as_by_convection_at_1_k() {
    // Bowen 1926: 0.61 mbar/K at one atmosphere, in the form of 0.46 mmHg/°F in use since; from memory.
    let gamma = psychrometric_pa_per_k(25.0, air(21.0, 0.5));
    assert!((gamma / 61.0 - 1.0).abs() < 0.05, "{gamma}");
}
