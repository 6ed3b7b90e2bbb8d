//! One run.

use super::{Column, WIDTH, assumed, cautions, facts, grid, livestock, one_decimal, range, replay};
use crate::cautions::{DRY_BODY_C, RUN_DRY};
use crate::records::{DoseResult, FaultCase, LevelResult, RecoveryResult, RunResult, RunScores, TankResult};
use crate::wording::{
    Units, at, dose, duration, energy, money, no_acquittal_of, or_missing, oxygen_facts, past_dose, prices,
    restated, salinity, share, span, spanned, wrapped, years,
};

/// A level that moved by less than this share of its height is not told. A choice, unitless.
const NOTICEABLE_FRAC: f64 = 0.02;

/// The scores of one run.
#[must_use]
pub fn run(record: &RunResult, units: Units) -> String {
    let mut text = heading(
        [
            &record.scenario,
            &record.title,
            &record.strategy,
            &record.settings,
        ],
        record.fault.as_ref(),
        (record.seed, record.replicate),
        units,
    );
    if let Some(failure) = &record.failure {
        text += &format!("\n{}", wrapped("", &format!("The run failed: {failure}"), WIDTH));
    }
    if let Some(scores) = &record.scores {
        text += &of_scores(scores, record, units);
    }
    if let Some(replayed) = &record.replay {
        text += &replay::replay(replayed, units);
    }
    text += &range::warnings(&record.warnings, units);
    text += &assumed(&record.assumptions, units);
    text += &cautions(&record.cautions);
    text
}

/// What was run: scenario and title, strategy and settings, the fault, seed and replicate.
pub(super) fn heading(
    [scenario, title, strategy, settings]: [&str; 4],
    fault: Option<&FaultCase>,
    seed: (u64, u64),
    units: Units,
) -> String {
    let mut text = wrapped("", &format!("{}: {}", scenario, title), WIDTH);
    text += &wrapped("", &format!("{}: {}", strategy, restated(settings, units)), WIDTH);
    let fault = fault.map_or_else(
        || "No fault added".to_owned(),
        |fault| {
            let began = fault
                .began_h
                .map_or_else(String::new, |began_h| format!(", from {}", at(began_h)));
            if fault.case == fault.set {
                format!("Fault: {}{began}", fault.case)
            } else {
                format!("Fault: {} ({}){began}", fault.case, fault.set)
            }
        },
    );
    text += &wrapped("", &fault, WIDTH);
    text += &format!("Seed {}, replicate {}\n", seed.0, seed.1);
    text
}

