//! What comes out of a window, and when that is known.

use tepid_output::records::{BeyondLines, Livestock};
use tepid_sim::run::{Glance, TankGlance};
use tepid_sim::scenario::Effect;
use tepid_sim::scores::{Dose, LevelScores, Scores, TankScores};
use tepid_sim::time::{HOUR, Millis};

use super::history::Way;

/// Water so much farther out of the band than with nothing broken is noticed, K. An assumption: a look at the thermometer.
const NOTICED_K: f64 = 0.5;

/// Water lower by this share of its height than as built is noticed, as is water on the floor. An assumption: a look at the tank.
const LOWER_FRAC: f64 = 0.1;

/// Water that has kept its band for so long since the repair has recovered, ms. A choice: water that nothing heats leaves a band of a kelvin within
/// it wherever it could use up a dose within the rest of three days.
const RECOVERED_AFTER_MS: Millis = 6 * HOUR;

/// What came out of a window.
#[derive(Debug, Clone)]
pub(super) struct Outcome {
    pub(super) lost: Option<Way>,
    /// An alert got out, or somebody acted on one.
    pub(super) alerts: bool,
    /// Somebody acted on an alert.
    pub(super) acted: bool,
    /// The water went where somebody looks twice.
    pub(super) noticed: bool,
    /// Farther out than the danger lines speak of, with the dose not used up and by what broke.
    pub(super) beyond_lines: Option<BeyondLines>,
    pub(super) idle: Idle,
}

/// What did nothing in a run: breaking in such a way would not have changed it.
#[derive(Debug, Clone)]
pub(super) struct Idle {
    /// Contacts that never opened.
    closed: Vec<bool>,
    /// Contacts that never closed.
    open: Vec<bool>,
    /// Heaters that never drew.
    heaters: Vec<bool>,
    /// Fans that never drew.
    fans: Vec<bool>,
}

impl Idle {
    fn of(scores: &Scores) -> Self {
        let contacts = || scores.contacts.iter();
        Self {
            closed: contacts().map(|contact| contact.closed_frac == 1.0).collect(),
            open: contacts().map(|contact| !contact.ever_closed).collect(),
            heaters: scores
                .heaters
                .iter()
                .map(|heater| heater.energy_kwh == 0.0)
                .collect(),
            fans: scores.fan_energy_kwh.iter().map(|kwh| *kwh == 0.0).collect(),
        }
    }

    /// Whether this would have changed nothing.
    pub(super) fn bears(&self, effect: Effect) -> bool {
        match effect {
            Effect::ContactWelded(contact) => self.closed[contact.0],
            Effect::ContactStuckOpen(contact) => self.open[contact.0],
            Effect::HeaterDead(heater) => self.heaters[heater.0],
            Effect::FanStopped(fan) => self.fans[fan.0],
            _ => false,
        }
    }
}

/// The time with nothing broken.
pub(super) fn unbroken(sound: &Scores) -> Outcome {
    Outcome {
        lost: None,
        alerts: false,
        acted: sound.acted_ms.is_some(),
        noticed: false,
        beyond_lines: None,
        idle: Idle::of(sound),
    }
}

