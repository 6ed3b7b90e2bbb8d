//! The heat budget of two scenarios, worked by hand: every term from its own formula, typed here a second time with `std`'s functions.
//!
//! What is shared with the product is the choice of relations (`docs/model.md`). Where another good formula for the same property was at
//! hand it is used instead, so that a slip of a coefficient shows: saturation pressure after W. Wagner and A. Pruss 1993 (J. Phys. Chem. Ref. Data
//! 22, 783; from memory), viscosity and conductivity of air after the U.S. Standard Atmosphere 1976 (from memory), one specific heat of
//! air, and the faces of panes found by bisection.

use crate::ledger::compare;
use tepid_output::records::Budget;

/// Pa.
const PRESSURE_PA: f64 = 101_325.0;
/// W/(m² K⁴).
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Specific heat of dry air at room temperature, J/(kg K), textbooks.
const AIR_SPECIFIC_HEAT: f64 = 1006.0;

/// Terms without films of air: the two formulas of the vapour pressure differ by up to 2.3e-4, which the difference between water and air
/// makes three times as much; 1006 J/(kg K) is rounded by 3e-4; an evaporated gram counts the cube root of a density difference.
const SURFACE_TOLERANCE_FRAC: f64 = 0.002;
/// Panes and lid: the two descriptions of room air differ by 0.36 % in conductivity; convection is about half of what a face gives off.
const PANE_TOLERANCE_FRAC: f64 = 0.002;
/// Radiation and make-up water have nothing to differ in but rounding and a specific heat of water to four digits.
const PLAIN_TOLERANCE_FRAC: f64 = 5e-4;

fn kelvin(temp_c: f64) -> f64 {
    temp_c + 273.15
}

/// Saturation pressure over liquid water, Pa (Wagner and Pruss 1993).
fn saturation_pa(temp_c: f64) -> f64 {
    let t = kelvin(temp_c);
    let x = 1.0 - t / 647.096;
    let sum = -7.859_517_83 * x + 1.844_082_59 * x.powf(1.5) - 11.786_649_7 * x.powi(3)
        + 22.680_741_1 * x.powf(3.5)
        - 15.961_871_9 * x.powi(4)
        + 1.801_225_02 * x.powf(7.5);
    22.064e6 * (647.096 / t * sum).exp()
}

fn latent_heat(temp_c: f64) -> f64 {
    2.501e6 - 2361.0 * temp_c
}

/// The air that a tank stands in.
#[derive(Clone, Copy)]
struct Surroundings {
    air_c: f64,
    vapour_pa: f64,
}

impl Surroundings {
    fn new(air_c: f64, humidity: f64) -> Self {
        Self {
            air_c,
            vapour_pa: humidity * saturation_pa(air_c),
        }
    }
}

/// Kilograms of dry air in a cubic metre.
fn dry_density(temp_c: f64, vapour_pa: f64) -> f64 {
    (PRESSURE_PA - vapour_pa) / (287.042 * kelvin(temp_c))
}

/// Water that evaporates, kg/s (Shah, undisturbed).
fn evaporation_kg_per_s(open_m2: f64, water_c: f64, activity: f64, around: Surroundings) -> f64 {
    let water_pa = activity * saturation_pa(water_c);
    let ratio = |vapour_pa: f64| 0.621_945 * vapour_pa / (PRESSURE_PA - vapour_pa);
    let (at_water, in_room) = (
        dry_density(water_c, water_pa),
        dry_density(around.air_c, around.vapour_pa),
    );
    let natural = if in_room > at_water {
        35.0 * at_water * (in_room - at_water).powf(1.0 / 3.0) * (ratio(water_pa) - ratio(around.vapour_pa))
    } else {
        0.0
    };
    open_m2 * natural.max(0.00005 * (water_pa - around.vapour_pa)) / 3600.0
}