fn of_scores(scores: &RunScores, record: &RunResult, units: Units) -> String {
    let mut text = String::new();
    for tank in &scores.tanks {
        let worst = scores.tanks.len() > 1 && scores.worst_tank.as_ref() == Some(&tank.tank);
        let heading = if worst {
            format!("{} (the worst)", tank.tank)
        } else {
            tank.tank.clone()
        };
        text += &format!("\n{}", wrapped("", &heading, WIDTH));
        text += &facts(of_tank(tank, scores.scored_h, record, units));
    }
    if let Some(past) = scores.past_dose {
        text.push('\n');
        let told = past_dose(past, units);
        text += &facts(vec![("Past the dose".to_owned(), told)]);
    }
    if !scores.tanks.is_empty() {
        text.push('\n');
        text += &facts(what_a_dose_is(scores, record, units));
    }
    text.push('\n');
    text += &contacts(scores);
    text.push('\n');
    text += &heaters(scores, units);
    text.push('\n');
    let mut rest = vec![
        (
            "Electricity in all".to_owned(),
            format!("{}, everything that draws power", energy(scores.energy_kwh)),
        ),
        water_lost(scores.evaporated_kg, units),
        (
            "Alerts that got out".to_owned(),
            if scores.alerts == 0 {
                "none".to_owned()
            } else {
                scores.alerts.to_string()
            },
        ),
    ];
    if let Some(cost) = scores.cost {
        let tariff = record.tariff.as_ref();
        let at = tariff.map_or_else(String::new, |tariff| format!(", at {}", prices(tariff)));
        rest.insert(1, ("Cost".to_owned(), money(cost, tariff) + &at));
    }
    for fan in &scores.fans {
        rest.push((format!("Fan {}", fan.fan), energy(fan.energy_kwh)));
    }
    for chiller in &scores.chillers {
        let told = format!(
            "{}, on {} of the time, {} starts",
            energy(chiller.energy_kwh),
            share(chiller.on_frac),
            chiller.starts
        );
        rest.push((format!("Chiller {}", chiller.chiller), told));
    }
    for circuit in &scores.circuits {
        let highest = circuit
            .highest_a
            .map_or_else(|| "not metered".to_owned(), |amps| format!("at most {amps:.1} A"));
        let tripped = circuit.tripped_h.map_or_else(String::new, |at_h| {
            if at_h < 0.0 {
                ", BREAKER TRIPPED in the warm-up: all it feeds was dead from the start".to_owned()
            } else {
                format!(", BREAKER TRIPPED at {}", at(at_h))
            }
        });
        rest.push((
            format!("Circuit {}", circuit.circuit),
            format!("{highest}{tripped}"),
        ));
    }
    for backup in &scores.backups {
        let told = backup.ran_out_h.map_or_else(
            || "did not run out".to_owned(),
            |at_h| format!("RAN OUT at {}", at(at_h)),
        );
        rest.push((format!("Backup {}", backup.backup), told));
    }
    rest.extend(salinity(&scores.salinity).map(|told| ("Salinity".to_owned(), told)));
    rest.extend(levels(scores, units));
    let room = &scores.room;
    let computed = room.outdoors_c.map_or_else(String::new, |[lowest_c, highest_c]| {
        format!(
            ", computed from the building; outdoors {}",
            units.range(lowest_c, highest_c)
        )
    });
    let mut told = format!(
        "{}{computed}; at most {} humid",
        units.range(room.lowest_c, room.highest_c),
        share(room.highest_humidity_frac)
    );
    if room.saturated_h > 0.0 {
        told += &format!(", windows running wet for {}", duration(room.saturated_h));
    }
    for (what, moved_kwh) in [
        ("heating gave", room.heating_kwh),
        ("cooling took", room.cooling_kwh),
    ] {
        if let Some(moved_kwh) = moved_kwh.filter(|moved_kwh| *moved_kwh > 0.0) {
            told += &format!("; its {what} {moved_kwh:.1} kWh of heat");
        }
    }
    rest.push(("Room".to_owned(), told));
    rest.extend(alerts(scores));
    if let Some(lead_h) = scores.warning_lead_h {
        let told = if lead_h < 0.0 {
            format!("{} too late", duration(-lead_h))
        } else {
            format!("{} before the dose was used up", duration(lead_h))
        };
        rest.push(("Warning".to_owned(), told));
    }
    rest.push((
        "Heat balance".to_owned(),
        or_missing(
            Some(scores.heat_balance.error_frac).filter(|error| error.is_finite()),
            |error_frac| format!("closes to {error_frac:.1e} of the heat turned over"),
        ),
    ));
    text += &facts(rest);
    text
}

/// What evaporated, net; where more condensed than evaporated, that.
fn water_lost(evaporated_kg: f64, units: Units) -> (String, String) {
    let name = if evaporated_kg < 0.0 {
        "Condensed"
    } else {
        "Evaporated"
    };
    (name.to_owned(), units.volume(evaporated_kg.abs()))
}

/// Water levels that moved by more than [`NOTICEABLE_FRAC`].
fn levels(scores: &RunScores, units: Units) -> impl Iterator<Item = (String, String)> {
    let moved = |level: &&LevelResult| {
        let by_m = (level.full_m - level.lowest_m).max(level.highest_m - level.full_m);
        by_m > NOTICEABLE_FRAC * level.full_m
    };
    scores.levels.iter().filter(moved).map(move |level| {
        let span = spanned([level.lowest_m, level.highest_m], |height_m| {
            units.height(height_m)
        });
        let over = if level.run_over_l > 0.0 {
            format!(
                "; {} ran over its brim onto the floor",
                units.volume(level.run_over_l)
            )
        } else {
            String::new()
        };
        let told = format!("{span} high, {} as built{over}", units.height(level.full_m));
        (format!("Water in {}", level.tank), told)
    })
}

