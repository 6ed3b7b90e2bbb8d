//! What to test, how without endangering livestock, what should be seen, how often, and when a part is replaced. The tests are common practice, no source.

use tepid_output::records::CardTrial;
use tepid_output::wording::enumerated;
use tepid_sim::quantity::{Kind, System, print, print_millis};
use tepid_sim::scenario::{
    CalendarDate, ContactKind, Counted, PartLife, ProbePurpose, Reset, Role, Scenario, WatchRule, called,
};
use tepid_sim::scores::{DAYS_PER_YEAR_D, Scores};
use tepid_sim::time::days;

use super::dates::{after, text};

/// Days from one test to the next where none is stated. Common practice, no source: what protects from current and tells people monthly, the rest quarterly.
const MONTHLY_D: u32 = 30;
const QUARTERLY_D: u32 = 90;
const YEARLY_D: u32 = 365;

/// A part is replaced by when this share of its like has failed. A choice.
const REPLACED_AT_FRAC: f64 = 0.1;

/// How far a cup of water is beside a line, K. A choice: more than a thermometer is off.
const CUP_K: f64 = 1.0;

/// The lives of parts and the run that says how often contacts close.
pub(super) struct Wear<'a> {
    pub lives: &'a [PartLife],
    pub scores: &'a Scores,
}

/// Kinds of lives that contacts have.
const CONTACTS: &[&str] = &[
    "relay",
    "solid-state",
    "thermostat",
    "cut-out",
    "residual-current",
    "breaker",
];

/// What a test is before its dates.
struct Trial {
    part: String,
    /// Name and kinds by which lives know it; `None`: it has no life.
    life: Option<(String, &'static [&'static str])>,
    how: String,
    wanted: String,
    usual_every_d: u32,
}

/// Every part that has something to test.
pub(super) fn trials(scenario: &Scenario, wear: &Wear<'_>, date: Option<CalendarDate>) -> Vec<CardTrial> {
    let mut all = probes(scenario);
    all.extend(contacts(scenario));
    all.extend(heaters(scenario));
    all.extend(alerts(scenario));
    all.extend(backups(scenario));
    all.into_iter().map(|trial| wear.dated(trial, date)).collect()
}

fn temperature(temp_c: f64) -> String {
    print(Kind::Temperature, temp_c, System::Metric)
}

fn probes(scenario: &Scenario) -> Vec<Trial> {
    let target_c = scenario.water.target_c;
    let control = |purpose| purpose == ProbePurpose::Control;
    let probes = scenario.probes.iter();
    probes
        .map(|probe| Trial {
            part: called("probe", &probe.name),
            life: Some((probe.name.clone(), &["probe"])),
            how: if control(probe.purpose) {
                format!(
                    "Heaters unplugged. The probe 10 min in a cup of water above {} beside a thermometer you trust; back into the tank, then the plugs.",
                    temperature(target_c + CUP_K)
                )
            } else {
                "10 min in a cup of warm water beside a thermometer you trust; back.".to_owned()
            },
            wanted: if control(probe.purpose) {
                "both within 0.5 K; the controller calls for no heat".to_owned()
            } else {
                "both within 0.5 K".to_owned()
            },
            usual_every_d: QUARTERLY_D,
        })
        .collect()
}

fn contacts(scenario: &Scenario) -> Vec<Trial> {
    let contacts = scenario.contacts.iter();
    contacts
        .filter_map(|contact| {
            let (how, wanted, usual_every_d) = match contact.kind {
                ContactKind::Relay | ContactKind::SolidState if contact.role == Some(Role::Heat) => (
                    "Setpoint 2 K down until the heater's lamp (or a power meter) goes out; then back.".to_owned(),
                    "lamp out, 0 W at the meter, within a minute or one cycle".to_owned(),
                    QUARTERLY_D,
                ),
                ContactKind::Relay | ContactKind::SolidState if contact.role == Some(Role::Cool) => (
                    "Setpoint of cooling 2 K down until it starts, then back.".to_owned(),
                    "it starts, and stops again".to_owned(),
                    QUARTERLY_D,
                ),
                ContactKind::Thermostat => (
                    "While the heater is on: turn the dial down until its lamp goes out; read scale and thermometer; turn it back.".to_owned(),
                    contact.own_sensing.map_or_else(
                        || "it goes out within 1 K of the thermometer".to_owned(),
                        |sensing| {
                            format!(
                                "it goes out within 1 K of the thermometer; back at {}",
                                temperature(sensing.opens_above_c)
                            )
                        },
                    ),
                    QUARTERLY_D,
                ),
                ContactKind::CutOut => {
                    let sensing = contact.own_sensing?;
                    let reset = match sensing.reset {
                        Reset::Automatic => "closes again in the tank",
                        Reset::Manual => "stays open until reset by hand",
                    };
                    (
                        format!(
                            "Its bulb into a cup of warm water of {}, never by heating the tank; 5 min, back, reset.",
                            temperature(sensing.opens_above_c + CUP_K)
                        ),
                        format!("heaters without power while it is in the cup; {reset}"),
                        MONTHLY_D,
                    )
                }
                ContactKind::ResidualCurrent => (
                    "Press its test button; switch on again; see that pumps start.".to_owned(),
                    "everything behind it dead at once; pumps and air back".to_owned(),
                    MONTHLY_D,
                ),
                _ => return None,
            };
            Some(Trial {
                part: contact.name.clone(),
                life: Some((contact.name.clone(), CONTACTS)),
                how,
                wanted,
                usual_every_d,
            })
        })
        .collect()
}

