//! Which settings of a strategy to choose.

use super::{Column, WIDTH, assumed, cautions, grid, list};
use crate::records::{
    ALIKE_STEPS, RoomKind, Shown, Tuning, TuningFault, TuningHeldOut, TuningMerits, TuningPassedOver,
    TuningSetting, TuningUnsupported, WORST_DOSE,
};
use crate::wording::{Units, dose, enumerated, in_room_kind, no_acquittal, or_missing, restated, wrapped};

/// Most settings of the front that are shown.
const FRONT_SHOWN: usize = 12;

/// The recommendation with its reason, the settings that none beats, formulas, what is near, and runs that the search has not seen.
#[must_use]
pub fn tuning(record: &Tuning, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH);
    text += &wrapped(
        "",
        &format!(
            "{} settings of {} tried: {}",
            record.settings.len(),
            record.strategy,
            enumerated(&searched(record))
        ),
        WIDTH,
    );
    text.push('\n');
    for paragraph in recommendation(record) {
        text += &wrapped("", &restated(&paragraph, units), WIDTH);
    }
    text.push('\n');
    text += &front(record, units);
    text += &list(
        "Settings by a formula, beside what was found",
        formulas(record, units).iter().map(String::as_str),
    );
    if !record.near.is_empty() {
        text.push('\n');
        text += &near(record, units);
    }
    if !record.held_out.is_empty() {
        text.push('\n');
        text += &held_out(record, units);
    }
    text += &list(
        "What would change it most",
        changes(record).iter().map(String::as_str),
    );
    text + &assumed(&record.assumptions, units) + &cautions(&record.cautions)
}

fn searched(record: &Tuning) -> Vec<String> {
    let parameters = record.parameters.iter();
    parameters
        .map(|one| {
            format!(
                "{} {} to {} in steps of {}",
                one.parameter, one.from, one.to, one.step
            )
        })
        .collect()
}

/// A setting by its parameters: "deadband 0.3 K, minimum_on 0 s".
fn setting_words(record: &Tuning, setting: &TuningSetting) -> String {
    let named = record.parameters.iter().zip(&setting.values);
    let named: Vec<String> = named
        .map(|(parameter, value)| format!("{} {value}", parameter.parameter))
        .collect();
    named.join(", ")
}

/// What to set and why, or why nothing.
fn recommendation(record: &Tuning) -> Vec<String> {
    let Some(at) = record.recommended else {
        return not_any(record);
    };
    let (chosen, defaults) = (&record.settings[at], &record.settings[0]);
    let despite = despite(record);
    let mut told = Vec::new();
    if let Some(passed) = record.passed_over {
        told.extend(kept(record, passed));
    } else if at == 0 {
        told.push(format!(
            "Keep the defaults: {}. Of what was tried and may be recommended nothing is better.",
            setting_words(record, chosen)
        ));
    } else {
        told.push(format!("Set {}.", setting_words(record, chosen)));
        told.push(reason(&chosen.merits, &defaults.merits));
        told.extend(record.remarks.iter().map(|remark| format!("Mind: {remark}.")));
    }
    let past = record.safety.iter().find(|tried| tried.setting == at);
    let past = past.map_or(&[][..], |tried| tried.past.as_slice());
    told.push(if past.is_empty() {
        format!(
            "None of {} single faults uses up the dose with it{despite}.",
            record.faults_tried
        )
    } else {
        format!(
            "It is not safe, and nor are the defaults (--no-worse): of {} single faults{despite}{comma} these use up the dose under both, and no dial mends them: {}. \
             `tepid faults` names the smallest change that does.",
            record.faults_tried,
            words_of(past).join("; "),
            comma = if despite.is_empty() { "" } else { "," }
        )
    });
    told.extend(record.beyond_lines.as_ref().map(|beyond| {
        let which = format!("{}{}", beyond.case, in_room_kind(beyond.room));
        no_acquittal(&which, beyond.lines, Units::Metric)
    }));
    let better: Vec<String> = record
        .safety
        .iter()
        .filter(|tried| {
            tried.setting != at
                && record
                    .passed_over
                    .is_none_or(|passed| passed.setting != tried.setting)
        })
        .filter(|tried| record.settings[tried.setting].merits.steps < chosen.merits.steps)
        .filter_map(|tried| {
            let excused = |fault: &&TuningFault| !past.iter().any(|known| known.case == fault.case);
            Some(format!(
                "{} ({})",
                setting_words(record, &record.settings[tried.setting]),
                fault_words(tried.past.iter().find(excused)?)
            ))
        })
        .collect();
    if !better.is_empty() {
        told.push(format!(
            "Better by its merits, but not safe: {}.",
            enumerated(&better)
        ));
    }
    told.extend(unfit(record));
    told
}

