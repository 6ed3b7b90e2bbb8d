//! Which heaters to buy.

use super::{Column, WIDTH, assumed, cautions, facts, grid, range, size_cooling, size_outage, size_savings};
use crate::cautions::gathered;
use crate::records::{
    Size, SizeChange, SizeChoice, SizeFate, SizeRefusal, SizeRoom, SizeRule, SizeRunning, SizeSplit, Sizes,
    Tariff,
};
use crate::wording::{
    Units, duration, energy, enumerated, hours, money, or_missing, power, price, prices, restated, share,
    wrapped,
};

/// The heaters of a scenario, what becomes of the water when one fails, and what the answer hangs on.
#[must_use]
pub fn size(record: &Size, units: Units) -> String {
    wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH)
        + &body(record, units)
        + &assumed(&record.assumptions, units)
        + &cautions(&record.cautions)
}

/// The heaters of several water systems, one after the other, then the assumptions and cautions of all.
#[must_use]
pub fn sizes(record: &Sizes, units: Units) -> String {
    let Some(first) = record.systems.first() else {
        return String::new();
    };
    let mut text = wrapped("", &format!("{}: {}", first.scenario, first.title), WIDTH);
    let mut assumptions: Vec<String> = Vec::new();
    for one in &record.systems {
        text += &format!(
            "\n{}",
            wrapped("", one.system.as_deref().unwrap_or_default(), WIDTH)
        );
        text += &body(one, units);
        for assumption in &one.assumptions {
            if !assumptions.contains(assumption) {
                assumptions.push(assumption.clone());
            }
        }
    }
    let all = record.systems.iter().flat_map(|one| one.cautions.iter().cloned());
    text + &assumed(&assumptions, units) + &cautions(&gathered(all))
}

/// All but title, assumptions and cautions.
fn body(record: &Size, units: Units) -> String {
    let mut text = String::new();
    if let Some(outage) = &record.outage {
        text += &size_outage::outage(outage, units);
        text.push('\n');
    }
    text += &wrapped(
        "",
        &format!(
            "To hold {} in {} takes {} in the mean. A failed heater must be bearable for {}.",
            units.line(record.target_c),
            room("coldest", &record.coldest, units),
            power(record.needed_w),
            duration(record.response_h)
        ),
        WIDTH,
    );
    text.push('\n');
    text += &wrapped("", &answer(record, units), WIDTH);
    if let Some(choice) = &record.choice {
        text.push('\n');
        text += &facts(chosen(record, choice, units));
    }
    if !record.splits.is_empty() {
        text.push('\n');
        text += &grid(
            &[
                Column::figures("Heaters", 9),
                Column::figures("Each\nat least", 11),
                Column::figures("Each\nat most", 14),
                Column::figures("Then, stuck on,\nwhen help comes", 18),
                Column::words("Ratings sold between, or why none does", 48),
            ],
            record
                .splits
                .iter()
                .map(|split| split_cells(record, split, units))
                .collect(),
        );
        text += &wrapped(
            "",
            "At least: all hold the coldest room with the reserve, and all but one bear it. At most: one stuck on is bearable in the warmest.",
            WIDTH,
        );
        if let Some(bound) = bound_by_lines(record, units) {
            text += &wrapped("", &bound, WIDTH);
        }
    }
    text.push('\n');
    text += &running(record, units);
    text.push('\n');
    text += &size_cooling::cooling(&record.cooling, record.tariff.as_ref(), units);
    if !record.rules.is_empty() {
        text.push('\n');
        text += &rules(record, units);
    }
    if !record.changes.is_empty() {
        text.push('\n');
        text += &changes(record, units);
    }
    text + &range::warnings(&record.warnings, units)
}

/// Why more power is not called bearable where the dose would allow it.
fn bound_by_lines(record: &Size, units: Units) -> Option<String> {
    let bound = record.splits.iter().any(|split| split.bound_by_lines);
    bound.then(|| {
        format!(
            "What bounds the power here is not the dose: above {line} the danger lines say nothing, so nothing is called bearable that takes the water above {most} \
             within {response} ({by} beyond is an assumption). A hotter line under `danger_hot` would say more.",
            line = units.line(record.hottest_line_c),
            most = units.line(record.hottest_line_c + record.lines_speak_for_k),
            response = duration(record.response_h),
            by = restated(&format!("{:.0} K", record.lines_speak_for_k), units)
        )
    })
}

