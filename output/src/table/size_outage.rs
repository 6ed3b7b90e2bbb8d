//! The mains out: oxygen first, then heat.

use super::card::lines_reached;
use super::{Column, WIDTH, grid, list};
use crate::records::{
    OutageBacked, OutageBackup, OutageChange, OutageCourse, OutageLoad, OutageOxygen, SizeOutage,
};
use crate::wording::{Units, duration, enumerated, hours, power, restated, share, wrapped};

/// How long oxygen and heat last, what holds the line takes, what the stated backups cannot do.
pub(super) fn outage(record: &SizeOutage, units: Units) -> String {
    let mut text = wrapped(
        "",
        &match record.house_falls_to_c {
            Some(to_c) => format!(
                "The mains out for {}, the house falling to {}",
                duration(record.lasts_h),
                units.line(to_c)
            ),
            None => format!("The mains out for {}", duration(record.lasts_h)),
        },
        WIDTH,
    );
    text += &wrapped("", &answer(record, units), WIDTH);
    if !record.oxygen.is_empty() {
        text.push('\n');
        text += &grid(
            &[
                Column::words("Oxygen first: room", 44),
                Column::figures("Below half of\nsaturation after", 34),
                Column::figures("Lowest until the\nmains are back", 20),
            ],
            record
                .oxygen
                .iter()
                .map(|oxygen| oxygen_cells(record, oxygen, units))
                .collect(),
        );
    }
    text.push('\n');
    text += &heat(record, units);
    if let Some(backed) = &record.backed {
        text += &list(
            "With the backups stated",
            backed_told(record, backed, units).iter().map(String::as_str),
        );
    }
    text.push('\n');
    text + &changes(record, units)
}

fn not_within(record: &SizeOutage) -> String {
    format!("over {}", hours(record.followed_h))
}

fn after(record: &SizeOutage, after_h: Option<f64>) -> String {
    after_h.map_or_else(|| not_within(record), duration)
}

