//! Fans and chillers.

use super::{Course, course_of};
use tepid_sim::scores::Scores;

/// The tank in a hot room, with a fan or a chiller that a relay commands.
fn hot(cooler: &str, fault: &str) -> (Scores, Course) {
    let tank = super::TANK
        .replace("temperature = \"20 °C\"", "temperature = \"29 °C\"")
        .replace("cover = \"lid\"", "cover = \"open\"");
    let relay = "[[contact]]\nname = \"cool relay\"\nkind = \"relay\"\nrole = \"cool\"\n";
    course_of(&format!("{tank}{relay}{cooler}{fault}"), "heat-and-fan")
}

const FAN: &str = "[[fan]]\nname = \"fan\"\ntank = \"display\"\npower = \"5 W\"\nspeed = \"2 m/s\"\nchain = [\"cool relay\"]\n";
const CHILLER: &str =
    "[[chiller]]\nname = \"chiller\"\ntank = \"display\"\ncapacity = \"300 W\"\nchain = [\"cool relay\"]\n";

#[test]
fn a_fan_that_stops_lets_the_water_warm_though_its_contact_is_closed() {
    let (healthy, _) = hot(FAN, "");
    let (scores, _) = hot(FAN, "[[fault]]\nwhat = \"fan stopped\"\nfan = \"fan\"\n");
    assert!(scores.tanks[0].highest_c > healthy.tanks[0].highest_c + 0.5);
    assert!(scores.fan_energy_kwh[0] < 0.5 * healthy.fan_energy_kwh[0]);
}

#[test]
fn a_dead_chiller_draws_nothing_and_a_blocked_one_draws_as_much_for_less() {
    let (healthy, _) = hot(CHILLER, "");
    let (dead, _) = hot(
        CHILLER,
        "[[fault]]\nwhat = \"chiller dead\"\nchiller = \"chiller\"\n",
    );
    let (blocked, _) = hot(
        CHILLER,
        "[[fault]]\nwhat = \"chiller blocked\"\nchiller = \"chiller\"\nleft = \"10 %\"\n",
    );
    let kwh = |scores: &Scores| scores.chillers[0].energy_kwh;
    assert!(
        healthy.tanks[0].highest_c < 26.5,
        "{}",
        healthy.tanks[0].highest_c
    );
    assert!(dead.tanks[0].end_c > blocked.tanks[0].end_c && blocked.tanks[0].end_c > healthy.tanks[0].end_c);
    assert!(kwh(&dead) < kwh(&healthy) && kwh(&blocked) > 2.0 * kwh(&healthy));
    for scores in [&healthy, &dead, &blocked] {
        assert!(scores.heat_balance.error_frac < 1e-9);
    }
}