/// What broken parts did beside the same time with nothing broken.
pub(super) fn judged(broken: &Scores, sound: &Scores, band_c: (f64, f64), livestock: &Livestock) -> Outcome {
    let mut outcome = Outcome {
        lost: None,
        alerts: broken.alerts > sound.alerts || (broken.acted_ms.is_some() && sound.acted_ms.is_none()),
        acted: broken.acted_ms.is_some(),
        noticed: false,
        beyond_lines: None,
        idle: Idle::of(broken),
    };
    for (with, without) in broken.tanks.iter().zip(&sound.tanks) {
        let taken = |side: fn(&TankScores) -> &Dose| {
            side(with).used_up_ms.is_some() && side(without).used_up_ms.is_none()
        };
        let warm = taken(|tank| &tank.hot).then_some(Way::Warm);
        let cold = taken(|tank| &tank.cold).then_some(Way::Cold);
        outcome.lost = outcome.lost.or(warm).or(cold);
        outcome.beyond_lines = farther(outcome.beyond_lines, beyond_lines(with, without, livestock));
        let above_k = |tank: &TankScores| (tank.highest_c - band_c.1).max(0.0);
        let below_k = |tank: &TankScores| (band_c.0 - tank.lowest_c).max(0.0);
        outcome.noticed |=
            above_k(with) - above_k(without) > NOTICED_K || below_k(with) - below_k(without) > NOTICED_K;
    }
    for (with, without) in broken.levels.iter().zip(&sound.levels) {
        let low = |level: &LevelScores| level.lowest_m < (1.0 - LOWER_FRAC) * level.full_m;
        let spilt = |level: &LevelScores| level.run_over_m3 > 0.0;
        outcome.noticed |= (low(with) && !low(without)) || (spilt(with) && !spilt(without));
    }
    if outcome.lost.is_some() {
        outcome.beyond_lines = None;
    }
    outcome
}

/// Where what broke took the water of a tank farther out than the lines speak of.
fn beyond_lines(with: &TankScores, without: &TankScores, livestock: &Livestock) -> Option<BeyondLines> {
    let of = |tank: &TankScores| {
        livestock.beyond_lines(
            (Some(tank.highest_c), tank.hot.used_up_ms.is_some()),
            (Some(tank.lowest_c), tank.cold.used_up_ms.is_some()),
        )
    };
    let found = of(with)?;
    let anyway = of(without).is_some_and(|sound| sound.hot == found.hot);
    (!anyway).then_some(found)
}

/// The one of two that lies farther beyond its lines.
pub(super) fn farther(one: Option<BeyondLines>, other: Option<BeyondLines>) -> Option<BeyondLines> {
    let both = one.into_iter().chain(other);
    both.max_by(|a, b| a.by_k().total_cmp(&b.by_k()))
}

/// Watches a window until its outcome is known: the dose is used up, or what broke is repaired and the water has recovered.
#[derive(Debug)]
pub(super) struct Verdict<'a> {
    sound: &'a Scores,
    band_c: (f64, f64),
    /// When what broke is repaired, ms; `None`: not within the window.
    repaired_ms: Option<Millis>,
    /// Since when the water has kept its band, ms.
    kept_since_ms: Option<Millis>,
}

impl<'a> Verdict<'a> {
    pub(super) fn new(sound: &'a Scores, band_c: (f64, f64), repaired_ms: Option<Millis>) -> Self {
        // Where the same time is eventful with nothing broken, it has to be seen to its end.
        let unused = |tank: &TankScores| tank.hot.used == 0.0 && tank.cold.used == 0.0;
        let quiet = sound.alerts == 0 && sound.acted_ms.is_none() && sound.tanks.iter().all(unused);
        Self {
            sound,
            band_c,
            repaired_ms: repaired_ms.filter(|_| quiet),
            kept_since_ms: None,
        }
    }

    pub(super) fn is_known(&mut self, seen: &Glance) -> bool {
        let taken = |(with, without): (&TankGlance, &TankScores)| {
            (with.hot_used_up && without.hot.used_up_ms.is_none())
                || (with.cold_used_up && without.cold.used_up_ms.is_none())
        };
        if seen.tanks.iter().zip(&self.sound.tanks).any(taken) {
            return true;
        }
        let Some(repaired_ms) = self.repaired_ms.filter(|repaired_ms| *repaired_ms <= seen.at_ms) else {
            return false;
        };
        let (low_c, high_c) = self.band_c;
        // Heaters that somebody unplugged stay so: what becomes of them is seen at the end alone.
        let keeps = !seen.acted
            && seen
                .tanks
                .iter()
                .all(|tank| (low_c..=high_c).contains(&tank.water_c));
        if !keeps {
            self.kept_since_ms = None;
            return false;
        }
        let since_ms = *self.kept_since_ms.get_or_insert(seen.at_ms);
        seen.at_ms - since_ms.max(repaired_ms) >= RECOVERED_AFTER_MS
    }
}
