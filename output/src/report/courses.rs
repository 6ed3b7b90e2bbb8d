//! Small multiples of temperature: every strategy on the same scales, with nothing broken and with the fault that is worst for it.

use maud::{Markup, html};
use tepid_sim::time::DAY;

use super::Chapter;
use super::chart::{Frame, danger_labels, danger_lines, path, px, temperature_axis, time_axis};
use super::page::{anchor, made_by};
use crate::plot::{Course, Extremes, Scale, Shape, Span, extremes, points, spans};
use crate::records::Livestock;
use crate::wording::{Units, at, in_room_kind, outcome};

const WATER: Frame = Frame {
    left: 34.0,
    top: 30.0,
    right: 336.0,
    bottom: 178.0,
};
const ROOM: Frame = Frame {
    top: 196.0,
    bottom: 232.0,
    ..WATER
};
const WIDTH: f64 = 340.0;
const HEIGHT: f64 = 252.0;
/// What lasts no longer than this many pixels is ticked on top, not shaded.
const NARROW: f64 = 3.0;
/// Free temperature beyond the outermost thing shown, K.
const MARGIN_K: f64 = 0.3;
/// The same of the room's scale, K.
const ROOM_MARGIN_K: f64 = 1.0;

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let unbroken: Vec<&Course> = chapter
        .courses
        .iter()
        .filter_map(|one| one.unbroken.as_ref())
        .collect();
    let broken: Vec<&Course> = chapter
        .courses
        .iter()
        .filter_map(|one| Some(&one.worst.as_ref()?.course))
        .collect();
    let scales = Ranges::of(&unbroken, chapter, units);
    let broken_scales = Ranges::of(&broken, chapter, units);
    html! {
        section aria-labelledby=(anchor("temperatures", place)) {
            h2 id=(anchor("temperatures", place)) { "Temperatures" }
            p {
                "All pictures of a row have the same scales. Shaded: the band the keeper wants. Broken lines across: danger lines with the time borne there. "
                "Below, dotted, the room on a scale of its own. Letters name what happens."
            }
            h3 { "With nothing broken, in the scenario's own room" }
            div.multiples {
                @for (number, one) in chapter.courses.iter().enumerate() {
                    @if let Some(course) = &one.unbroken {
                        (figure(
                            &format!("{}-{number}", anchor("unbroken", place)),
                            &one.strategy,
                            "nothing broken",
                            course,
                            &scales,
                            chapter,
                            &one.unbroken_command,
                        ))
                    }
                }
            }
            h3 { "With the fault that is worst for each strategy" }
            p { "Of all single faults tried in three rooms, from the worst instant tried, followed for three days." }
            div.multiples {
                @for (number, one) in chapter.courses.iter().enumerate() {
                    @if let Some(worst) = &one.worst {
                        (figure(
                            &format!("{}-{number}", anchor("broken", place)),
                            &one.strategy,
                            &told(worst, chapter, units),
                            &worst.course,
                            &broken_scales,
                            chapter,
                            &worst.command,
                        ))
                    }
                }
            }
        }
    }
}

fn told(worst: &super::FaultCourse, chapter: &Chapter, units: Units) -> String {
    let one = &worst.row.outcome;
    let began = one
        .began_h
        .map_or_else(String::new, |began_h| format!(" at {}", at(began_h)));
    format!(
        "{}{}{began}: {}",
        one.case,
        in_room_kind(one.room),
        outcome(one, &chapter.faults.livestock, units)
    )
}

/// What all pictures of a row share.
struct Ranges {
    water_c: (f64, f64),
    room_c: (f64, f64),
    units: Units,
}

impl Ranges {
    fn of(courses: &[&Course], chapter: &Chapter, units: Units) -> Self {
        let livestock = &chapter.faults.livestock;
        let water = courses.iter().flat_map(|course| shown_tanks(course, chapter));
        let (mut low_c, mut high_c) = extremes(water.flat_map(|(_, columns)| columns.iter()))
            .unwrap_or((chapter.faults.target_c, chapter.faults.target_c));
        low_c = low_c.min(chapter.faults.band_c[0]);
        high_c = high_c.max(chapter.faults.band_c[1]);
        // As far as the next line that the water did not reach.
        if let Some(next) = livestock.danger_hot.iter().find(|line| line.temp_c > high_c) {
            high_c = next.temp_c;
        }
        if let Some(next) = livestock.danger_cold.iter().find(|line| line.temp_c < low_c) {
            low_c = next.temp_c;
        }
        let room = extremes(courses.iter().flat_map(|course| &course.room_c)).unwrap_or((20.0, 20.0));
        Self {
            water_c: (low_c - MARGIN_K, high_c + MARGIN_K),
            room_c: (room.0 - ROOM_MARGIN_K, room.1 + ROOM_MARGIN_K),
            units,
        }
    }
}