/// Convection as a share of evaporation's conductance, W.
fn convection_w(open_m2: f64, water_c: f64, activity: f64, around: Surroundings) -> f64 {
    let water_pa = activity * saturation_pa(water_c);
    let evaporation_w = evaporation_kg_per_s(open_m2, water_c, activity, around) * latent_heat(water_c);
    let gamma =
        AIR_SPECIFIC_HEAT * PRESSURE_PA * 0.85_f64.powf(2.0 / 3.0) / (0.621_945 * latent_heat(water_c));
    evaporation_w * gamma * (water_c - around.air_c) / (water_pa - around.vapour_pa)
}

fn radiation_w_per_m2(emissivity: f64, warm_c: f64, cold_c: f64) -> f64 {
    emissivity * STEFAN_BOLTZMANN * (kelvin(warm_c).powi(4) - kelvin(cold_c).powi(4))
}

#[derive(Clone, Copy)]
enum Face {
    Side,
    Down,
    Up,
}

/// Heat from a face of a pane to the room by convection and radiation, W/m².
fn face_loss_w_per_m2(face: Face, length_m: f64, face_c: f64, air_c: f64) -> f64 {
    let film_k = kelvin(0.5 * (face_c + air_c));
    let conductivity = 2.646_38e-3 * film_k.powf(1.5) / (film_k + 245.4 * 10_f64.powf(-12.0 / film_k));
    let viscosity = 1.458e-6 * film_k.powf(1.5) / (film_k + 110.4);
    let density = PRESSURE_PA / (287.05 * film_k);
    let prandtl = viscosity * AIR_SPECIFIC_HEAT / conductivity;
    let grashof = 9.80665 / film_k * (face_c - air_c) * length_m.powi(3) * (density / viscosity).powi(2);
    let rayleigh = grashof * prandtl;
    let nusselt = match face {
        Face::Side => {
            let blend = (1.0 + (0.492 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
            (0.825 + 0.387 * rayleigh.powf(1.0 / 6.0) / blend).powi(2)
        }
        Face::Down => 0.52 * rayleigh.powf(0.2),
        Face::Up if rayleigh <= 1e7 => 0.54 * rayleigh.powf(0.25),
        Face::Up => 0.15 * rayleigh.powf(1.0 / 3.0),
    };
    nusselt * conductivity / length_m * (face_c - air_c) + radiation_w_per_m2(0.9, face_c, air_c)
}

/// Heat through a pane with an outer film, W/m²: the face lies where what arrives through the pane leaves to the room.
fn pane_loss_w_per_m2(face: Face, length_m: f64, inside_m2_k_per_w: f64, water_c: f64, air_c: f64) -> f64 {
    let (mut cold_c, mut warm_c) = (air_c, water_c);
    for _ in 0..60 {
        let face_c = 0.5 * (cold_c + warm_c);
        if face_loss_w_per_m2(face, length_m, face_c, air_c) > (water_c - face_c) / inside_m2_k_per_w {
            warm_c = face_c;
        } else {
            cold_c = face_c;
        }
    }
    (water_c - cold_c) / inside_m2_k_per_w
}

#[track_caller]
fn agrees(what: &str, theirs: f64, by_hand: f64, tolerance_frac: f64) {
    compare(
        what,
        "worked by hand",
        "a scenario of the library",
        (theirs, by_hand),
        tolerance_frac * by_hand.abs(),
    );
}

/// The budget's term of that name and tank.
#[track_caller]
fn term_w(budget: &Budget, tank: &str, name: &str) -> f64 {
    let of = |path: &&tepid_output::records::BudgetPath| path.tank == tank && path.name == name;
    budget
        .losses
        .iter()
        .chain(&budget.gains)
        .find(of)
        .unwrap_or_else(|| panic!("no {name} of {tank}"))
        .power_w
}

fn budget_of(name: &str) -> Budget {
    let scenario = tepid_scenarios::scenario(name, &[]).expect("library scenario");
    tepid::budget::budget(&scenario).expect("a network")
}

pub fn the_budget_of_a_reef_with_a_sump_is_what_it_is_by_hand() {
    // spare-room-winter: display 120 × 50 cm, water 45 cm, 12 mm, back pane against the wall, net on top; sump 60 × 40 cm, water 25 cm,
    // 6 mm, in a cabinet that is 2 K warmer and 20 points damper; 35 g/kg, 25.5 °C; 45 %.
    let budget = budget_of("spare-room-winter");
    let water_c = 25.5;
    // The course: 48 h at 19, 24 h down to 15.5, 48 h there, 48 h up to 18 °C, in its mean.
    let room_c = (48.0 * 19.0 + 24.0 * 17.25 + 48.0 * 15.5 + 48.0 * 16.75) / 168.0;
    // The product looks once an hour, at its beginning.
    assert!(
        (budget.room_c - room_c).abs() < 0.01,
        "{} and {room_c}",
        budget.room_c
    );
    let room_c = budget.room_c;
    let activity = 1.0 - 0.000_537 * 35.0;
    let room = Surroundings::new(room_c, 0.45);
    let cabinet = Surroundings::new(room_c + 2.0, 0.65);
    let mut total_w = 0.0;
    let mut evaporated = 0.0;
    let mut check = |tank: &str, name: &str, by_hand_w: f64, tolerance_frac: f64| {
        agrees(
            &format!("{tank}, {name}, W"),
            term_w(&budget, tank, name),
            by_hand_w,
            tolerance_frac,
        );
        total_w += by_hand_w;
    };
    for (tank, length_m, width_m, water_m, glass_m, free_sides, open, around) in [
        ("display", 1.2, 0.5, 0.45, 0.012, 0.7, 0.9, room),
        ("sump", 0.6, 0.4, 0.25, 0.006, 1.0, 1.0, cabinet),
    ] {
        let surface_m2 = length_m * width_m;
        let girth_m = 2.0 * (length_m + width_m);
        let inside = 1.0 / 500.0 + glass_m / 1.0;
        let side = pane_loss_w_per_m2(Face::Side, water_m, inside, water_c, around.air_c);
        let down = pane_loss_w_per_m2(Face::Down, surface_m2 / girth_m, inside, water_c, around.air_c);
        let open_m2 = surface_m2 * open;
        let kg_per_s = evaporation_kg_per_s(open_m2, water_c, activity, around);
        evaporated += kg_per_s;
        check(
            tank,
            "sides",
            girth_m * water_m * free_sides * side,
            PANE_TOLERANCE_FRAC,
        );
        check(tank, "bottom", surface_m2 * down, PANE_TOLERANCE_FRAC);
        check(
            tank,
            "evaporation",
            kg_per_s * latent_heat(water_c),
            SURFACE_TOLERANCE_FRAC,
        );
        check(
            tank,
            "convection",
            convection_w(open_m2, water_c, activity, around),
            SURFACE_TOLERANCE_FRAC,
        );
        let radiation_w = open_m2 * radiation_w_per_m2(0.95, water_c, around.air_c);
        check(tank, "radiation", radiation_w, PLAIN_TOLERANCE_FRAC);
    }
    // What evaporates is replaced by fresh water as cold as the room, 4180 J/(kg K).
    let make_up_w = evaporated * 4180.0 * (water_c - room_c);
    check(
        "sump",
        "make-up water",
        make_up_w,
        SURFACE_TOLERANCE_FRAC + PLAIN_TOLERANCE_FRAC,
    );
    assert_eq!(budget.losses.len(), 11);
    agrees("all losses, W", budget.total_loss_w, total_w, PANE_TOLERANCE_FRAC);
    agrees(
        "evaporation, L a day",
        budget.evaporation_l_per_day,
        evaporated * 86_400.0,
        SURFACE_TOLERANCE_FRAC,
    );
    // Pumps under water give all they draw; of the lamp's 120 W the share 0.4 for 10 h of 24.
    let gains_w = 25.0 + 15.0 + 120.0 * 0.4 * 10.0 / 24.0;
    agrees(
        "gains, W",
        budget.gains.iter().map(|gain| gain.power_w).sum(),
        gains_w,
        1e-12,
    );
    agrees(
        "heater needed, W",
        budget.heater_needed_w,
        total_w - gains_w,
        PANE_TOLERANCE_FRAC * total_w / (total_w - gains_w),
    );
}

pub fn the_budget_of_a_lidded_tank_is_what_it_is_by_hand() {
    // lidded-nano: 40 × 32 cm, water 32 cm, 5 mm, on a mat of 0.1 m² K/W, under a lid of 3 mm; fresh, 25 °C; room 20 °C, 45 %.
    let budget = budget_of("lidded-nano");
    let (water_c, room_c) = (25.0, 20.0);
    assert_eq!((budget.target_c, budget.room_c), (water_c, room_c));
    let room = Surroundings::new(room_c, 0.45);
    let (surface_m2, girth_m) = (0.4 * 0.32, 2.0 * (0.4 + 0.32));
    let film_and_glass = 1.0 / 500.0 + 0.005 / 1.0;
    let side = pane_loss_w_per_m2(Face::Side, 0.32, film_and_glass, water_c, room_c);
    let lid = pane_loss_w_per_m2(
        Face::Up,
        surface_m2 / girth_m,
        1.0 / 15.0 + 0.003 / 1.0,
        water_c,
        room_c,
    );
    // A tenth of the surface stays open under a lid.
    let open_m2 = 0.1 * surface_m2;
    let kg_per_s = evaporation_kg_per_s(open_m2, water_c, 1.0, room);
    let terms = [
        ("sides", girth_m * 0.32 * side, PANE_TOLERANCE_FRAC),
        (
            "bottom",
            surface_m2 * (water_c - room_c) / (film_and_glass + 0.1),
            PLAIN_TOLERANCE_FRAC,
        ),
        ("lid", 0.9 * surface_m2 * lid, PANE_TOLERANCE_FRAC),
        (
            "evaporation",
            kg_per_s * latent_heat(water_c),
            SURFACE_TOLERANCE_FRAC,
        ),
        (
            "convection",
            convection_w(open_m2, water_c, 1.0, room),
            SURFACE_TOLERANCE_FRAC,
        ),
        (
            "radiation",
            open_m2 * radiation_w_per_m2(0.95, water_c, room_c),
            PLAIN_TOLERANCE_FRAC,
        ),
        (
            "make-up water",
            kg_per_s * 4180.0 * (water_c - room_c),
            SURFACE_TOLERANCE_FRAC + PLAIN_TOLERANCE_FRAC,
        ),
    ];
    for (name, by_hand_w, tolerance_frac) in terms {
        agrees(
            &format!("{name}, W"),
            term_w(&budget, "nano", name),
            by_hand_w,
            tolerance_frac,
        );
    }
    assert_eq!(budget.losses.len(), terms.len());
    agrees(
        "all losses, W",
        budget.total_loss_w,
        terms.iter().map(|(_, power_w, _)| power_w).sum(),
        PANE_TOLERANCE_FRAC,
    );
    // 41 L less 3 kg of rock at 2 kg/L; water 997.05 kg/m³ × 4181 J/(kg K) at 25 °C (handbooks), rock 840 J/(kg K), heater 50 J/K; of the
    // panes what is not of the outer film's side of their middle.
    let water = (0.4 * 0.32 * 0.32 - 0.0015) * 997.05 * 4181.0;
    let to_middle = 1.0 / 500.0 + 0.0025 / 1.0;
    let follows = |outside_m2_k_per_w: f64| 1.0 - to_middle / (film_and_glass + outside_m2_k_per_w);
    let glass = 2500.0 * 840.0 * 0.005 * (girth_m * 0.32 * follows(1.0 / 7.7) + surface_m2 * follows(0.1));
    let capacity = water + 3.0 * 840.0 + 50.0 + glass;
    agrees(
        "heat capacity, J/K",
        budget.heat_capacity_j_per_k,
        capacity,
        PLAIN_TOLERANCE_FRAC,
    );
    agrees(
        "time constant, h",
        budget.time_constant_h,
        capacity / budget.slope_w_per_k / 3600.0,
        PLAIN_TOLERANCE_FRAC,
    );
}
