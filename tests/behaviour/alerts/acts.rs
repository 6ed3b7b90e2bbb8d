//! What is done about an alert, with its effect on the water and at its own rate.

use tepid_output::cautions::{Caution, for_equipment};
use tepid_sim::scores::Scores;
use tepid_sim::time::{DAY, HOUR, MINUTE};

use super::{on_off, tank, tank_of, weld};
use crate::support::scenario;

/// Six hours without heating in which something is done from time zero on.
fn done(act: &str) -> Scores {
    let watch = if act.is_empty() {
        String::new()
    } else {
        format!(
            "[[watch]]\nprobe = \"check\"\nabove = \"10 °C\"\nlasting = \"0 s\"\nacts = [{{ after = \"0 s\", does = \"unplug heaters\" }}, {{ after = \"0 s\", {act} }}]\n"
        )
    };
    on_off(&tank_of("duration = \"6 h\"\nwarm_up = \"0 s\"", &watch), &[])
}

fn end_c(scores: &Scores) -> f64 {
    scores.tanks[0].end_c
}

fn lost_j(scores: &Scores, path: &str) -> f64 {
    let found = scores.heat_balance.paths.iter().find(|one| one.name == path);
    -found.expect("a path of that name").heat_j
}

/// Nothing is done but to unplug the heaters, which the others do as well.
fn unplugged() -> Scores {
    done("does = \"unplug heaters\"")
}

#[test]
fn sealed_ice_cools_by_no_more_than_its_rate() {
    let plain_c = end_c(&unplugged());
    let mut capacities_j_per_k = Vec::new();
    for per_hour_k in [0.25, 0.5] {
        let iced = done(&format!(
            "does = \"sealed ice\", per_hour = \"{per_hour_k} K\", lasts = \"4 h\""
        ));
        let colder_k = plain_c - end_c(&iced);
        // Colder water takes some heat back from the room.
        assert!(colder_k < 4.0 * per_hour_k, "{colder_k}");
        assert!(colder_k > 0.6 * 4.0 * per_hour_k, "{colder_k}");
        capacities_j_per_k.push(lost_j(&iced, "ice display") / (4.0 * per_hour_k));
    }
    // The ice takes what cools 200 L of sea water, 1023 kg/m³ and 4.0 kJ/(kg K), and its panes at that rate.
    for capacity in capacities_j_per_k {
        assert!(
            (0.2 * 1023.0 * 4000.0..1.1 * 0.2 * 1023.0 * 4000.0).contains(&capacity),
            "{capacity}"
        );
    }
}

#[test]
fn wrapping_the_sides_lowers_what_they_lose_and_nothing_else() {
    let (plain, wrapped) = (unplugged(), done("does = \"wrap the sides\""));
    assert!(lost_j(&wrapped, "sides display") < 0.6 * lost_j(&plain, "sides display"));
    assert!(lost_j(&wrapped, "bottom display") > lost_j(&plain, "bottom display"));
    assert!(end_c(&wrapped) > end_c(&plain));
    let thicker = done("does = \"wrap the sides\", wrap = \"1 m² K/W\"");
    assert!(end_c(&thicker) > end_c(&wrapped));
}

#[test]
fn a_lifted_lid_lets_the_water_evaporate() {
    let (plain, lifted) = (unplugged(), done("does = \"lift the lid\""));
    assert!(lifted.evaporated_kg > 3.0 * plain.evaporated_kg);
    assert!(end_c(&lifted) < end_c(&plain) - 0.2);
}

#[test]
fn a_room_is_cooled_bit_by_bit() {
    let slow = done("does = \"cool the room\", by = \"6 K\", per_hour = \"0.5 K\"");
    assert!((slow.room.lowest_c - 20.0).abs() < 0.1, "{}", slow.room.lowest_c);
    let fast = done("does = \"cool the room\", by = \"6 K\", per_hour = \"6 K\"");
    assert!((fast.room.lowest_c - 17.0).abs() < 1e-9, "{}", fast.room.lowest_c);
    assert!(end_c(&fast) < end_c(&slow) && end_c(&slow) < end_c(&unplugged()));
}