/// What was left out when a setting was called safe.
fn despite(record: &Tuning) -> String {
    if record.despite.is_empty() {
        String::new()
    } else {
        format!(", leaving out {} as asked", enumerated(&record.despite))
    }
}

/// Why the defaults are kept although another setting came out better in the search.
fn kept(record: &Tuning, passed: TuningPassedOver) -> [String; 2] {
    let (defaults, other) = (&record.settings[0], &record.settings[passed.setting]);
    let gained = defaults.merits.steps - other.merits.steps;
    let why = match passed.why {
        TuningUnsupported::Alike => {
            format!("less than {ALIKE_STEPS} of a step counts as alike")
        }
        TuningUnsupported::NotShown => {
            let unseen = record.held_out.first();
            let interval = unseen
                .and_then(|held| held.steps.as_ref())
                .and_then(|steps| steps.t_interval);
            match interval {
                Some([low, high]) => format!(
                    "runs that the search has not seen do not show it ({low:+.2} to {high:+.2} steps beside the defaults)"
                ),
                None => "a single run that the search has not seen cannot show it (--held-out)".to_owned(),
            }
        }
    };
    [
        format!("Keep the defaults: {}.", setting_words(record, defaults)),
        format!(
            "In the search {} came out {gained:.2} steps better, but {why}.",
            setting_words(record, other)
        ),
    ]
}

fn fault_words(fault: &TuningFault) -> String {
    format!(
        "{}, {}{}",
        fault.case,
        if fault.hot { "too warm" } else { "too cold" },
        match fault.room {
            RoomKind::Scenario => "",
            RoomKind::Coldest => " in the year's coldest room",
            RoomKind::Warmest => " in the year's warmest room",
        }
    )
}

fn words_of(faults: &[TuningFault]) -> Vec<String> {
    faults.iter().map(fault_words).collect()
}

fn not_any(record: &Tuning) -> Vec<String> {
    let mut faults: Vec<&TuningFault> = Vec::new();
    for fault in record.safety.iter().flat_map(|tried| &tried.past) {
        if !faults.iter().any(|known| known.case == fault.case) {
            faults.push(fault);
        }
    }
    let words: Vec<String> = faults.iter().map(|fault| fault_words(fault)).collect();
    let mut sets: Vec<String> = Vec::new();
    for fault in &faults {
        let option = format!("--despite '{}'", fault.set);
        if !sets.contains(&option) {
            sets.push(option);
        }
    }
    let mut told = vec![
        format!(
            "No setting is recommended: each of the {} most promising ones, the defaults among them, is past the dose by a single fault{}.",
            record.safety.len(),
            despite(record)
        ),
        format!("What does it: {}.", words.join("; ")),
        "No dial mends that: `tepid faults` names the smallest change that does, and `tepid size` the heaters.".to_owned(),
    ];
    if !sets.is_empty() {
        told.push(format!(
            "To have one recommended all the same: --no-worse forgives what takes the defaults past the dose too; {} leaves out single kinds.",
            sets.join(" ")
        ));
    }
    told.extend(unfit(record));
    told
}

fn unfit(record: &Tuning) -> Option<String> {
    let rooms: Vec<&str> = record
        .unfit_rooms
        .iter()
        .map(|room| match room {
            RoomKind::Scenario => "the scenario's own room",
            RoomKind::Coldest => "the year's coldest room",
            RoomKind::Warmest => "the year's warmest room",
        })
        .collect();
    (!rooms.is_empty()).then(|| {
        format!(
            "In {} the dose is used up with nothing broken: that takes heating or cooling, not settings, and no fault is blamed for it there.",
            enumerated(&rooms)
        )
    })
}