/// How doses count, and the unit of what lies beyond a line, where there is any.
fn what_a_dose_is(scores: &RunScores, record: &RunResult, units: Units) -> Vec<(String, String)> {
    let mut told = livestock::dose(&record.livestock, units);
    let sides = scores.tanks.iter().flat_map(|tank| [&tank.hot, &tank.cold]);
    if sides
        .map(|side| side.beyond_k_h)
        .any(|beyond_k_h| beyond_k_h > 0.0)
    {
        let unit = units.degree_hour_unit();
        told.push((
            "",
            format!("{unit}: degrees beyond the mildest danger line times the hours they last"),
        ));
    }
    let beyond = scores
        .tanks
        .iter()
        .filter_map(|tank| Some((tank, tank.beyond_lines(&record.livestock)?)))
        .max_by(|a, b| a.1.by_k().total_cmp(&b.1.by_k()));
    if let Some((tank, beyond)) = beyond {
        told.push(("", no_acquittal_of(&tank.tank, beyond, units)));
    }
    told.into_iter()
        .map(|(name, value)| (name.to_owned(), value))
        .collect()
}

/// A happening from which the water came back, or did not; what goes on to the end is nothing to recover from yet.
fn of_recovery(recovery: Option<&RecoveryResult>, end_c: f64, band_c: [f64; 2]) -> String {
    match recovery {
        None if !(band_c[0]..=band_c[1]).contains(&end_c) => {
            "none: outside the band at the end, through what was still going on".to_owned()
        }
        None => "none needed".to_owned(),
        Some(recovery) if recovery.complete => {
            format!("{} after {}", duration(recovery.length_h), recovery.after)
        }
        Some(recovery) => format!(
            "not within {} after {}",
            duration(recovery.length_h),
            recovery.after
        ),
    }
}

