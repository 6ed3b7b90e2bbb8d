//! The parts of a scenario as histories need them: ways to be broken, lives in years.

use tepid_output::wording::figure;
use tepid_scenarios::described;
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Counted, Effect, Fails, Guard, Life, PartLife};
use tepid_sim::scores::DAYS_PER_YEAR_D;
use tepid_sim::time::{DAY, Millis, days};

use super::history::{ModeId, Part};

/// A way to be broken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mode {
    /// For people: "relay left welded".
    pub(super) name: String,
    /// What it does to the tank; nothing where it only keeps something from working when it is needed.
    pub(super) effects: Vec<Effect>,
    /// No alert gets out.
    pub(super) silences_alerts: bool,
    /// How long it lasts once somebody knows, ms.
    pub(super) replaced_after_ms: Millis,
}

/// The ways to be broken, and which of them each life may end in.
#[derive(Debug)]
pub(super) struct Parts {
    pub(super) modes: Vec<Mode>,
    /// For each life: the first mode and the second.
    ends: Vec<(ModeId, ModeId)>,
}

impl Parts {
    pub(super) fn of(lives: &[PartLife]) -> Self {
        let mut modes: Vec<Mode> = Vec::new();
        let mut place = |name: String, effects: Vec<Effect>, life: &PartLife| {
            let mode = Mode {
                name,
                silences_alerts: life.fails == Fails::Alerts,
                effects,
                replaced_after_ms: life.replaced_after_ms,
            };
            let known = modes.iter().position(|known| *known == mode);
            ModeId(known.unwrap_or_else(|| {
                modes.push(mode);
                modes.len() - 1
            }))
        };
        let ends = lives
            .iter()
            .map(|life| {
                let part = &life.part;
                match &life.fails {
                    Fails::Contacts { contacts, .. } => {
                        let what = if life.kind == "box" { "box" } else { "contact" };
                        let closed = if life.kind == "solid-state" {
                            "shorted"
                        } else {
                            "welded"
                        };
                        let mut all = |state, effect: fn(ContactId) -> Effect| {
                            let effects = contacts.iter().map(|contact| effect(*contact));
                            place(
                                described(&format!("{what} {state}"), part),
                                effects.collect(),
                                life,
                            )
                        };
                        (
                            all(closed, Effect::ContactWelded),
                            all("stuck open", Effect::ContactStuckOpen),
                        )
                    }
                    // What it would have to trip for is no part of the tank's heat.
                    Fails::Guard { guard, .. } => (
                        place(format!("{part} cannot trip"), Vec::new(), life),
                        place(format!("{part} tripped for nothing"), vec![tripped(*guard)], life),
                    ),
                    Fails::By(effect) => {
                        let mode = place(name(effect, part), vec![*effect], life);
                        (mode, mode)
                    }
                    Fails::Alerts => {
                        let mode = place("alerts no longer get out".to_owned(), Vec::new(), life);
                        (mode, mode)
                    }
                }
            })
            .collect();
        Self { modes, ends }
    }

    /// Everything that failures do to the tank.
    pub(super) fn effects(&self) -> impl Iterator<Item = Effect> + '_ {
        self.modes.iter().flat_map(|mode| mode.effects.iter().copied())
    }

    /// Parts with these lives (those given to [`Self::of`], or with other figures), where contacts close so often a year.
    pub(super) fn in_years(&self, lives: &[PartLife], closings_per_year: &[f64]) -> Vec<Part> {
        let years = |length_ms: Millis| days(length_ms) / DAYS_PER_YEAR_D;
        lives
            .iter()
            .zip(&self.ends)
            .enumerate()
            .map(|(index, (one, (first, second)))| {
                let alike = |other: &&PartLife| other.kind == one.kind && other.part == one.part;
                let earlier = lives[..index].iter().filter(alike).count();
                let (life, age_years) = in_years(one, closings_per_year);
                let share = match one.fails {
                    Fails::Contacts { welds_frac, .. } => welds_frac,
                    Fails::Guard { cannot_trip_frac, .. } => cannot_trip_frac,
                    _ => 1.0,
                };
                Part {
                    name: format!("{} {} {earlier}", one.kind, one.part),
                    life,
                    age_years,
                    modes: (*first, share, *second),
                    tested_every_years: one.tested_every_ms.map(years),
                    test_finds_frac: one.test_finds_frac,
                    replaced_after_years: years(one.replaced_after_ms),
                }
            })
            .collect()
    }
}

/// A life and an age in years. A contact that never closes does not wear out by closing.
fn in_years(one: &PartLife, closings_per_year: &[f64]) -> (Life, f64) {
    let per_year = match one.hazard.counted {
        Counted::Years => 1.0,
        Counted::Closings(ContactId(contact)) => closings_per_year[contact],
    };
    if per_year > 0.0 {
        (one.hazard.life.times(1.0 / per_year), one.hazard.age / per_year)
    } else {
        let never = Life {
            characteristic: f64::INFINITY,
            ..one.hazard.life
        };
        (never, 0.0)
    }
}

fn tripped(guard: Guard) -> Effect {
    match guard {
        Guard::Contact(contact) => Effect::ContactStuckOpen(contact),
        Guard::Circuit(circuit) => Effect::CircuitTripped(circuit),
    }
}

fn name(effect: &Effect, part: &str) -> String {
    let what = match effect {
        Effect::HeaterDead(_) => "heater dead",
        Effect::PumpStopped(_) => "pump stopped",
        Effect::FanStopped(_) => "fan stopped",
        Effect::ChillerDead(_) => "chiller dead",
        Effect::ProbeSilent(_) => "probe silent",
        Effect::ProbeOutOfWater(_) => "probe out of the water",
        Effect::BackupDead(_) => "backup dead",
        Effect::PowerOut => "outage",
        // The case of a fault set says it all.
        _ => return part.to_owned(),
    };
    described(what, part)
}

/// "100000 closings, shape 2; half welds": a life for people.
pub(super) fn life_in_words(one: &PartLife) -> String {
    let life = one.hazard.life;
    let unit = match one.hazard.counted {
        Counted::Years => "years",
        Counted::Closings(_) => "closings",
    };
    let mut words = if life.shape == 1.0 && one.hazard.counted == Counted::Years {
        format!("{} a year", figure(1.0 / life.characteristic))
    } else {
        format!(
            "{} {unit}, shape {}",
            figure(life.characteristic),
            figure(life.shape)
        )
    };
    if one.hazard.age > 0.0 {
        words += &format!(", {} {unit} old", figure(one.hazard.age));
    }
    match one.fails {
        Fails::Contacts { welds_frac, .. } => words += &format!(", {:.0} % weld", 100.0 * welds_frac),
        Fails::Guard { cannot_trip_frac, .. } => {
            words += &format!(", {:.0} % cannot trip", 100.0 * cannot_trip_frac);
        }
        Fails::By(_) | Fails::Alerts => {}
    }
    if let Some(every_ms) = one.tested_every_ms {
        words += &format!(", tested every {} d", figure(every_ms as f64 / DAY as f64));
    }
    words
}