/// Tanks with livestock, the ones that dangers are about, each with its place among all.
fn shown_tanks<'a>(
    course: &'a Course,
    chapter: &'a Chapter,
) -> impl Iterator<Item = (usize, &'a Vec<Option<Extremes>>)> {
    let stocked = |place: &usize| chapter.tanks.get(*place).is_none_or(|tank| tank.livestock);
    course
        .water_c
        .iter()
        .enumerate()
        .filter(move |(place, _)| stocked(place))
}

fn figure(
    id: &str,
    strategy: &str,
    what: &str,
    course: &Course,
    ranges: &Ranges,
    chapter: &Chapter,
    command: &str,
) -> Markup {
    let units = ranges.units;
    let time = WATER.rightwards(course.from_ms as f64, course.to_ms as f64);
    let water = WATER.upwards(ranges.water_c.0, ranges.water_c.1);
    let room = ROOM.upwards(ranges.room_c.0, ranges.room_c.1);
    let happens = spans(course, &time);
    let names = names(&happens);
    let tanks: Vec<(usize, &Vec<Option<Extremes>>)> = shown_tanks(course, chapter).collect();
    let described = described(&tanks, course, chapter, units);
    html! {
        figure {
            svg width=(WIDTH) viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) role="img" aria-labelledby={ (id) "-t " (id) "-d" } {
                title id={ (id) "-t" } { "Temperatures under " (strategy) ", " (what) }
                desc id={ (id) "-d" } { (described) }
                text.strong x="0" y="11" { (strategy) }
                (temperature_axis(&WATER, &water, chapter.faults.band_c, units))
                (marked(&happens, &names))
                (danger_lines(&WATER, &water, livestock(chapter)))
                @for (place, columns) in tanks.iter().rev() {
                    path.water.other[*place != tanks[0].0] d=(path(&points(columns, &time, &water))) {}
                }
                (danger_labels(&WATER, &water, livestock(chapter), units))
                (WATER.outline())
                (room_axis(&room, ranges.room_c, units))
                path.room d=(path(&points(&course.room_c, &time, &room))) {}
                (ROOM.outline())
                text.of-room x=(px(ROOM.left)) y=(px(ROOM.top - 4.0)) { "room" }
                (time_axis(&ROOM, course.from_ms, course.to_ms, 5))
            }
            figcaption {
                @if let [first, others @ ..] = tanks.as_slice() {
                    @if !others.is_empty() {
                        "Solid: " (tank_name(chapter, first.0)) "; broken: "
                        (others.iter().map(|(place, _)| tank_name(chapter, *place)).collect::<Vec<_>>().join(", ")) ". "
                    }
                }
                @if what != "nothing broken" { strong { (what) "." } " " }
                @if !names.is_empty() {
                    @for (place, name) in names.iter().enumerate() {
                        @if place > 0 { "; " }
                        (letter(place)) ": " (name)
                    }
                    "."
                }
            }
            details {
                summary { "Figures and command" }
                (days(&tanks, course, chapter, units))
                (made_by("Lowest and highest of every pixel column of time are drawn.", command))
            }
        }
    }
}

fn livestock(chapter: &Chapter) -> &Livestock {
    &chapter.faults.livestock
}

/// The picture in a sentence.
fn described(
    tanks: &[(usize, &Vec<Option<Extremes>>)],
    course: &Course,
    chapter: &Chapter,
    units: Units,
) -> String {
    let water: Vec<String> = tanks
        .iter()
        .filter_map(|(place, columns)| {
            let (low_c, high_c) = extremes(columns.iter())?;
            let name = tank_name(chapter, *place);
            Some(format!("{name} {}", units.range(low_c, high_c)))
        })
        .collect();
    let room = extremes(course.room_c.iter()).map_or_else(String::new, |(low_c, high_c)| {
        format!("; room {}", units.range(low_c, high_c))
    });
    format!("{}{room}.", water.join(", "))
}

fn tank_name(chapter: &Chapter, place: usize) -> &str {
    chapter.tanks.get(place).map_or("water", |tank| &tank.name)
}