fn of_tank(tank: &TankResult, scored_h: f64, record: &RunResult, units: Units) -> Vec<(String, String)> {
    let outside_h = tank.above_band_h + tank.below_band_h;
    let livestock = &record.livestock;
    let per_hour = of_change(tank.fastest_per_hour_k, livestock.fastest_per_hour_k, units);
    let per_day = of_change(tank.fastest_per_day_k, livestock.fastest_per_day_k, units);
    let oxygen = tank.oxygen.iter().flat_map(oxygen_facts);
    [
        (
            "Inside the band",
            format!(
                "{} of {} (band {})",
                share(1.0 - outside_h / scored_h),
                duration(scored_h),
                units.range(record.band_c[0], record.band_c[1])
            ),
        ),
        ("Above the band", duration(tank.above_band_h)),
        ("Below the band", duration(tank.below_band_h)),
        ("Mean", units.temperature(tank.mean_c)),
        (
            "Highest",
            format!(
                "{} at {}",
                units.temperature(tank.highest_c),
                at(tank.highest_at_h)
            ),
        ),
        (
            "Lowest",
            format!("{} at {}", units.temperature(tank.lowest_c), at(tank.lowest_at_h)),
        ),
        ("At the end", units.temperature(tank.end_c)),
        ("Overshoot", units.difference(tank.overshoot_k)),
        ("Undershoot", units.difference(tank.undershoot_k)),
        (
            "Deviation from the target, rms",
            units.difference(tank.rms_deviation_k),
        ),
        ("Fastest change in an hour", per_hour),
        ("Fastest change in a day", per_day),
        (
            "Longest recovery",
            of_recovery(tank.recovery.as_ref(), tank.end_c, record.band_c),
        ),
        ("Hot dose used", of_dose(&tank.hot, units)),
        ("Cold dose used", of_dose(&tank.cold, units)),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .chain(oxygen)
    .collect()
}

/// The fastest change, beside what is borne where that is stated.
fn of_change(fastest_k: Option<f64>, borne_k: Option<f64>, units: Units) -> String {
    let told = or_missing(fastest_k, |k| units.difference(k));
    match (fastest_k, borne_k) {
        (Some(fastest_k), Some(borne_k)) if fastest_k > borne_k => {
            format!("{told}: TOO FAST, at most {} is borne", units.difference(borne_k))
        }
        (_, Some(borne_k)) => format!("{told}, at most {} is borne", units.difference(borne_k)),
        (_, None) => told,
    }
}

fn of_dose(side: &DoseResult, units: Units) -> String {
    let used_up = side
        .used_up_h
        .map_or_else(String::new, |at_h| format!(", used up at {}", at(at_h)));
    let margin = side.margin_k.map_or_else(String::new, |margin_k| {
        let to_line = if margin_k < 0.0 { "beyond" } else { "short of" };
        format!(
            "; {} {to_line} the mildest danger line",
            units.difference(margin_k.abs())
        )
    });
    let beyond = if side.beyond_k_h > 0.0 {
        format!("; {} beyond it in all", units.degree_hours(side.beyond_k_h))
    } else {
        String::new()
    };
    format!("{} of 1{used_up}{margin}{beyond}", dose(side.used))
}

fn contacts(scores: &RunScores) -> String {
    grid(
        &[
            Column::words("Contact", 24),
            Column::figures("Closings", 10),
            Column::figures("A day", 9),
            Column::figures("Closed", 10),
            Column::figures("Shortest on", 14),
            Column::figures("Shortest off", 15),
            Column::words("Life", 18),
        ],
        scores
            .contacts
            .iter()
            .map(|contact| {
                vec![
                    contact.contact.clone(),
                    contact.closings.to_string(),
                    one_decimal(contact.closings_per_day),
                    share(contact.closed_frac),
                    or_missing(contact.shortest_on_s, span),
                    or_missing(contact.shortest_off_s, span),
                    if contact.wears {
                        or_missing(contact.life_years, years)
                    } else {
                        "does not wear".to_owned()
                    },
                ]
            })
            .collect(),
    )
}

fn heaters(scores: &RunScores, units: Units) -> String {
    let mut text = grid(
        &[
            Column::words("Heater", 24),
            Column::figures("Electricity", 14),
            Column::figures("On", 10),
            Column::figures("Hottest body", 16),
            Column::words("", 1),
        ],
        scores
            .heaters
            .iter()
            .map(|heater| {
                vec![
                    heater.heater.clone(),
                    energy(heater.energy_kwh),
                    share(heater.on_frac),
                    units.temperature(heater.hottest_body_c),
                    String::new(),
                ]
            })
            .collect(),
    );
    for heater in scores
        .heaters
        .iter()
        .filter(|heater| heater.hottest_body_c > DRY_BODY_C)
    {
        text += &wrapped("", &format!("{}: {RUN_DRY}", heater.heater), WIDTH);
    }
    for heater in scores.heaters.iter().filter(|heater| heater.in_air_h > 0.0) {
        let told = format!(
            "{}: out of the water (or in a pipe without flow) for {}",
            heater.heater,
            duration(heater.in_air_h)
        );
        text += &wrapped("", &told, WIDTH);
    }
    text
}

/// Who heard of what went wrong, and what was done.
fn alerts(scores: &RunScores) -> Vec<(String, String)> {
    let mut told = Vec::new();
    if scores.nuisance_alerts == 0 && scores.alerts > 0 {
        told.push(("Nuisance alerts".to_owned(), "none".to_owned()));
    }
    if scores.nuisance_alerts > 0 {
        let value = format!(
            "{}, with nothing broken and no tank in danger: {:.0} a year",
            scores.nuisance_alerts, scores.nuisance_alerts_per_year
        );
        told.push(("Nuisance alerts".to_owned(), value));
    }
    if let Some(at_h) = scores.first_alert_h {
        told.push(("First alert".to_owned(), format!("at {}", at(at_h))));
        let value = match (scores.heard_h, &scores.heard_by) {
            (Some(heard_h), Some(by)) => format!("{by}, at {}", at(heard_h)),
            _ => "nobody".to_owned(),
        };
        told.push(("Heard by".to_owned(), value));
    }
    if let Some(at_h) = scores.acted_h {
        told.push(("Somebody acted".to_owned(), format!("at {}", at(at_h))));
    }
    told
}