fn room(which: &str, room: &SizeRoom, units: Units) -> String {
    let stated = if room.stated {
        " expected"
    } else {
        " of these days"
    };
    format!(
        "the {which} room{stated} ({}, {} humidity)",
        units.line(room.room_c),
        share(room.relative_humidity_frac)
    )
}

/// The answer in words.
fn answer(record: &Size, units: Units) -> String {
    let Some(single) = record.splits.first() else {
        let none = "No heater is needed: pumps, lamps and sun hold the water even there.".to_owned();
        return [Some(none), too_warm(record, units)]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ");
    };
    let mut told = vec![match &record.choice {
        Some(choice) if choice.heaters == 1 => format!("One heater of {} does both.", power(choice.each_w)),
        Some(choice) => format!(
            "{} heaters of {} each, every one behind its own thermostat.",
            choice.heaters,
            power(choice.each_w)
        ),
        None => {
            let most = record.splits.last().map_or(0, |split| split.heaters);
            format!("No split into up to {most} equal heaters does both.")
        }
    }];
    if let Some(choice) = &record.choice {
        let used_up_h = [choice.stuck, choice.dead]
            .into_iter()
            .filter_map(|fate| fate.dose_used_up_h);
        if let Some(first_h) = used_up_h.reduce(f64::min) {
            let bound = record
                .splits
                .iter()
                .any(|split| split.heaters == choice.heaters && split.bound_by_lines);
            let perhaps = if bound {
                format!(
                    ", perhaps sooner: above {} the danger lines say nothing",
                    units.line(record.hottest_line_c)
                )
            } else {
                String::new()
            };
            told.push(format!(
                "Help that takes longer than {} comes too late{perhaps}.",
                duration(first_h)
            ));
        }
    }
    told.extend(why_no_single(record, single, units));
    if let Some(too_warm) = too_warm(record, units) {
        told.push(too_warm);
    } else if record.choice.is_none() {
        told.push(
            "What else helps: somebody sooner there (alerts), a cut-out of its own behind each thermostat (`tepid faults`), a room \
             that gets less cold or less hot."
                .to_owned(),
        );
    }
    told.join(" ")
}

/// That the warmest room needs no broken heater to be unbearable, if it does not.
fn too_warm(record: &Size, units: Units) -> Option<String> {
    let warmest = capital(&room("warmest", &record.warmest, units));
    let Some(used_up_h) = record.warmest_alone.dose_used_up_h else {
        let until_help_c = record.warmest_alone.until_help_c?;
        return (until_help_c > record.hottest_line_c + record.lines_speak_for_k).then(|| {
            format!(
                "{warmest} by itself takes the water to {} with every heater sound, and above {} the danger lines say nothing: cooling comes first.",
                units.temperature(until_help_c),
                units.line(record.hottest_line_c)
            )
        });
    };
    let after = if used_up_h * 60.0 >= 0.5 {
        format!("after {}", duration(used_up_h))
    } else {
        "at once".to_owned()
    };
    Some(format!(
        "{warmest} by itself uses up the hot dose {after}, with every heater sound: cooling comes first."
    ))
}