/// What comes first, and what to do about it, in words.
fn answer(record: &SizeOutage, units: Units) -> String {
    let mut told = Vec::new();
    let soonest = record
        .oxygen
        .iter()
        .filter_map(|oxygen| Some((oxygen.below_half_after_h?, oxygen)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    match soonest {
        _ if record.oxygen.is_empty() => told.push(
            "No stock is stated, so oxygen is not computed; in most stocked tanks it runs out before the heat does. State `oxygen` under [livestock]."
                .to_owned(),
        ),
        Some((_, oxygen)) if oxygen.below_half_already => told.push(format!(
            "Oxygen is below half of saturation already with everything working (room {}): more air or fewer animals come before any outage.",
            units.line(oxygen.room_c)
        )),
        Some((after_h, oxygen)) if after_h <= record.lasts_h => told.push(format!(
            "Oxygen comes first: below half of saturation after {} (room {}), before the mains are back. Air comes before heat: an air pump with a battery takes a few watts.",
            duration(after_h),
            units.line(oxygen.room_c)
        )),
        _ => told.push("Oxygen lasts as long as the outage.".to_owned()),
    }
    let [bare, wrapped] = record.courses.as_slice() else {
        return told.join(" ");
    };
    let line = units.line(record.safe_c);
    let first_h = |course: &OutageCourse| course.hours_to_lines.first().and_then(|line| line.after_h);
    told.push(match (bare.holding_from_h, wrapped.holding_from_h) {
        (None, _) => format!("The water stays above {line} until the mains are back, even bare: it takes no heat."),
        (Some(bare_h), None) => format!(
            "Bare the water is at {line} after {}; with the sides wrapped it stays above it until the mains are back (it lasts {}). {}",
            duration(bare_h),
            after(record, first_h(wrapped)),
            blanket(record, units)
        ),
        (Some(bare_h), Some(wrapped_h)) => format!(
            "The water is at {line} after {} bare and after {} with the sides wrapped. Holding it there for the rest takes {:.0} Wh bare, {:.0} Wh wrapped: wrap at once, heat late.",
            duration(bare_h),
            duration(wrapped_h),
            bare.holding_wh,
            wrapped.holding_wh
        ),
    });
    told.join(" ")
}

/// Whether a blanket is enough also where things are a little worse than assumed.
fn blanket(record: &SizeOutage, units: Units) -> String {
    let fails = |change: &&OutageChange| {
        let after_h = change.wrapped_after_h;
        after_h.is_some_and(|after_h| after_h < record.lasts_h)
    };
    let falls_short: Vec<String> = record
        .changes
        .iter()
        .filter(fails)
        .map(|change| restated(&change.what, units))
        .collect();
    if falls_short.is_empty() {
        "A blanket is enough, also with what changes it most.".to_owned()
    } else {
        format!(
            "A blanket is just enough, and any of these would make it too little: {}. Keep some heat at hand.",
            enumerated(&falls_short)
        )
    }
}

fn oxygen_cells(record: &SizeOutage, oxygen: &OutageOxygen, units: Units) -> Vec<String> {
    vec![
        format!("{}: {}", oxygen.room, units.line(oxygen.room_c)),
        if oxygen.below_half_already {
            "already, with everything working".to_owned()
        } else {
            after(record, oxygen.below_half_after_h)
        },
        format!(
            "{:.1} mg/L, {}",
            oxygen.lowest_mg_per_l,
            share(oxygen.lowest_saturation_frac)
        ),
    ]
}

fn heat(record: &SizeOutage, units: Units) -> String {
    let row = |course: &OutageCourse| {
        let lines = course.hours_to_lines.iter();
        let lines = lines.map(|line| {
            format!(
                "{} after {}",
                units.line(line.temp_c),
                after(record, line.after_h)
            )
        });
        vec![
            if course.wrapped { "wrapped" } else { "bare" }.to_owned(),
            lines.collect::<Vec<_>>().join(", "),
            after(record, course.dose_used_up_h),
            units.temperature(course.end_c),
            match course.back_after_h {
                Some(back_h) => duration(back_h),
                None if course.end_c < record.band_from_c => not_within(record),
                None => "never out".to_owned(),
            },
            format!("{:.0} Wh", course.holding_wh),
        ]
    };
    let heat = grid(
        &[
            Column::words("Then heat,\ncoldest room", 14),
            Column::words("Danger lines, if the mains stay out", 32),
            Column::figures("Cold dose\nused up after", 15),
            Column::figures("When they\nare back", 11),
            Column::figures("Then in its\nband after", 13),
            Column::figures("To hold the\nfirst line", 13),
        ],
        record.courses.iter().map(row).collect(),
    );
    let back = format!(
        "Back in its band (from {} on) by {} of heaters, in a room as warm as before.",
        units.line(record.band_from_c),
        power(record.back_heater_w)
    );
    heat + &wrapped("", &back, WIDTH)
}

fn backed_told(record: &SizeOutage, backed: &OutageBacked, units: Units) -> Vec<String> {
    let mut told = Vec::new();
    let oxygen = match backed.oxygen_below_half_after_h {
        _ if record.oxygen.is_empty() => String::new(),
        None => "; oxygen stays above half of saturation".to_owned(),
        Some(_) if record.oxygen.iter().any(|oxygen| oxygen.below_half_already) => {
            "; oxygen is below half of saturation already with everything working".to_owned()
        }
        Some(after_h) => format!("; oxygen is below half of saturation after {}", duration(after_h)),
    };
    let reached = lines_reached(&backed.hours_to_lines, units);
    let lines = if reached.is_empty() {
        "no danger line is reached".to_owned()
    } else {
        format!("the water reaches {}", enumerated(&reached))
    };
    told.push(format!(
        "As the scenario is, under {}: {lines}; {} when the mains are back{oxygen}",
        backed.strategy,
        units.temperature(backed.end_c)
    ));
    told.extend(
        backed
            .backups
            .iter()
            .map(|backup| backup_told(record, backup, units)),
    );
    told
}

fn backup_told(record: &SizeOutage, backup: &OutageBackup, units: Units) -> String {
    let named = |is_one: fn(&OutageLoad) -> bool| -> Vec<String> {
        let loads = backup.feeds.iter().filter(|load| is_one(load));
        loads
            .map(|load| format!("{} ({})", load.load, power(load.power_w)))
            .collect()
    };
    let mut parts = Vec::new();
    let fed = named(|load| load.fits && !load.waits_for_controller);
    let left_out = named(|load| !load.fits);
    let waiting = named(|load| load.fits && load.waits_for_controller);
    let what = backup.usable_wh.map_or_else(
        || "no battery".to_owned(),
        |usable_wh| format!("{usable_wh:.0} Wh"),
    );
    parts.push(if fed.is_empty() {
        format!(
            "{} ({what}, up to {}) feeds nothing",
            backup.backup,
            power(backup.limit_w)
        )
    } else {
        format!(
            "{} ({what}, up to {}) feeds {}",
            backup.backup,
            power(backup.limit_w),
            enumerated(&fed)
        )
    });
    if !left_out.is_empty() {
        parts.push(format!("it cannot feed {} beside that", enumerated(&left_out)));
    }
    parts.push(match backup.ran_out_after_h {
        Some(after_h) => format!("it is empty after {}", duration(after_h)),
        None => "it lasts as long as the outage".to_owned(),
    });
    if let [bare, wrapped] = backup.alone_holds_h.as_slice() {
        let held = |held_h: &Option<f64>| {
            held_h.map_or_else(
                || "until the mains are back".to_owned(),
                |held_h| format!("for {} of {}", duration(held_h), duration(record.lasts_h)),
            )
        };
        parts.push(format!(
            "all of it for a heater would hold {} {} bare, {} wrapped",
            units.line(record.safe_c),
            held(bare),
            held(wrapped)
        ));
    }
    if !waiting.is_empty() {
        parts.push(format!(
            "{} would have electricity from it, but the controller that switches it has none, so it stays off: {} without it; add \"controller\" to `feeds`",
            enumerated(&waiting),
            duration(record.lasts_h)
        ));
    }
    parts.join("; ")
}

fn changes(record: &SizeOutage, units: Units) -> String {
    let row = |what: &str, bare_h: Option<f64>, wrapped_h: Option<f64>, holding_wh: f64| {
        vec![
            restated(what, units),
            after(record, bare_h),
            after(record, wrapped_h),
            format!("{holding_wh:.0} Wh"),
        ]
    };
    let first_h = |wrapped: bool| {
        let course = record.courses.iter().find(|course| course.wrapped == wrapped)?;
        course.hours_to_lines.first()?.after_h
    };
    let holding_wh = record.courses.first().map_or(0.0, |course| course.holding_wh);
    let mut rows = vec![row("as it is", first_h(false), first_h(true), holding_wh)];
    rows.extend(record.changes.iter().map(|change: &OutageChange| {
        row(
            &change.what,
            change.bare_after_h,
            change.wrapped_after_h,
            change.holding_wh,
        )
    }));
    wrapped(
        "",
        &format!(
            "What would change the outage most: hours until {}, the largest change first",
            units.line(record.safe_c)
        ),
        WIDTH,
    ) + &grid(
        &[
            Column::words("If it were", 52),
            Column::figures("Bare", 12),
            Column::figures("Wrapped", 14),
            Column::figures("To hold it, bare", 20),
        ],
        rows,
    )
}
