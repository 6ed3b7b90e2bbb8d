//! Streams of air over water, a fan's and the wind's, beside formulas and a measured pool.

use tepid_sim::physics::STANDARD_PRESSURE_PA;
use tepid_sim::physics::evaporation::shah;
use tepid_sim::physics::fan::{UnderFan, forced_conductance_kg_per_s_m2_pa, under_fans_kg_per_s_m2_pa};
use tepid_sim::physics::moist_air::Air;
use tepid_sim::physics::vapour::{latent_heat_j_per_kg, saturation_pressure_pa};

use crate::pools::{OUTDOOR_POOL, air};
use crate::row::{Asked, Row, Span, Told};

const HOUR_S: f64 = 3600.0;
/// One pound, kg. Exact by definition.
const POUND_KG: f64 = 0.453_592_37;
/// One square foot, m². Exact by definition.
const SQUARE_FOOT_M2: f64 = 0.092_903_04;
/// One pound-force per square inch, Pa.
const PSI_PA: f64 = 6_894.757;
/// One mile an hour, m/s. Exact by definition.
const MILE_PER_HOUR_M_PER_S: f64 = 0.447_04;

/// Evaporation under a stream of air, kg/(m² h), over each of some lengths.
fn under_stream(speed_m_per_s: f64, lengths_m: &[f64], water_c: f64, air: Air) -> Span {
    let water_pa = saturation_pressure_pa(water_c);
    let still = shah::conductance_kg_per_s_m2_pa(water_c, water_pa, air);
    Span::of(lengths_m.iter().map(|length_m| {
        let forced =
            forced_conductance_kg_per_s_m2_pa(speed_m_per_s, *length_m, water_c, air.temp_c, air.pressure_pa);
        let everywhere = UnderFan {
            forced_kg_per_s_m2_pa: forced,
            share_frac: 1.0,
        };
        HOUR_S * under_fans_kg_per_s_m2_pa(still, vec![everywhere]) * (water_pa - air.vapour_pressure_pa)
    }))
}

/// The same for each kilopascal between water and air, at 28 and 20 °C.
fn per_kilopascal(speed_m_per_s: f64, lengths_m: &[f64]) -> Span {
    let air = air(20.0, 0.5);
    let drop_kpa = (saturation_pressure_pa(28.0) - air.vapour_pressure_pa) / 1000.0;
    let rate = under_stream(speed_m_per_s, lengths_m, 28.0, air);
    Span::between(rate.from / drop_kpa, rate.to / drop_kpa)
}

pub fn rows() -> Vec<Row> {
    let tank = Row {
        case: "85 × 30 cm of water at 30 °C, room 30 °C, 70 %, fan of 2 m/s",
        quantity: "evaporation".into(),
        unit: "kg/(m² h)",
        told: Told::Published,
        source: "a keeper's public worked example by (25 + 19 v) (x_s − x), the form of a web handbook of engineering",
        outside: Span::at(0.132 / 0.255),
        predicted: under_stream(2.0, &[0.30, 0.85], 30.0, air(30.0, 0.7)),
        asked: Asked::KnownMiss,
        remark: "a formula without a source, for pools: without a fan it gives 2.4 times Shah's rate",
    };
    let pool = Row {
        case: "25 × 20 m pool, water 25 °C, air 25 °C, 50 %, 0.5 m/s",
        source: "worked example of a web handbook of engineering, 0.049 kg/s by the same form",
        outside: Span::at(0.049 * HOUR_S / 500.0),
        predicted: under_stream(0.5, &[20.0, 25.0], 25.0, air(25.0, 0.5)),
        remark: "ten times the length the stream is meant for here; \"as much as a factor of four\" is what ASHRAE Transactions 1995, 101(1), \
                 paper 3841 (abstract) finds between such formulas",
        ..tank.clone()
    };
    // 5 mph over 500 ft² of 80 °F, p_w 0.507 and p_a 0.074 psi: the equation as printed gives the 99.1 lb/h printed beside it. The page is
    // scanned; the air's temperature could not be read, dry air of freezing point or 20 °C makes no difference to the forced part.
    let winter = Air {
        temp_c: 10.0,
        vapour_pressure_pa: 0.074 * PSI_PA,
        pressure_pa: STANDARD_PRESSURE_PA,
    };
    let across_m = (500.0 * SQUARE_FOOT_M2).sqrt();
    let pond = Row {
        case: "outdoor pond of 500 ft², water 80 °F, wind of 5 mph",
        source: "K. Rafferty, Pond Heat Loss, Geo-Heat Center Quarterly Bulletin 9(4), Fall 1986, first page: 99.1 lb/h",
        outside: Span::at(99.1 * POUND_KG / (500.0 * SQUARE_FOOT_M2)),
        predicted: under_stream(5.0 * MILE_PER_HOUR_M_PER_S, &[across_m], 26.67, winter),
        remark: "the wind of a weather station, gusts and waves, over 7 m where a fan's stream is meant for 2: outside the range, and \
                 a third low there",
        ..tank.clone()
    };
    // 82 % of the equation at 2.2 m/s; 28 °C stands for the water's temperature, which only the latent heat feels.
    let measured = 0.82 * (0.0885 + 0.0779 * 2.2) / latent_heat_j_per_kg(28.0);
    let windy = Row {
        case: "an outdoor pool in a wind of 2.2 m/s",
        quantity: "evaporation for each kilopascal".into(),
        unit: "kg/(m² h kPa)",
        told: Told::Measured,
        source: OUTDOOR_POOL,
        outside: Span::at(measured * 1000.0 * HOUR_S),
        predicted: per_kilopascal(2.2, &[10.0, 25.0]),
        remark: "over 10 to 25 m (its size is not in the abstract), where a fan's stream is meant for 2: the wind gusts and a plate's boundary layer \
                 knows none. At a tank's lengths (next row) the same stream comes out as measured here",
        ..tank.clone()
    };
    let windy_tank = Row {
        quantity: "the same stream over half a metre to two".into(),
        predicted: per_kilopascal(2.2, &[0.5, 2.0]),
        asked: Asked::SpanHoldsFigure,
        remark: "no tank was measured: that it meets the pool's figure says only that the size is right",
        ..windy.clone()
    };
    vec![tank, pool, pond, windy, windy_tank]
}