fn heaters(scenario: &Scenario) -> Vec<Trial> {
    let heaters = scenario.heaters.iter();
    heaters
        .map(|heater| Trial {
            part: called("heater", &heater.name),
            life: Some((heater.name.clone(), &["heater"])),
            how: "Unplug, leave it 15 min in the water, then look: cracks, lime, cable, suckers. Back, then plug in; meter at its next start.".to_owned(),
            wanted: format!(
                "nothing cracked or loose; {} within a tenth",
                print(Kind::Power, heater.power_w, System::Metric)
            ),
            usual_every_d: QUARTERLY_D,
        })
        .collect()
}

fn alerts(scenario: &Scenario) -> Vec<Trial> {
    let watches = scenario.watches.iter();
    watches
        .map(|watch| {
            let how = match watch.rule {
                WatchRule::Above { line_c, .. } => format!(
                    "Heaters unplugged; its probe into a cup of warm water of {}.",
                    temperature(line_c + CUP_K)
                ),
                WatchRule::Below { line_c, .. } => format!(
                    "Heaters unplugged; its probe into a cup of cool water of {}.",
                    temperature(line_c - CUP_K)
                ),
                WatchRule::Faster { .. } | WatchRule::Disagree { .. } => {
                    "Heaters unplugged; one probe from the tank into a cup of warm water.".to_owned()
                }
                WatchRule::NoReading { .. } => "Heaters unplugged; pull the probe's connector.".to_owned(),
                WatchRule::NoSignOfLife => "Pull the plug of what sends the sign of life.".to_owned(),
                _ => "Unplug the heater while it should be on; for one that should be off a lamp of like power in its socket.".to_owned(),
            };
            let names: Vec<&str> = watch
                .reaches
                .iter()
                .map(|person| scenario.persons[person.0].name.as_str())
                .collect();
            let who = if names.is_empty() { "somebody".to_owned() } else { enumerated(&names) };
            let lasting = if watch.lasting_ms > 0 {
                format!(" soon after {}", print_millis(watch.lasting_ms))
            } else {
                " within minutes".to_owned()
            };
            Trial {
                part: called("alert", &watch.name),
                life: None,
                how: format!("{how} Put all back before the plugs."),
                wanted: format!("it reaches {who}{lasting}"),
                usual_every_d: MONTHLY_D,
            }
        })
        .collect()
}

fn backups(scenario: &Scenario) -> Vec<Trial> {
    let backups = scenario.backups.iter().map(|backup| Trial {
        part: called("backup", &backup.name),
        life: Some((backup.name.clone(), &["backup"])),
        how: "Take the mains from it for 15 min with somebody beside it; heaters may stay cold so long."
            .to_owned(),
        wanted: format!(
            "{} run on it",
            enumerated(
                &backup
                    .feeds
                    .iter()
                    .map(|load| scenario.load_name(*load))
                    .collect::<Vec<_>>()
            )
        ),
        usual_every_d: QUARTERLY_D,
    });
    let air_pumps = scenario
        .air_pumps
        .iter()
        .filter(|pump| pump.battery_ms.is_some())
        .map(|pump| Trial {
            part: format!("battery of air pump {}", pump.name),
            life: None,
            how: "Pull its plug for an hour.".to_owned(),
            wanted: "it bubbles on as before".to_owned(),
            usual_every_d: QUARTERLY_D,
        });
    backups.chain(air_pumps).collect()
}

impl Wear<'_> {
    fn dated(&self, trial: Trial, date: Option<CalendarDate>) -> CardTrial {
        let known = trial.life.as_ref();
        let is_of = |life: &&PartLife| {
            known.is_some_and(|(name, kinds)| life.part == *name && kinds.contains(&life.kind.as_str()))
        };
        let lives: Vec<&PartLife> = self.lives.iter().filter(is_of).collect();
        let stated_d = lives
            .iter()
            .filter_map(|life| life.tested_every_ms)
            .min()
            .map(|every_ms| days(every_ms).round().max(1.0) as u32);
        let every_d = stated_d.unwrap_or(trial.usual_every_d);
        CardTrial {
            part: trial.part,
            how: trial.how,
            wanted: trial.wanted,
            every_d,
            stated: stated_d.is_some(),
            next: date.map(|date| text(after(date, every_d))),
            replace: self.replace(&lives, date),
        }
    }

    /// When a tenth of such parts have failed, by the soonest of those of its lives that wear out.
    fn replace(&self, lives: &[&PartLife], date: Option<CalendarDate>) -> Option<String> {
        let soonest = lives
            .iter()
            // A part that fails by chance alone is as good as new until it fails.
            .filter(|life| life.hazard.life.shape > 1.0)
            .filter_map(|life| {
                let hazard = &life.hazard;
                let left = hazard.life.quantile_from_age(REPLACED_AT_FRAC, hazard.age) - hazard.age;
                let years = match hazard.counted {
                    Counted::Years => left,
                    Counted::Closings(contact) => {
                        let a_day = self.scores.contacts.get(contact.0)?.closings_per_day;
                        left / (a_day * DAYS_PER_YEAR_D)
                    }
                };
                years.is_finite().then_some(years)
            })
            .reduce(f64::min);
        let soonest = soonest.filter(|years| *years <= LONGEST_YEARS)?;
        let in_days = (soonest * DAYS_PER_YEAR_D).round().max(1.0) as u32;
        Some(match date {
            Some(date) => format!("by {}", text(after(date, in_days))),
            None if in_days < YEARLY_D => {
                format!("after {} months", (in_days / 30).max(1))
            }
            None => format!("after {soonest:.1} years"),
        })
    }
}

/// Beyond this no date is told: the part is outlived by its tank, years. A choice.
const LONGEST_YEARS: f64 = 10.0;