/// What is better and what is paid for it.
fn reason(chosen: &TuningMerits, defaults: &TuningMerits) -> String {
    let (mut better, mut worse) = (Vec::new(), Vec::new());
    let mut put = |told: String, less: f64, more: f64| {
        if less < more {
            better.push(told);
        } else if less > more {
            worse.push(told);
        }
    };
    let tenths = |value: f64| (10.0 * value).round() / 10.0;
    let hundredths = |value: f64| (100.0 * value).round() / 100.0;
    if let (Some(own), Some(others)) = (chosen.closings_per_day, defaults.closings_per_day) {
        let times = if own <= 0.0 || others <= 0.0 {
            String::new()
        } else if own < others {
            format!(", contacts last {:.1} times as long", others / own)
        } else {
            format!(", contacts wear out {:.1} times as fast", own / others)
        };
        put(
            format!("{own:.1} closings a day instead of {others:.1}{times}"),
            tenths(own),
            tenths(others),
        );
    }
    put(
        format!(
            "{:.2} K of overshoot and undershoot instead of {:.2} K",
            chosen.swing_k, defaults.swing_k
        ),
        hundredths(chosen.swing_k),
        hundredths(defaults.swing_k),
    );
    put(
        format!(
            "{} a day outside the band instead of {}",
            outside(chosen.outside_band_h_per_day),
            outside(defaults.outside_band_h_per_day)
        ),
        hundredths(chosen.outside_band_h_per_day),
        hundredths(defaults.outside_band_h_per_day),
    );
    put(
        format!(
            "{:.2} kWh a day instead of {:.2} kWh",
            chosen.energy_kwh_per_day, defaults.energy_kwh_per_day
        ),
        hundredths(chosen.energy_kwh_per_day),
        hundredths(defaults.energy_kwh_per_day),
    );
    if let (Some(own), Some(others)) = (chosen.stuck_dose, defaults.stuck_dose) {
        put(
            format!(
                "{} of the dose with a contact welded instead of {}",
                dose(own),
                dose(others)
            ),
            hundredths(own),
            hundredths(others),
        );
    }
    match (better.is_empty(), worse.is_empty()) {
        (false, true) => format!(
            "Better than with the defaults: {}; nothing is worse.",
            better.join("; ")
        ),
        (false, false) => format!(
            "Better than with the defaults: {}. The price: {}.",
            better.join("; "),
            worse.join("; ")
        ),
        (true, false) => format!("Worse than with the defaults: {}.", worse.join("; ")),
        (true, true) => "It does what the defaults do.".to_owned(),
    }
}

fn outside(hours_per_day: f64) -> String {
    format!("{:.0} min", 60.0 * hours_per_day)
}

fn merit_columns(first: &'static str) -> [Column<'static>; 7] {
    [
        Column::words(first, 36),
        Column::figures("Over- and\nundershoot", 13),
        Column::figures("Outside\nband a day", 12),
        Column::figures("Closings\na day", 11),
        Column::figures("Dose when\nwelded", 11),
        Column::figures("kWh\na day", 8),
        Column::figures("Steps", 9),
    ]
}

fn merit_cells(first: String, merits: &TuningMerits, units: Units) -> Vec<String> {
    vec![
        restated(&first, units),
        units.difference(merits.swing_k),
        outside(merits.outside_band_h_per_day),
        or_missing(merits.closings_per_day, |closings| format!("{closings:.1}")),
        or_missing(merits.stuck_dose, dose),
        format!("{:.2}", merits.energy_kwh_per_day),
        format!("{:.2}", merits.steps),
    ]
}

/// The settings that none beats, best first, the defaults in any case.
fn front(record: &Tuning, units: Units) -> String {
    let mut shown: Vec<usize> = (0..record.settings.len())
        .filter(|at| record.settings[*at].pareto && *at != 0 && Some(*at) != record.recommended)
        .collect();
    let steps = |at: &usize| record.settings[*at].merits.steps;
    shown.sort_by(|a, b| steps(a).total_cmp(&steps(b)));
    let hidden = shown.len().saturating_sub(FRONT_SHOWN);
    shown.truncate(FRONT_SHOWN);
    let row = |at: usize, what: &str| {
        let setting = &record.settings[at];
        merit_cells(
            format!("{what}{}", setting.values.join(", ")),
            &setting.merits,
            units,
        )
    };
    let mut rows = Vec::new();
    if let Some(at) = record.recommended.filter(|at| *at != 0) {
        rows.push(row(at, "recommended: "));
    }
    rows.push(row(0, "defaults: "));
    rows.extend(shown.into_iter().map(|at| row(at, "")));
    let names: Vec<&str> = record
        .parameters
        .iter()
        .map(|one| one.parameter.as_str())
        .collect();
    let mut text = wrapped(
        "",
        &format!(
            "Settings that no other beats in one without losing in another, best first: {}",
            names.join(", ")
        ),
        WIDTH,
    ) + &grid(&merit_columns("Setting"), rows);
    if hidden > 0 {
        text += &format!("{hidden} more are in --format csv and json.\n");
    }
    text + &wrapped(
        "",
        &format!(
            "Steps weigh all together, less is better: one step is half the closings, or 0.1 K, or 15 min a day, or a tenth of the dose (counted up to \
             {WORST_DOSE:.0} doses: lost is lost), or 2 % of the electricity. Less than a fifth of a step counts as alike."
        ),
        WIDTH,
    )
}

