//! The smallest scenario: one tank, one heater, one contact, one probe.

use tepid_sim::ids::{ContactId, TankId};
use tepid_sim::scenario::{
    Contact, ContactKind, Cover, Evaporation, Heater, HeaterBody, Humidity, Livestock, Pane, PaneMaterial,
    Probe, ProbePurpose, Role, Room, RoomTemperature, Scenario, Tank, VerdictRoom, Water,
};
use tepid_sim::time::DAY;

pub fn scenario() -> Scenario {
    let verdict_room = VerdictRoom {
        temp_c: 20.0,
        relative_humidity_frac: 0.45,
        stated: false,
    };
    Scenario {
        name: "smallest".to_owned(),
        title: "One tank".to_owned(),
        teaches: String::new(),
        duration_ms: DAY,
        warm_up_ms: 0,
        start_date: None,
        water: Water {
            salinity_g_per_kg: 35.0,
            target_c: 25.5,
            band_c: (25.0, 26.0),
            pressure_pa: 101_325.0,
            evaporation: Evaporation::Shah,
        },
        livestock: Livestock {
            kind: "nobody".to_owned(),
            source: "invented".to_owned(),
            used_to_c: 25.5,
            danger_hot: Vec::new(),
            danger_cold: Vec::new(),
            fastest_per_hour_k: None,
            fastest_per_day_k: None,
        },
        tanks: vec![Tank {
            name: "display".to_owned(),
            length_m: 0.6,
            width_m: 0.3,
            height_m: 0.35,
            water_height_m: 0.3,
            pane: Pane {
                material: PaneMaterial::Glass,
                thickness_m: 0.006,
                extra_sides_m2_k_per_w: 0.0,
                extra_bottom_m2_k_per_w: 0.0,
                free_sides_frac: 1.0,
                free_bottom_frac: 1.0,
            },
            cover: Cover::Open,
            rock_kg: 0.0,
            cabinet: None,
            livestock: true,
            agitation: 1.0,
            surroundings_offset_k: 0.0,
            proportions_assumed: false,
        }],
        flows: Vec::new(),
        room: Room {
            temperature: RoomTemperature {
                course: vec![(0, 20.0)],
                swing_k: 0.0,
                warmest_ms: 0,
                season_swing_k: 0.0,
                warmest_day: 0.0,
                drift_k: 0.0,
                drift_time_ms: 0,
            },
            humidity: Humidity::ConstantRelative { relative_frac: 0.45 },
            coldest: verdict_room,
            warmest: verdict_room,
        },
        pumps: Vec::new(),
        heaters: vec![Heater {
            name: "left".to_owned(),
            power_w: 200.0,
            tank: TankId(0),
            chain: vec![ContactId(0)],
            body: HeaterBody {
                heat_capacity_j_per_k: 200.0,
                length_m: 0.25,
                diameter_m: 0.026,
                water_speed_m_per_s: 0.0,
                speed_pump: None,
            },
        }],
        fans: Vec::new(),
        lights: Vec::new(),
        top_off: None,
        contacts: vec![Contact {
            name: "relay left".to_owned(),
            kind: ContactKind::Relay,
            box_name: None,
            role: Some(Role::Heat),
            life_closings: None,
            own_sensing: None,
        }],
        probes: vec![Probe {
            name: "main".to_owned(),
            tank: TankId(0),
            purpose: ProbePurpose::Control,
            lag_ms: 0,
            noise_k: 0.0,
            resolution_k: 0.0,
            offset_k: 0.0,
            drift_k_per_day: 0.0,
        }],
        happenings: Vec::new(),
        fault_sets: Vec::new(),
        watches: Vec::new(),
        price_per_kwh: None,
        assumptions: Vec::new(),
    }
}
