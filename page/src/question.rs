//! The door for a page: one question as text, one answer as text, and the numbers of the runs beside it.

use serde::{Deserialize, Serialize};
use tepid_scenarios::{FileKind, kind_of_text, library};

use crate::Mistake;
use crate::acts::ActKind;
use crate::lesson;
use crate::own::{OwnFile, OwnKind, binds, shown};
use crate::play::{Run, play};
use crate::setup::{MOST_STRATEGIES, Setup};
use crate::sliders::{Slider, sliders};

/// What a page may ask.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Question {
    /// What there is to choose from.
    Choices {},
    /// What a file is; what is wrong with it is the answer otherwise.
    Opened(OwnFile),
    /// What can be turned and done in a scenario.
    Controls(Setup),
    /// What comes of a setup.
    Play(Setup),
    /// Which lessons there are, without their answers.
    Lessons {},
    /// What the runs of a lesson show.
    Lesson {
        /// Its name.
        name: String,
    },
}

/// What a page may choose from.
#[derive(Debug, Serialize)]
struct Choices {
    scenarios: Vec<Named>,
    strategies: Vec<Named>,
    most_strategies: usize,
}

#[derive(Debug, Serialize)]
struct Named {
    name: &'static str,
    title: String,
    summary: String,
}

/// What a file turned out to be.
#[derive(Debug, Serialize)]
struct Opened {
    kind: OwnKind,
}

/// What can be turned and done.
#[derive(Debug, Serialize)]
struct Controls {
    /// The scenario's title, and what it teaches.
    title: String,
    summary: String,
    sliders: Vec<Slider>,
    acts: Vec<Doable>,
    /// Which files are scenarios.
    own_scenarios: Vec<String>,
    /// Which strategies can control the scenario; files first.
    strategies: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Doable {
    what: ActKind,
    words: &'static str,
    undo_words: &'static str,
    targets: Vec<String>,
}

/// An answer.
#[derive(Debug, Default)]
pub struct Answered {
    /// JSON: what was asked for, or `{"mistake": "…"}`.
    pub text: String,
    /// The numbers of the runs, if some were asked for.
    pub runs: Vec<Run>,
}

/// Answers a question; one that is not understood is answered by what is wrong with it.
#[must_use]
pub fn answer(question: &[u8]) -> Answered {
    let answered = understood(question);
    answered.unwrap_or_else(|mistake| Answered {
        text: serde_json::json!({ "mistake": mistake.0 }).to_string(),
        runs: Vec::new(),
    })
}

fn understood(question: &[u8]) -> Result<Answered, Mistake> {
    let text_alone = |text: String| Answered {
        text,
        runs: Vec::new(),
    };
    match serde_json::from_slice(question)? {
        Question::Choices {} => Ok(text_alone(serde_json::to_string(&choices()?)?)),
        Question::Opened(file) => {
            let opened = Opened { kind: file.kind()? };
            Ok(text_alone(serde_json::to_string(&opened)?))
        }
        Question::Controls(setup) => Ok(text_alone(serde_json::to_string(&controls(&setup)?)?)),
        Question::Lessons {} => Ok(text_alone(serde_json::to_string(&lesson::asked()?)?)),
        Question::Lesson { name } => Ok(text_alone(serde_json::to_string(&lesson::told(&name)?)?)),
        Question::Play(setup) => {
            let played = play(&setup)?;
            Ok(Answered {
                text: serde_json::to_string(&played)?,
                runs: played.runs,
            })
        }
    }
}

fn choices() -> Result<Choices, Mistake> {
    let mut scenarios = Vec::new();
    for name in library::names() {
        let Some(scenario) = library::load(name) else {
            continue;
        };
        let scenario = scenario?;
        // One drawing is one water system, and scores so far are those of one.
        if scenario.system_tanks().len() > 1 {
            continue;
        }
        scenarios.push(Named {
            name,
            title: scenario.title,
            summary: scenario.teaches,
        });
    }
    let strategies = tepid_strategies::registry().iter().map(|entry| Named {
        name: entry.name,
        title: entry.name.to_owned(),
        summary: entry.summary.to_owned(),
    });
    Ok(Choices {
        scenarios,
        strategies: strategies.collect(),
        most_strategies: MOST_STRATEGIES,
    })
}

fn controls(setup: &Setup) -> Result<Controls, Mistake> {
    let scenario = setup.untouched()?;
    shown(&scenario)?;
    let acts = ActKind::ALL.into_iter().map(|what| Doable {
        what,
        words: what.words(),
        undo_words: what.undo_words(),
        targets: what.targets(&scenario),
    });
    let entries = tepid_strategies::registry().iter();
    let of_the_program = entries
        .filter(|entry| binds(&scenario, entry))
        .map(|entry| entry.name);
    let own = |kind: FileKind| {
        setup
            .files
            .iter()
            .filter(move |file| kind_of_text(&file.text) == kind)
    };
    Ok(Controls {
        title: scenario.title.clone(),
        summary: scenario.teaches.clone(),
        sliders: sliders(&scenario),
        acts: acts.filter(|act| !act.targets.is_empty()).collect(),
        own_scenarios: own(FileKind::Scenario).map(|file| file.name.clone()).collect(),
        strategies: own(FileKind::Strategy)
            .map(|file| file.name.as_str())
            .chain(of_the_program)
            .map(str::to_owned)
            .collect(),
    })
}
