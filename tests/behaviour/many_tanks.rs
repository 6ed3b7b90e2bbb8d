//! Several water systems in one room and on its circuits.

use crate::support::{run_with, scenario, scenario_of, strategy};
use tepid::budget::{budget, budgets};
use tepid_sim::run::{RunRequest, binds, run};
use tepid_sim::scenario::{Happening, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::{DAY, HOUR, Millis};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// A tank of 48 L with a heater of 100 W behind a relay of its own, its probe and its filter.
fn tank(name: &str) -> String {
    format!(
        "[[tank]]\nname = \"{name}\"\ninside = [\"60 cm\", \"30 cm\", \"30 cm\"]\nwater_height = \"27 cm\"\nlivestock = true\n\
         [[pump]]\nname = \"filter {name}\"\npower = \"5 W\"\ntank = \"{name}\"\n\
         [[heater]]\nname = \"heater {name}\"\npower = \"100 W\"\ntank = \"{name}\"\nchain = [\"relay {name}\"]\n\
         [[contact]]\nname = \"relay {name}\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"probe {name}\"\ntank = \"{name}\"\nnoise = \"0.02 K\"\n"
    )
}

const STATED_ROOM: &str = "[room]\ntemperature = \"18 °C\"\nhumidity = \"50 %\"\n";

/// 12 m³ of air behind thick walls, 12 °C outdoors.
const SMALL_CLOSED_ROOM: &str = "[room]\ntemperature = \"12 °C\"\nhumidity = \"70 %\"\n\
     [room.building]\nvolume = \"12 m³\"\nenvelope = \"20 W/K\"\nair_changes = \"0.2 1/h\"\n";

/// Tanks of these names in a room, for three days.
fn tanks(names: &[&str], room: &str, rest: &str) -> Scenario {
    let all: String = names.iter().map(|name| tank(name)).collect();
    scenario_of(&format!(
        "title = \"Tanks\"\nduration = \"3 d\"\nwarm_up = \"1 d\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
         [livestock]\nkind = \"small fish\"\nsource = \"common practice, no source\"\nused_to = \"25 °C\"\n\
         danger_hot = [[\"29 °C\", \"3 d\"], [\"31 °C\", \"12 h\"], [\"33 °C\", \"1 h\"]]\n\
         danger_cold = [[\"21 °C\", \"1 d\"], [\"19 °C\", \"6 h\"]]\n{room}{all}{rest}"
    ))
}

const FOUR: [&str; 4] = ["a", "b", "c", "d"];

fn circuit(name: &str, breaker: &str, feeds: &[&str]) -> String {
    let feeds = feeds.iter().map(|load| format!("\"{load}\"")).collect::<Vec<_>>();
    format!(
        "[[circuit]]\nname = \"{name}\"\nvoltage = \"230 V\"\nbreaker = \"{breaker}\"\nfeeds = [{}]\n",
        feeds.join(", ")
    )
}

fn mean_c(scores: &Scores, tank: usize) -> f64 {
    scores.tanks[tank].mean_c
}

#[test]
fn tanks_that_neither_water_nor_control_joins_are_systems_of_their_own() {
    let systems = |rest: &str| tanks(&["a", "b", "c"], STATED_ROOM, rest).system_tanks().len();
    assert_eq!(systems(""), 3);
    assert_eq!(
        systems("[[flow]]\nfrom = \"a\"\nto = \"c\"\nrate = \"200 L/h\"\n"),
        2
    );
    // One relay that switches heaters in two tanks joins them: one strategy commands both.
    let second = "[[heater]]\nname = \"second\"\npower = \"50 W\"\ntank = \"b\"\nchain = [\"relay a\"]\n";
    assert_eq!(systems(second), 2);
    // A residual-current device neither decides nor obeys.
    let guard = "[[contact]]\nname = \"guard\"\nkind = \"residual-current\"\n\
                 [[heater]]\nname = \"x\"\npower = \"50 W\"\ntank = \"a\"\nchain = [\"guard\", \"relay a\"]\n\
                 [[heater]]\nname = \"y\"\npower = \"50 W\"\ntank = \"b\"\nchain = [\"guard\", \"relay b\"]\n";
    assert_eq!(systems(guard), 3);
}

#[test]
fn a_room_holds_more_tanks_than_one_network_holds_lumps() {
    let names = ["a", "b", "c", "d", "e", "f", "g", "h"];
    let scenario = tanks(&names, STATED_ROOM, "");
    // Water, heater body and lagging probe of each.
    assert_eq!(tepid_sim::plant::PlantSize::of(&scenario).nodes, 24);
    let scores = run_with(&scenario, "on-off", &[]);
    assert_eq!(scores.tanks.len(), 8);
    for (tank, name) in scores.tanks.iter().zip(names) {
        assert_eq!(tank.tank, name);
        assert!((tank.mean_c - 25.0).abs() < 0.2, "{}: {}", tank.tank, tank.mean_c);
    }
    for (heater, name) in scores.heaters.iter().zip(names) {
        assert_eq!(heater.heater, format!("heater {name}"));
        assert!(heater.energy_kwh > 1.0);
    }
    let heaters: f64 = scores.heaters.iter().map(|heater| heater.energy_kwh).sum();
    let pumps = 8.0 * 0.005 * 72.0;
    approx::assert_relative_eq!(scores.energy_kwh, heaters + pumps, max_relative = 1e-9);
    assert!(scores.heat_balance.error_frac < 1e-9);
}

#[test]
fn in_a_room_that_is_as_stated_a_tank_does_among_others_what_it_does_alone() {
    let alone = run_with(&tanks(&["b"], STATED_ROOM, ""), "on-off", &[]);
    let among = run_with(&tanks(&["a", "b", "c"], STATED_ROOM, ""), "on-off", &[]);
    assert_eq!(alone.contacts[0].closings, among.contacts[1].closings);
    approx::assert_relative_eq!(mean_c(&alone, 0), mean_c(&among, 1), epsilon = 1e-6);
    approx::assert_relative_eq!(
        alone.heaters[0].energy_kwh,
        among.heaters[1].energy_kwh,
        max_relative = 1e-6
    );
    approx::assert_relative_eq!(
        among.evaporated_kg,
        3.0 * alone.evaporated_kg,
        max_relative = 0.01
    );
}

const WELD_OF_A: &str = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay a\"\nwhen = \"0 h\"\n";

#[test]
fn a_weld_in_one_tank_warms_its_neighbours_through_a_small_closed_room_and_not_through_stated_air() {
    let close = |rest: &str| run_with(&tanks(&FOUR, SMALL_CLOSED_ROOM, rest), "on-off", &[]);
    let (sound, welded) = (close(""), close(WELD_OF_A));
    assert!(mean_c(&welded, 0) > mean_c(&sound, 0) + 3.0);
    // The room gets warmer, and every neighbour needs less of its own heater.
    assert!(welded.room.highest_c > sound.room.highest_c + 0.5);
    for neighbour in 1..4 {
        let (with, without) = (&welded.heaters[neighbour], &sound.heaters[neighbour]);
        assert!(
            with.energy_kwh < 0.97 * without.energy_kwh,
            "{} {}",
            with.energy_kwh,
            without.energy_kwh
        );
    }
    let stated = |rest: &str| run_with(&tanks(&FOUR, STATED_ROOM, rest), "on-off", &[]);
    assert_eq!(stated("").tanks[1..], stated(WELD_OF_A).tanks[1..]);
}

#[test]
fn the_room_is_given_what_all_systems_give_it() {
    // Make-up water as warm as its tank: of joined tanks one takes all of it.
    let apart = tanks(
        &["a", "b", "c"],
        SMALL_CLOSED_ROOM,
        "[top_off]\ntemperature = \"tank\"\n",
    );
    // The same tanks as one system, since one contact stands in all chains. Elements of nearly nothing: control has no part in it.
    let mut joined = apart.clone();
    let mut shared = joined.contacts[0].clone();
    shared.name = "shared".to_owned();
    joined.contacts.push(shared);
    for heater in &mut joined.heaters {
        heater.chain.push(tepid_sim::ids::ContactId(3));
    }
    assert_eq!((apart.system_tanks().len(), joined.system_tanks().len()), (3, 1));
    let unheated = |mut scenario: Scenario| {
        for heater in &mut scenario.heaters {
            heater.power_w = 1e-9;
        }
        run_with(&scenario, "on-off", &[])
    };
    let (apart, joined) = (unheated(apart), unheated(joined));
    for tank in 0..3 {
        approx::assert_relative_eq!(mean_c(&apart, tank), mean_c(&joined, tank), epsilon = 1e-6);
    }
    approx::assert_relative_eq!(apart.room.lowest_c, joined.room.lowest_c, epsilon = 1e-6);
    // Their warmth is felt.
    assert!(apart.room.lowest_c > 12.5, "{}", apart.room.lowest_c);
}

fn past_dose_after_a_trip(circuits: &str) -> usize {
    let trips = "[[fault]]\nwhat = \"circuit tripped\"\ncircuit = \"A\"\nwhen = \"1 h\"\n";
    let scores = run_with(
        &tanks(&FOUR, STATED_ROOM, &format!("{circuits}{trips}")),
        "on-off",
        &[],
    );
    scores.past_dose().tanks
}

#[test]
fn heaters_on_two_circuits_turn_the_loss_of_all_tanks_into_the_loss_of_half() {
    let (ab, cd) = (["heater a", "heater b"], ["heater c", "heater d"]);
    let one = circuit("A", "16 A", &[ab, cd].concat());
    let two = circuit("A", "16 A", &ab) + &circuit("B", "16 A", &cd);
    assert_eq!(past_dose_after_a_trip(&one), 4);
    assert_eq!(past_dose_after_a_trip(&two), 2);
}

#[test]
fn in_the_shop_of_the_library_a_tripped_circuit_takes_half_of_the_tanks_and_all_where_it_feeds_all_heaters() {
    let past = |changes: &[(&str, &str)]| {
        let shop = scenario("shop-room", changes);
        let trips: Vec<Happening> = tepid_scenarios::fault_set(&shop, "circuit tripped")
            .expect("built in")
            .cases
            .into_iter()
            .take(1)
            .map(|case| Happening {
                when: When::At(8 * HOUR),
                ..case.fault
            })
            .collect();
        assert_eq!(run_with(&shop, "on-off", &[]).past_dose().tanks, 0);
        run_with(&shop, "on-off", &trips).past_dose()
    };
    let half = past(&[]);
    assert_eq!(half.tanks, 4);
    let all = past(&[
        ("circuit.left wall.feeds", "[\"heater\"]"),
        ("circuit.left wall.breaker", "16 A"),
        ("circuit.right wall.feeds", "[]"),
    ]);
    assert_eq!(all.tanks, 8);
    // Litres at risk: about half of those in the shop.
    assert!((0.4..0.6).contains(&(half.water_m3 / all.water_m3)));
}

#[test]
fn a_strategy_that_one_system_cannot_follow_does_not_apply() {
    let scenario = tanks(&["a", "b"], STATED_ROOM, "");
    let recipe = strategy("staggered-pair");
    let told = binds(&scenario, recipe.as_ref())
        .expect_err("one heater each")
        .to_string();
    assert!(told.contains("in the water system of a"), "{told}");
    assert!(binds(&scenario, strategy("on-off").as_ref()).is_ok());
}

#[test]
fn a_breaker_sees_what_all_systems_draw() {
    let feeds = ["heater a", "heater b", "heater c", "heater d"];
    // All welded on: 4 × 100 W at 230 V.
    let welds: String = FOUR
        .iter()
        .map(|name| {
            format!("[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay {name}\"\nwhen = \"0 h\"\n")
        })
        .collect();
    let with = |breaker: &str| {
        let rest = circuit("A", breaker, &feeds) + &welds;
        run_with(&tanks(&FOUR, STATED_ROOM, &rest), "on-off", &[])
    };
    let held = with("2 A");
    approx::assert_relative_eq!(
        held.circuits[0].highest_a.unwrap(),
        400.0 / 230.0,
        max_relative = 1e-9
    );
    assert_eq!(held.circuits[0].tripped_ms, None);
    // No single heater comes near 1 A.
    let tripped = with("1 A");
    assert!(tripped.circuits[0].tripped_ms.is_some());
    assert!(tripped.tanks.iter().all(|tank| tank.end_c < 22.0));
}

#[test]
fn a_backup_feeds_in_its_order_across_systems_as_far_as_its_limit_goes() {
    let backup = "[[backup]]\nname = \"battery\"\nenergy = \"100 kWh\"\nlimit = \"230 W\"\nidle = \"0 W\"\n\
                  feeds = [\"controller\", \"heater c\", \"heater a\", \"heater b\"]\n\
                  [[event]]\nwhat = \"outage\"\nat = \"1 h\"\nlasts = \"60 h\"\n";
    let scores = run_with(&tanks(&FOUR, STATED_ROOM, backup), "on-off", &[]);
    let lowest: Vec<f64> = scores.tanks.iter().map(|tank| tank.lowest_c).collect();
    assert!(lowest[0] > 24.0 && lowest[2] > 24.0, "{lowest:?}");
    assert!(lowest[1] < 21.0 && lowest[3] < 21.0, "{lowest:?}");
}

#[test]
fn the_worst_tank_the_number_past_the_dose_and_their_litres_are_of_all_systems() {
    let mut scenario = tanks(&FOUR, STATED_ROOM, &WELD_OF_A.replace("relay a", "relay c"));
    scenario.heaters[2].power_w = 200.0;
    let scores = run_with(&scenario, "on-off", &[]);
    assert_eq!(scores.tanks[scores.worst_tank].tank, "c");
    let past = scores.past_dose();
    assert_eq!(past.tanks, 1);
    approx::assert_relative_eq!(past.water_m3, 0.6 * 0.3 * 0.27, max_relative = 1e-12);
}

#[test]
fn whoever_cools_the_room_for_one_tank_cools_it_for_all_and_whoever_unplugs_heaters_does_so_in_its_system() {
    let does = |act: &str| {
        let watch = format!(
            "[[watch]]\nprobe = \"probe a\"\nabove = \"26 °C\"\nlasting = \"0 s\"\nacts = {{ after = \"7 min 30 s\", {act} }}\n"
        );
        run_with(
            &tanks(&FOUR, STATED_ROOM, &format!("{WELD_OF_A}{watch}")),
            "on-off",
            &[],
        )
    };
    let cooled = does("does = \"cool the room\", by = \"6 K\", per_hour = \"6 K\"");
    let unplugged = does("does = \"unplug heaters\"");
    assert!(cooled.acted_ms.is_some() && unplugged.acted_ms.is_some());
    approx::assert_relative_eq!(cooled.room.lowest_c, 12.0, epsilon = 1e-9);
    let sound = run_with(&tanks(&FOUR, STATED_ROOM, ""), "on-off", &[]);
    for neighbour in 1..4 {
        let energy_kwh = |scores: &Scores| scores.heaters[neighbour].energy_kwh;
        assert!(energy_kwh(&cooled) > 1.3 * energy_kwh(&sound));
        assert_eq!(energy_kwh(&unplugged), energy_kwh(&sound));
    }
    assert!(unplugged.tanks[0].end_c < 20.0);
}

#[test]
fn somebody_who_starts_a_generator_starts_it_for_all() {
    let power = "[[backup]]\nname = \"generator\"\nfuel = \"200 h\"\nlimit = \"2 kW\"\nidle = \"0 W\"\n\
                 feeds = [\"controller\", \"heater a\", \"heater b\", \"heater c\", \"heater d\"]\n\
                 [[event]]\nwhat = \"outage\"\nat = \"1 h\"\nlasts = \"70 h\"\n\
                 [[watch]]\nprobe = \"probe c\"\nbelow = \"24 °C\"\nlasting = \"0 s\"\n";
    let lowest_c = |act: &str| {
        let scores = run_with(
            &tanks(&FOUR, STATED_ROOM, &format!("{power}{act}")),
            "on-off",
            &[],
        );
        scores.tanks.iter().map(|tank| tank.lowest_c).collect::<Vec<_>>()
    };
    let nobody = lowest_c("");
    let started =
        lowest_c("acts = { after = \"30 min\", does = \"start a generator\", backup = \"generator\" }\n");
    assert!(nobody.iter().all(|lowest_c| *lowest_c < 20.0), "{nobody:?}");
    assert!(started.iter().all(|lowest_c| *lowest_c > 23.0), "{started:?}");
}

#[derive(Default)]
struct Seen {
    rows: Vec<(Millis, Vec<f64>, Vec<f64>)>,
    marks: Vec<(Millis, String)>,
}

impl TraceSink for Seen {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.rows
            .push((row.at_ms, row.water_c.to_vec(), row.heater_w.to_vec()));
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        self.marks.push((mark.at_ms, mark.name.to_owned()));
    }
}