fn room_axis(scale: &Scale, (low_c, high_c): (f64, f64), units: Units) -> Markup {
    let (low, high) = (
        units.degrees(low_c + ROOM_MARGIN_K),
        units.degrees(high_c - ROOM_MARGIN_K),
    );
    // A room that hardly changes has no two whole degrees to name.
    let named = if low.ceil() < high.floor() {
        vec![low.ceil(), high.floor()]
    } else {
        vec![f64::midpoint(low, high)]
    };
    html! {
        @for degrees in named {
            @let y = scale.clamped(units.celsius(degrees));
            text x=(px(ROOM.left - 5.0)) y=(px(y)) dy="0.35em" text-anchor="end" { (crate::wording::trimmed(degrees, 1)) }
        }
    }
}

/// Every name once, in order of time.
fn names(happens: &[Span]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for span in happens {
        if !names.contains(&span.name) {
            names.push(span.name.clone());
        }
    }
    names
}

/// a, b, … z, then aa.
fn letter(place: usize) -> String {
    let one = |place: usize| char::from(b'a' + u8::try_from(place % 26).unwrap_or(0));
    match place / 26 {
        0 => one(place).to_string(),
        more => format!("{}{}", one(more - 1), one(place)),
    }
}

fn marked(happens: &[Span], names: &[String]) -> Markup {
    let mut last_x = f64::NEG_INFINITY;
    let labelled: Vec<(&Span, Option<String>)> = happens
        .iter()
        .map(|span| {
            let place = names.iter().position(|name| *name == span.name);
            // Letters that would cover each other are left out; the shading shows where the next ones are.
            let free = span.from - last_x > 9.0;
            if free {
                last_x = span.from;
            }
            (span, place.filter(|_| free).map(letter))
        })
        .collect();
    html! {
        @for (span, label) in &labelled {
            @match span.shape {
                Shape::Lasting if span.to - span.from < NARROW => {
                    line.begins x1=(px(span.from)) x2=(px(span.from)) y1=(px(WATER.top - 4.0)) y2=(px(WATER.top + 5.0)) {}
                }
                Shape::Lasting => {
                    rect.happening x=(px(span.from)) y=(px(WATER.top)) width=(px((span.to - span.from).max(1.0))) height=(px(WATER.bottom - WATER.top)) {}
                    line.begins x1=(px(span.from)) x2=(px(span.from)) y1=(px(WATER.top - 4.0)) y2=(px(WATER.bottom)) {}
                }
                Shape::Instant => {
                    line.said x1=(px(span.from)) x2=(px(span.from)) y1=(px(WATER.top - 4.0)) y2=(px(WATER.bottom)) {}
                }
                Shape::Frequent => {
                    line.begins x1=(px(span.from)) x2=(px(span.from)) y1=(px(WATER.bottom - 5.0)) y2=(px(WATER.bottom)) {}
                }
            }
            @if let Some(label) = label {
                text x=(px(span.from)) y=(px(WATER.top - 6.0)) text-anchor="middle" { (label) }
            }
        }
    }
}

/// The same as a table: lowest and highest of each day.
fn days(
    tanks: &[(usize, &Vec<Option<Extremes>>)],
    course: &Course,
    chapter: &Chapter,
    units: Units,
) -> Markup {
    let first = course.from_ms.div_euclid(DAY);
    let last = (course.to_ms - 1).div_euclid(DAY);
    // Of a year every month's first day is enough of a table.
    let step = usize::try_from((last - first) / 31 + 1).unwrap_or(1);
    let of_day = |columns: &[Option<Extremes>], day: i64| {
        let within = columns.iter().filter(|column| {
            column.is_some_and(|column| {
                column.lowest.0.div_euclid(DAY) == day || column.highest.0.div_euclid(DAY) == day
            })
        });
        extremes(within).map_or_else(
            || crate::wording::MISSING.to_owned(),
            |(low_c, high_c)| units.range(low_c, high_c),
        )
    };
    html! {
        div.scroll tabindex="0" role="region" aria-label="Temperatures by day" {
            table {
                caption { span { "Lowest and highest temperature of each day" @if step > 1 { " (every " (step) "th)" } } }
                thead {
                    tr {
                        th scope="col" { "Day" }
                        @for (place, _) in tanks { th scope="col" { (tank_name(chapter, *place)) } }
                        th scope="col" { "room" }
                    }
                }
                tbody {
                    @for day in (first..=last).step_by(step) {
                        tr {
                            th scope="row" { (day + 1) }
                            @for (_, columns) in tanks { td { (of_day(columns, day)) } }
                            td { (of_day(&course.room_c, day)) }
                        }
                    }
                }
            }
        }
    }
}