fn formulas(record: &Tuning, units: Units) -> Vec<String> {
    let starts = record.starts.iter().map(|start| {
        let setting = &record.settings[start.setting];
        restated(
            &format!(
                "{}: {}. Nearest setting: {}; run, it comes to {} and {:.2} steps. [{}]",
                start.rule,
                start.reckoned,
                setting_words(record, setting),
                setting
                    .merits
                    .closings_per_day
                    .map_or_else(String::new, |closings| format!(
                        "{closings:.1} closings a day, {:.2} K of over- and undershoot",
                        setting.merits.swing_k
                    )),
                setting.merits.steps,
                start.source
            ),
            units,
        )
    });
    starts.collect()
}

fn near(record: &Tuning, units: Units) -> String {
    let Some(chosen) = record.recommended.map(|at| &record.settings[at]) else {
        return String::new();
    };
    let mut rows = vec![merit_cells("as recommended".to_owned(), &chosen.merits, units)];
    rows.extend(
        record
            .near
            .iter()
            .map(|near| merit_cells(near.what.clone(), &near.merits, units)),
    );
    let steps: Vec<f64> = record
        .near
        .iter()
        .filter(|near| !near.what.starts_with("the dial"))
        .map(|near| near.merits.steps - chosen.merits.steps)
        .collect();
    let worst = steps.iter().copied().fold(0.0, f64::max);
    let how = if worst < 0.5 {
        "flat: a step either way hardly matters"
    } else if worst < 1.5 {
        "rounded: a step either way costs something"
    } else {
        "sharp: set it exactly"
    };
    wrapped(
        "",
        &format!("How flat the choice is: {how} (at most {worst:.2} steps)"),
        WIDTH,
    ) + &grid(&merit_columns("If it were"), rows)
}

fn held_out(record: &Tuning, units: Units) -> String {
    let row = |held: &TuningHeldOut| {
        vec![
            restated(&held.runs, units),
            pair(held, |merits| units.difference(merits.swing_k)),
            pair(held, |merits| {
                or_missing(merits.closings_per_day, |closings| format!("{closings:.1}"))
            }),
            format!("{:+.2}", held.recommended.steps - held.defaults.steps),
            shown(held),
        ]
    };
    wrapped(
        "",
        &format!(
            "Where it was not searched: {}, the defaults in brackets",
            record.passed_over.map_or_else(
                || "the recommended setting".to_owned(),
                |passed| setting_words(record, &record.settings[passed.setting])
            )
        ),
        WIDTH,
    ) + &grid(
        &[
            Column::words("Runs", 38),
            Column::words("Over- and\nundershoot", 19),
            Column::words("Closings\na day", 15),
            Column::figures("Steps\nbeside", 8),
            Column::words("  Shown", 20),
        ],
        record.held_out.iter().map(row).collect(),
    )
}

fn pair(held: &TuningHeldOut, text: impl Fn(&TuningMerits) -> String) -> String {
    format!("{} ({})", text(&held.recommended), text(&held.defaults))
}

fn shown(held: &TuningHeldOut) -> String {
    let Some(steps) = &held.steps else {
        return "  a single run".to_owned();
    };
    let words = match steps.shown {
        Shown::Better => "better",
        Shown::Worse => "worse",
        Shown::NoDifference => "no difference shown",
        Shown::TooFewRuns => "too few runs",
        Shown::Alike => "alike",
    };
    match steps.t_interval {
        Some([low, high]) => format!("  {words}: {low:+.2} to {high:+.2}"),
        None => format!("  {words}"),
    }
}

/// What the recommendation hangs on, by the runs beside it.
fn changes(record: &Tuning) -> Vec<String> {
    let Some(chosen) = record.recommended.map(|at| &record.settings[at]) else {
        return Vec::new();
    };
    let mut moved: Vec<(f64, &str)> = record
        .near
        .iter()
        .map(|near| (near.merits.steps - chosen.merits.steps, near.what.as_str()))
        .collect();
    moved.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let mut told: Vec<String> = moved
        .iter()
        .take(2)
        .map(|(steps, what)| format!("{what}: {steps:+.2} steps"))
        .collect();
    told.push(
        "another weight of closings, swing and electricity: the table above holds what each would choose"
            .to_owned(),
    );
    told.push(
        "another heater: `tepid size`; what its stuck contact does is not a matter of settings".to_owned(),
    );
    told
}
