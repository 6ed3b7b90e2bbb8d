//! `[[heater]]`.

use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::scenario::{Heater, HeaterBody, HeaterKind, Tank};

use super::equipment::{Pumped, collect, pump_of_tank, tank_of, water_mark};
use crate::fields::heater::{BODY, HEATER};
use crate::node::Table;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Heat capacity of a heater's body per watt rated, J/(K W). From memory, as in `sim/src/physics/heater_body.rs`.
const BODY_J_PER_K_PER_W: f64 = 1.0;
/// Area of a heater's tube per watt rated, m²/W: 0.027 m² at 300 W. From memory.
const BODY_M2_PER_W: f64 = 0.027 / 300.0;
/// Diameter of a heater's tube, m, as the field's default has it. From memory.
const BODY_DIAMETER_M: f64 = 0.026;
/// Share of its tank's water height below which a heater hangs in air, where none is stated. An assumption, no source.
const EXPOSED_FRAC: f64 = 0.6;

pub(super) fn read_all(
    tables: &[&Table],
    around: &Pumped<'_>,
    tanks: Option<&[Tank]>,
    problems: &Problems,
) -> Result<Vec<Heater>, Reported> {
    let index = around.index;
    collect(tables, |table| {
        let reader = Reader::open(table, &HEATER, problems);
        let (name, power, tank) = (
            reader.text("name"),
            reader.quantity("power"),
            tank_of(&reader, index),
        );
        let chain = reader.references("chain", &index.contacts);
        let speed = reader.quantity("water_speed");
        let speed_pump = reader.optional_reference("speed_by", &index.pumps);
        let exposed = reader.optional_quantity("exposed_below");
        let word = reader.choice("kind");
        let kind = match (&word, &tank) {
            (Ok(word), Ok(tank)) => kind(&reader, word, *tank, around),
            _ => Err(Reported),
        };
        let body_table = reader.optional_table("body");
        let power_w = power.unwrap_or(1.0);
        let body = body_table.and_then(|table| body(table, reader.place(), power_w, problems));
        let (speed, speed_pump) = (speed?, speed_pump?.map(PumpId));
        let body = HeaterBody {
            water_speed_m_per_s: speed,
            speed_pump,
            ..body?
        };
        let (tank, kind) = (tank?, kind?);
        let usual_frac = match kind {
            HeaterKind::FlowThrough { .. } | HeaterKind::Mat { .. } => 0.0,
            _ => EXPOSED_FRAC,
        };
        let exposed = water_mark(&reader, "exposed_below", exposed?, (usual_frac, tank), tanks);
        Ok(Heater {
            name: name?,
            power_w: power?,
            tank,
            chain: chain?.into_iter().map(ContactId).collect(),
            body,
            kind,
            exposed_below_m: exposed?,
        })
    })
}

/// How it heats, with the fields of that kind and no others.
fn kind(reader: &Reader<'_>, word: &str, tank: TankId, around: &Pumped<'_>) -> Result<HeaterKind, Reported> {
    let used: &[&str] = match word {
        "flow-through" => &["flow_by"],
        "self-limiting" => &["full_to", "none_from"],
        "mat" => &["share_to_water"],
        _ => &[],
    };
    reader.only(&["flow_by", "full_to", "none_from", "share_to_water"], used, word)?;
    let stated = |field: &str| match reader.optional_quantity(field)? {
        Some(value) => Ok(value),
        None => Err(reader.missing(field)),
    };
    match word {
        "flow-through" => match pump_of_tank(reader, "flow_by", tank, around)? {
            Some(pump) => Ok(HeaterKind::FlowThrough { pump }),
            None => Err(reader.missing_name("flow_by", &around.index.pumps)),
        },
        "self-limiting" => {
            let (full_to, none_from) = (stated("full_to"), stated("none_from"));
            let (full_to_c, none_from_c) = (full_to?, none_from?);
            if full_to_c >= none_from_c {
                let problem = Problem::new(
                    "self-limiting-order",
                    reader.place_of("none_from"),
                    "its power would end before it begins to fall",
                )
                .expected("a temperature above `full_to`");
                return Err(reader.report(problem));
            }
            Ok(HeaterKind::SelfLimiting {
                full_to_c,
                none_from_c,
            })
        }
        "mat" => Ok(HeaterKind::Mat {
            share_to_water_frac: stated("share_to_water")?,
        }),
        _ => Ok(HeaterKind::Immersed),
    }
}

/// The tube of a heater of which nothing but the rated power is known, W, in still water.
#[must_use]
pub fn usual_body(power_w: f64) -> HeaterBody {
    HeaterBody {
        heat_capacity_j_per_k: BODY_J_PER_K_PER_W * power_w,
        length_m: usual_length_m(power_w, BODY_DIAMETER_M),
        diameter_m: BODY_DIAMETER_M,
        water_speed_m_per_s: 0.0,
        speed_pump: None,
    }
}

fn usual_length_m(power_w: f64, diameter_m: f64) -> f64 {
    BODY_M2_PER_W * power_w / (std::f64::consts::PI * diameter_m)
}

/// The tube by what is stated and the rated power, in still water.
fn body(
    table: Option<&Table>,
    place: &crate::source::Place,
    power_w: f64,
    problems: &Problems,
) -> Result<HeaterBody, Reported> {
    let empty = Table {
        place: place.clone(),
        entries: Vec::new(),
    };
    let reader = Reader::open(table.unwrap_or(&empty), &BODY, problems);
    let capacity = reader.optional_quantity("heat_capacity");
    let length = reader.optional_quantity("length");
    let diameter_m = reader.quantity("diameter")?;
    let usual = usual_body(power_w);
    Ok(HeaterBody {
        heat_capacity_j_per_k: capacity?.unwrap_or(usual.heat_capacity_j_per_k),
        length_m: length?.unwrap_or_else(|| usual_length_m(power_w, diameter_m)),
        diameter_m,
        ..usual
    })
}