#[test]
fn a_course_shows_every_tank_once_a_minute_and_what_befalls_all_of_them_once() {
    let event = "[[event]]\nname = \"storm\"\nwhat = \"outage\"\nat = \"1 h\"\nlasts = \"90 s\"\n";
    let scenario = tanks(&["a", "b"], STATED_ROOM, event);
    let recipe = strategy("on-off");
    let mut seen = Seen::default();
    let request = RunRequest::new(&scenario, recipe.as_ref(), 7);
    let scores = run(&request, Some(&mut seen)).expect("runs");
    assert!(seen.rows.windows(2).all(|pair| pair[0].0 < pair[1].0));
    // Every whole minute, and the end of the outage between two.
    assert_eq!(seen.rows.len(), 4 * 24 * 60 + 2);
    let (_, water_c, heater_w) = seen.rows.last().unwrap();
    assert_eq!(water_c.len(), 2);
    approx::assert_relative_eq!(water_c[1], scores.tanks[1].end_c);
    assert_eq!(heater_w.len(), 2);
    assert_eq!(
        seen.marks,
        [(HOUR, "storm".to_owned()), (HOUR + 90_000, "storm".to_owned())]
    );
}

#[test]
fn the_same_run_of_many_tanks_gives_the_same_bits() {
    let scenario = tanks(&FOUR, SMALL_CLOSED_ROOM, WELD_OF_A);
    assert_eq!(run_with(&scenario, "pi", &[]), run_with(&scenario, "pi", &[]));
}