#[test]
fn unplugging_one_of_two_heaters_leaves_the_other() {
    let act = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nacts = { after = \"1 h\", does = \"unplug heater\", heater = \"spare\" }\n";
    let spare = "[[heater]]\nname = \"spare\"\npower = \"100 W\"\ntank = \"display\"\nchain = [\"relay\"]\n";
    let scores = on_off(&tank(&format!("{spare}{act}")), &[weld(DAY)]);
    let acted_ms = scores.acted_ms.expect("acted");
    let on_frac = |at: usize| scores.heaters[at].on_frac;
    let after_frac = (4 * DAY - acted_ms) as f64 / (4 * DAY) as f64;
    assert!((on_frac(0) - on_frac(1) - after_frac).abs() < 1e-6);
}

#[test]
fn acting_by_itself_beats_an_alert_that_nobody_hears_at_night() {
    let asleep = r#"
[[person]]
name     = "keeper"
quiet    = { from = "22:00", to = "07:00" }
response = { median = "10 min", spread = 1 }
"#;
    let watch = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nneeds = [\"power\", \"network\"]\n";
    let people = tank(&format!(
        "{watch}acts = {{ does = \"unplug heaters\" }}\n{asleep}"
    ));
    let itself = tank(&format!(
        "{watch}acts = {{ who = \"itself\", does = \"unplug heaters\" }}\n{asleep}"
    ));
    // Welded an hour before midnight.
    let faults = [weld(DAY - HOUR)];
    let (by_people, by_itself) = (on_off(&people, &faults), on_off(&itself, &faults));
    assert_eq!(by_itself.acted_ms, by_itself.first_alert_ms);
    assert!(by_people.acted_ms.is_some_and(|at_ms| at_ms >= DAY + 7 * HOUR));
    assert!(by_itself.tanks[0].highest_c < 27.3);
    assert!(by_people.tanks[0].highest_c > by_itself.tanks[0].highest_c + 3.0);
    // A dead line keeps the alert in the house, not the act.
    let down = super::fault(0, tepid_sim::scenario::Effect::NetworkDown);
    let alone = on_off(&itself, &[faults[0].clone(), down]);
    assert_eq!(alone.first_alert_ms, None);
    assert_eq!(alone.acted_ms, by_itself.acted_ms);
}

#[test]
fn an_act_ends_when_its_time_is_over() {
    let watch = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nacts = { after = \"10 min\", does = \"unplug heaters\", lasts = \"2 h\" }\n";
    let short = on_off(&tank(watch), &[weld(DAY)]);
    let for_good = on_off(&tank(&watch.replace(", lasts = \"2 h\"", "")), &[weld(DAY)]);
    assert_eq!(short.acted_ms, for_good.acted_ms);
    // The weld is still there: it gets too warm again, and somebody comes again.
    assert!(short.heaters[0].on_frac > for_good.heaters[0].on_frac + 0.05);
    assert!(short.alerts > 1 && for_good.alerts == 1);
    assert!(for_good.acted_ms.is_some_and(|at_ms| at_ms % MINUTE == 0));
}

#[test]
fn what_people_may_do_about_an_alert_has_its_caution_in_every_result() {
    let acts = [
        ("unplug heaters", Caution::DryHands, "dry hands"),
        ("unplug heater", Caution::DryHands, "never reach over"),
        ("sealed ice", Caution::SealedIce, "at a limited rate"),
        (
            "wrap the sides",
            Caution::WrappedSides,
            "Blankets on the sides only",
        ),
        ("wrap the sides", Caution::NoFlames, "flames near a tank"),
    ];
    for (does, caution, part) in acts {
        let mut act = format!("{{ after = \"1 h\", does = \"{does}\"");
        if does == "unplug heater" {
            act += ", heater = \"left\"";
        }
        if matches!(does, "sealed ice" | "wrap the sides") {
            act += ", tank = \"display\"";
        }
        act += " }";
        let scenario = scenario("spare-room-winter", &[("watch.too warm.acts", &act)]);
        let said = for_equipment(&scenario);
        assert!(said.iter().any(|one| one.caution == Caution::AlertsMayFail));
        let found = said.iter().find(|one| one.caution == caution);
        assert!(found.is_some_and(|one| one.text.contains(part)), "{does}");
    }
}

#[test]
fn a_generator_helps_once_somebody_has_heard_of_the_outage_and_started_it() {
    let generator = "[[backup]]\nname = \"generator\"\nfuel = \"100 h\"\nlimit = \"1 kW\"\nfeeds = [\"controller\", \"heater main\"]\n";
    let outside = "[[watch]]\nno_sign_of_life = true\nlasting = \"10 min\"\nacts = { after = \"2 h\", does = \"start a generator\" }\n";
    let cold = "[[watch]]\nprobe = \"main\"\nbelow = \"24.5 °C\"\nneeds = [\"power\"]\nacts = { after = \"2 h\", does = \"start a generator\" }\n";
    let lowest_c = |watch: &str| {
        let scenario = tank(&format!("{watch}{generator}"));
        let scores = on_off(&scenario, &[super::outage()]);
        (scores.acted_ms, scores.tanks[0].lowest_c)
    };
    let (acted_ms, kept_c) = lowest_c(outside);
    assert_eq!(acted_ms, Some(DAY + 2 * HOUR + 10 * MINUTE));
    // Its own box cannot tell of the outage it stands in.
    let (never, lost_c) = lowest_c(cold);
    assert_eq!(never, None);
    assert!(kept_c > lost_c + 0.3, "{kept_c} {lost_c}");
    assert!(kept_c > 24.8, "{kept_c}");
}
