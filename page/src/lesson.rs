//! Lessons on the page: the question first, set-ups to play with, and what their runs show once somebody asks.
//!
//! A set-up stands on the page like a file of somebody's own; what the lesson breaks are acts, which can be undone and forgotten.

use serde::Serialize;
use tepid_lessons::{Lesson, Picture, Prepared, Told, lesson, lessons, prepare};
use tepid_sim::run::run;
use tepid_sim::scenario::{Happening, Lasts, Origin, Scenario, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::{HOUR, MINUTE, Millis};

use crate::Mistake;
use crate::acts::Act;
use crate::happened::shown;
use crate::own::OwnFile;
use crate::sliders::{Turned, Value};

/// How long before it breaks a set-up is first shown, ms. A choice.
const BEFORE_MS: Millis = HOUR;
/// Parameters of strategies that are sliders.
const SLIDERS: [&str; 2] = ["setpoint", "deadband"];

/// A lesson before anybody has guessed.
#[derive(Debug, Clone, Serialize)]
pub struct Asked {
    /// Its name.
    pub name: &'static str,
    /// For people.
    pub title: &'static str,
    /// What somebody knows afterwards.
    pub aim: &'static str,
    /// How long it takes, min.
    pub minutes: u32,
    /// For whom.
    pub ages: &'static str,
    /// What stands there and what happens to it.
    pub story: &'static str,
    /// The question to guess first.
    pub question: &'static str,
    /// What may be guessed.
    pub choices: &'static [&'static str],
    /// What is run.
    pub set_ups: Vec<Stage>,
    /// The stretch to look at closely; absent: all of it.
    pub closely: Option<Stretch>,
}

/// A stretch of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Stretch {
    /// From when, minutes since scoring began.
    pub from_min: u32,
    /// For how long, minutes.
    pub for_min: u32,
}

/// A set-up as a state of the page.
#[derive(Debug, Clone, Serialize)]
pub struct Stage {
    /// What it is called.
    pub label: &'static str,
    /// The file that is its scenario.
    pub scenario: String,
    /// Its strategy: one of the program, or a file where it has guards.
    pub strategies: Vec<String>,
    /// Its files.
    pub files: Vec<OwnFile>,
    /// Where sliders stand.
    pub sliders: Turned,
    /// What breaks.
    pub acts: Vec<Act>,
    /// The time to look at first, minutes since scoring began.
    pub at: u32,
}

/// All lessons, without their answers.
///
/// # Errors
/// A lesson with a mistake in it, which would be one of ours.
pub fn asked() -> Result<Vec<Asked>, Mistake> {
    lessons().iter().map(asked_of).collect()
}

fn asked_of(lesson: &'static Lesson) -> Result<Asked, Mistake> {
    let prepared = prepare(lesson).map_err(mistaken)?;
    let stages = prepared.iter().map(|one| stage(lesson.name, one));
    Ok(Asked {
        name: lesson.name,
        title: lesson.title,
        aim: lesson.aim,
        minutes: lesson.minutes,
        ages: lesson.ages,
        story: lesson.story,
        question: lesson.question,
        choices: lesson.choices,
        set_ups: stages.collect(),
        closely: match lesson.picture {
            Picture::Course => None,
            Picture::Cycle { from_h, for_h } => Some(Stretch {
                from_min: minutes(from_h * HOUR),
                for_min: minutes(for_h * HOUR),
            }),
        },
    })
}

/// What the runs of a lesson show: they are made now.
///
/// # Errors
/// There is none of that name; or one with a mistake in it.
pub fn told(name: &str) -> Result<Told, Mistake> {
    let lesson = lesson(name).ok_or_else(|| Mistake(format!("no lesson is named `{name}`")))?;
    let prepared = prepare(lesson).map_err(mistaken)?;
    let scores = prepared
        .iter()
        .map(|one| run(&one.request(), None).map_err(mistaken));
    let scores = scores.collect::<Result<Vec<Scores>, Mistake>>()?;
    lesson.tell(&prepared, &scores).map_err(mistaken)
}

fn mistaken(error: impl std::fmt::Display) -> Mistake {
    Mistake(error.to_string())
}

/// A set-up's scenario without what it breaks.
fn unbroken(text: &str) -> &str {
    text.split("\n[[fault]]").next().unwrap_or(text)
}

fn stage(lesson: &str, prepared: &Prepared) -> Stage {
    let faults = || {
        prepared
            .scenario
            .happenings
            .iter()
            .filter(|one| one.origin == Origin::Fault)
    };
    let acts: Vec<Act> = faults()
        .flat_map(|one| acts_of(&prepared.scenario, one))
        .collect();
    let began_ms = prepared.failure_ms().map_or(0, |(from_ms, _)| from_ms);
    let mut files = vec![OwnFile {
        name: format!("{lesson}, {}.toml", prepared.set_up.label),
        text: unbroken(&prepared.set_up.scenario).to_owned(),
    }];
    let strategy = if prepared.strategy.guards.is_empty() {
        prepared.strategy.strategy.to_owned()
    } else {
        let name = format!("{}.toml", prepared.strategy.name);
        files.push(OwnFile {
            name: name.clone(),
            text: prepared.set_up.strategy.clone(),
        });
        name
    };
    Stage {
        label: prepared.set_up.label,
        scenario: files[0].name.clone(),
        strategies: vec![strategy],
        files,
        sliders: turned(prepared),
        acts,
        at: minutes((began_ms - BEFORE_MS).max(0)),
    }
}

/// The acts that do what a fault does.
fn acts_of(scenario: &Scenario, fault: &Happening) -> Vec<Act> {
    let (Some(what), of) = shown(scenario, fault.effect) else {
        return Vec::new();
    };
    let When::At(from_ms) = fault.when else {
        return Vec::new();
    };
    let to_min = match fault.lasts {
        Lasts::For(lasts_ms) => Some(minutes(from_ms + lasts_ms)),
        Lasts::ToTheEnd => None,
    };
    // What befalls everything has one act without a name.
    let each = if of.is_empty() { vec![String::new()] } else { of };
    let act = |of| Act {
        what,
        of,
        from_min: minutes(from_ms),
        to_min,
    };
    each.into_iter().map(act).collect()
}

/// Whole minutes.
fn minutes(at_ms: Millis) -> u32 {
    u32::try_from(at_ms / MINUTE).unwrap_or(0)
}

/// Sliders for what the set-up's strategy states.
fn turned(prepared: &Prepared) -> Turned {
    let mut turned = Turned::default();
    for line in prepared.set_up.strategy.lines() {
        let Some((key, value)) = line.split_once('=') else {
            continue;
        };
        let number = value
            .trim()
            .trim_matches('"')
            .split(' ')
            .next()
            .and_then(|number| number.parse().ok());
        if let (true, Some(number)) = (SLIDERS.contains(&key.trim()), number) {
            turned.values.insert(key.trim().to_owned(), Value::Number(number));
        }
    }
    turned
}