#[test]
fn every_system_has_the_budget_it_has_alone_in_a_stated_room() {
    let all = budgets(&tanks(&FOUR, STATED_ROOM, "")).expect("budgets");
    assert_eq!(all.len(), 4);
    for (one, name) in all.iter().zip(FOUR) {
        let alone = budget(&tanks(&[name], STATED_ROOM, "")).expect("a budget");
        assert_eq!(one.system.as_deref(), Some(name));
        assert_eq!(
            (one.total_loss_w, &one.losses),
            (alone.total_loss_w, &alone.losses)
        );
        assert_eq!(one.coldest_room_held_c, alone.coldest_room_held_c);
    }
    // Three lumps of each of eight are more than one network holds.
    let names = ["a", "b", "c", "d", "e", "f", "g", "h"];
    assert_eq!(
        budgets(&tanks(&names, STATED_ROOM, "")).expect("budgets").len(),
        8
    );
}

#[test]
fn the_budgets_of_several_systems_share_the_room_that_all_of_them_warm() {
    let room_c = |names: &[&str]| {
        let all = budgets(&tanks(names, SMALL_CLOSED_ROOM, "")).expect("budgets");
        assert!(
            all.iter()
                .all(|one| one.room_c == all[0].room_c && one.building.is_some())
        );
        all[0].room_c
    };
    let (one_c, four_c) = (room_c(&["a"]), room_c(&FOUR));
    // A run's room in the last hours is the same.
    let mut scenario = tanks(&FOUR, SMALL_CLOSED_ROOM, "");
    scenario.duration_ms = 12 * DAY;
    let recipe = strategy("on-off");
    let mut mean = MeanRoom::default();
    run(&RunRequest::new(&scenario, recipe.as_ref(), 7), Some(&mut mean)).expect("runs");
    let ran_c = mean.sum_c / mean.rows;
    assert!(four_c > one_c + 3.0, "{one_c} °C and {four_c} °C");
    assert!((four_c - ran_c).abs() < 0.1, "budget {four_c} °C, run {ran_c} °C");
}

/// Mean of the room from the tenth day on.
#[derive(Default)]
struct MeanRoom {
    sum_c: f64,
    rows: f64,
}

impl TraceSink for MeanRoom {
    fn row(&mut self, row: &TraceRow<'_>) {
        if row.at_ms > 10 * DAY {
            self.sum_c += row.room_c;
            self.rows += 1.0;
        }
    }

    fn mark(&mut self, _: &Mark<'_>) {}
}