/// Why one heater does not do both; `None` if it does.
fn why_no_single(record: &Size, single: &SizeSplit, units: Units) -> Option<String> {
    let warmest = room("warmest", &record.warmest, units);
    let response = duration(record.response_h);
    match single.why_not? {
        // What the room does by itself is told in any case.
        SizeRefusal::RoomTooWarm => None,
        SizeRefusal::DeadOneUnbearable => Some(format!(
            "No single heater does both: dead, it leaves the water unbearably cold within {response}, whatever its power."
        )),
        SizeRefusal::NeedsMoreThanAllowed => Some(format!(
            "No single heater does both: the coldest room takes at least {}, and one stuck on in {warmest} may have at most {} to be bearable for {response}.",
            or_missing(single.least_w, power_up),
            or_missing(single.most_w, power_down)
        )),
        SizeRefusal::NoneSold => Some(format!(
            "No single heater that is sold does both: its power would have to lie between {} and {}.",
            or_missing(single.least_w, power_up),
            or_missing(single.most_w, power_down)
        )),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A least power, rounded up: the figure told does too.
fn power_up(power_w: f64) -> String {
    power(power_w.ceil())
}

/// A greatest power, rounded down.
fn power_down(power_w: f64) -> String {
    power(power_w.floor())
}

fn chosen(record: &Size, choice: &SizeChoice, units: Units) -> Vec<(String, String)> {
    let total_w = f64::from(choice.heaters) * choice.each_w;
    vec![
        (
            "All of them".to_owned(),
            format!(
                "{}, {:.0} % more than the coldest room needs; they hold {} down to a room of {}",
                power(total_w),
                100.0 * choice.reserve_frac,
                units.line(record.target_c),
                or_missing(choice.coldest_room_held_c, |room_c| units.temperature(room_c))
            ),
        ),
        (
            "One stuck on in the warmest room".to_owned(),
            format!(
                "{} when help comes after {}; {}, highest {}",
                until_help(choice.stuck, units),
                duration(record.response_h),
                dose_words("hot", choice.stuck, record),
                extreme(choice.stuck, units)
            ),
        ),
        (
            "One dead in the coldest room".to_owned(),
            format!(
                "{} when help comes after {}; {}, lowest {}",
                until_help(choice.dead, units),
                duration(record.response_h),
                dose_words("cold", choice.dead, record),
                extreme(choice.dead, units)
            ),
        ),
    ]
}

fn dose_words(side: &str, fate: SizeFate, record: &Size) -> String {
    let followed = hours(record.followed_h);
    match fate.dose_used_up_h {
        Some(used_up_h) => format!(
            "the {side} dose is used up after {}; within {followed}",
            duration(used_up_h)
        ),
        None => format!("the {side} dose is not used up within {followed}"),
    }
}

fn until_help(fate: SizeFate, units: Units) -> String {
    or_missing(fate.until_help_c, |temp_c| units.temperature(temp_c))
}

fn extreme(fate: SizeFate, units: Units) -> String {
    or_missing(fate.extreme_c, |temp_c| units.temperature(temp_c))
}

fn split_cells(record: &Size, split: &SizeSplit, units: Units) -> Vec<String> {
    let most = split
        .most_w
        .map_or_else(|| format!("over {}", power(record.searched_to_w)), power_down);
    let told = match split.why_not {
        None => {
            let ratings: Vec<String> = split.ratings_w.iter().map(|rating_w| power(*rating_w)).collect();
            enumerated(&ratings)
        }
        Some(SizeRefusal::RoomTooWarm) => "the warmest room is unbearable without any heater".to_owned(),
        Some(SizeRefusal::DeadOneUnbearable) => {
            format!(
                "none: with one dead it is unbearably cold within {}",
                duration(record.response_h)
            )
        }
        Some(SizeRefusal::NeedsMoreThanAllowed) => {
            "none: the cold needs more than the heat allows".to_owned()
        }
        Some(SizeRefusal::NoneSold) => "none is sold between".to_owned(),
    };
    vec![
        split.heaters.to_string(),
        or_missing(split.least_w, power_up),
        most,
        until_help(split.stuck, units),
        told,
    ]
}

fn running(record: &Size, units: Units) -> String {
    let text = grid(
        &[
            Column::words("Holding the target in the room", 42),
            Column::figures("Heaters,\nmean", 12),
            Column::figures("Electricity\na day", 14),
            Column::figures("30 days\ncost", 14),
            Column::figures("Make-up\nwater a day", 15),
        ],
        record
            .running
            .iter()
            .map(|row| running_cells(row, record.tariff.as_ref(), units))
            .collect(),
    );
    let cost = match &record.tariff {
        Some(tariff) if tariff.hours.is_empty() => format!("Cost: at {}.", prices(tariff)),
        Some(tariff) => format!(
            "Cost: at {}; {} in the mean of a power drawn evenly all day, as here.",
            prices(tariff),
            price(tariff.mean_per_kwh, tariff)
        ),
        None => "No price is stated: `electricity` under [cost], or --set cost.electricity=\"0.30 per kWh\"."
            .to_owned(),
    };
    let text = text + &wrapped("", &cost, WIDTH);
    match &record.savings {
        Some(savings) => text + "\n" + &size_savings::savings(savings, record.tariff.as_ref(), units),
        None => text,
    }
}

fn running_cells(row: &SizeRunning, tariff: Option<&Tariff>, units: Units) -> Vec<String> {
    vec![
        format!("{}: {}", row.room, units.line(row.room_c)),
        power(row.heaters_w),
        energy(row.kwh_per_day),
        or_missing(row.cost_per_30_days, |cost| money(cost, tariff)),
        units.volume(row.make_up_l_per_day),
    ]
}

fn rules(record: &Size, units: Units) -> String {
    let mut text = grid(
        &[
            Column::words("Rule of thumb", 19),
            Column::figures("Here", 7),
            Column::figures("Holds a\nroom of", 10),
            Column::figures("Stuck on:\nhot dose", 12),
            Column::figures("When\nhelp comes", 12),
            Column::words("As one heater", 40),
        ],
        record
            .rules
            .iter()
            .map(|rule| rule_cells(record, rule, units))
            .collect(),
    );
    let per_l = record.needed_w / record.volume_l;
    text += &wrapped(
        "",
        &format!(
            "Rules for {} of water (common practice, no source). Loss goes with surface, cover and room, not with volume: this water needs {} \
             in its coldest room; another room, lid or size makes it another figure.",
            units.volume(record.volume_l),
            units.power_per_volume(per_l)
        ),
        WIDTH,
    );
    text
}

fn rule_cells(record: &Size, rule: &SizeRule, units: Units) -> Vec<String> {
    let alone_h = record.warmest_alone.dose_used_up_h;
    let too_warm = alone_h.is_some_and(|used_up_h| used_up_h <= record.response_h)
        || (alone_h.is_none() && too_warm(record, units).is_some());
    let verdict = match (rule.enough, rule.stuck_bearable) {
        (true, false) if too_warm => "enough; the room is too warm anyway",
        (true, true) if rule.power_w < record.needed_w * (1.0 + record.reserve_frac) => {
            "does both, but without the reserve"
        }
        (true, true) => "does both",
        (true, false) => "misleads: too strong when stuck on",
        (false, true) => "misleads: too weak for the coldest room",
        (false, false) => "misleads: too weak, and too strong",
    };
    vec![
        rule.rule.clone(),
        power(rule.power_w),
        or_missing(rule.coldest_room_held_c, |room_c| units.temperature(room_c)),
        rule.stuck
            .dose_used_up_h
            .map_or_else(|| format!("over {}", hours(record.followed_h)), duration),
        until_help(rule.stuck, units),
        verdict.to_owned(),
    ]
}

fn changes(record: &Size, units: Units) -> String {
    let row = |change: &SizeChange| {
        vec![
            restated(&change.what, units),
            change.least_w.map_or_else(|| "none does".to_owned(), power_up),
            change
                .most_w
                .map_or_else(|| format!("over {}", power(record.searched_to_w)), power_down),
            String::new(),
        ]
    };
    let count = record.changes.first().map_or(0, |change| change.heaters);
    let mut rows = Vec::new();
    if let Some(now) = record.splits.iter().find(|split| split.heaters == count) {
        rows.push(row(&SizeChange {
            what: "as it is".to_owned(),
            heaters: count,
            least_w: now.least_w,
            most_w: now.most_w,
        }));
    }
    rows.extend(record.changes.iter().map(row));
    let before = record.splits.iter().filter(|split| split.heaters == count);
    let mut least_w = before
        .map(|split| split.least_w)
        .chain(record.changes.iter().map(|change| change.least_w));
    let none_does = if least_w.any(|least_w| least_w.is_none()) {
        wrapped(
            "",
            "None does: with one dead the water is unbearably cold before help is there, whatever the power.",
            WIDTH,
        )
    } else {
        String::new()
    };
    let heaters = if count == 1 {
        "a single heater".to_owned()
    } else {
        format!("each of {count} heaters")
    };
    wrapped(
        "",
        &format!("What would change it most: the range of power for {heaters}, the largest change first"),
        WIDTH,
    ) + &grid(
        &[
            Column::words("If it were", 44),
            Column::figures("At least", 14),
            Column::figures("At most", 16),
            Column::words("", 1),
        ],
        rows,
    ) + &none_does
}
