//! What the live page opens at: a scenario and strategies, each by its name where the page has it, else as a file that goes along.

use std::path::Path;

use tepid_output::live::{LiveFile, LiveStart};
use tepid_scenarios::{Report, Setting, carried, library};
use tepid_sim::scenario::Scenario;

/// Most strategies that the page shows side by side.
pub const MOST_STRATEGIES: usize = 4;

/// What the live page is to open at.
#[derive(Debug, Clone, Copy)]
pub struct LiveRequest<'a> {
    /// The scenario's name in the library, or its file.
    pub asked: &'a str,
    /// The scenario, with its changes.
    pub scenario: &'a Scenario,
    /// Changes by path.
    pub settings: &'a [Setting],
    /// Names of strategies, or files; empty: two that most tanks can be run by.
    pub strategies: &'a [String],
    /// Seed of weather and noise.
    pub seed: u64,
}

/// The live page cannot show it.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LiveStartError {
    /// One drawing is one water system.
    #[error(
        "{scenario} has {systems} water systems, and the live tank draws one; expected a scenario of one"
    )]
    SeveralSystems {
        /// The scenario.
        scenario: String,
        /// Its water systems.
        systems: usize,
    },
    /// It runs in the browser, which has neither scripts' engine nor other programs.
    #[error(
        "{strategy} is a {kind}, and the live tank runs built-in strategies alone, with any parameters and guards"
    )]
    Outside {
        /// The strategy.
        strategy: String,
        /// "script" or "program".
        kind: &'static str,
    },
    /// There is room for so many.
    #[error(
        "the live tank shows at most {MOST_STRATEGIES} strategies side by side; expected no more, not {asked}"
    )]
    TooMany {
        /// How many there are.
        asked: usize,
    },
    /// A file cannot be read, or needs another one.
    #[error("{}", .0.plain())]
    File(Box<Report>),
    /// A strategy's file cannot be read.
    #[error("cannot read {name}: {cause}")]
    Unread {
        /// The file.
        name: String,
        /// Why not.
        cause: std::io::Error,
    },
}

impl From<Report> for LiveStartError {
    fn from(report: Report) -> Self {
        Self::File(Box::new(report))
    }
}

/// What the page opens at.
///
/// # Errors
/// [`LiveStartError`] where the page cannot show it.
pub fn live_start(request: &LiveRequest<'_>) -> Result<LiveStart, LiveStartError> {
    let systems = request.scenario.system_tanks().len();
    if systems > 1 {
        return Err(LiveStartError::SeveralSystems {
            scenario: request.scenario.name.clone(),
            systems,
        });
    }
    if request.strategies.len() > MOST_STRATEGIES {
        return Err(LiveStartError::TooMany {
            asked: request.strategies.len(),
        });
    }
    let mut files = Vec::new();
    let scenario = if library::text(request.asked).is_some() && request.settings.is_empty() {
        request.asked.to_owned()
    } else {
        let name = file_name(request.asked, !request.settings.is_empty());
        let text = carried(request.asked, request.settings)?;
        files.push(LiveFile {
            name: name.clone(),
            text,
        });
        name
    };
    let mut strategies = Vec::new();
    for asked in request.strategies {
        let strategy = tepid_scenarios::strategy(asked)?;
        if let Some(kind) = ["script", "program"]
            .into_iter()
            .find(|kind| *kind == strategy.strategy)
        {
            return Err(LiveStartError::Outside {
                strategy: asked.clone(),
                kind,
            });
        }
        if tepid_strategies::find(asked).is_some() {
            strategies.push(asked.clone());
            continue;
        }
        let name = file_name(asked, false);
        let text = std::fs::read_to_string(asked).map_err(|cause| LiveStartError::Unread {
            name: asked.clone(),
            cause,
        })?;
        files.push(LiveFile {
            name: name.clone(),
            text,
        });
        strategies.push(name);
    }
    if strategies.is_empty() {
        // Where there are fans, somebody should command them.
        let second = if request.scenario.fans.is_empty() {
            "lead-lag"
        } else {
            "heat-and-fan"
        };
        strategies.extend(["on-off", second].map(str::to_owned));
    }
    Ok(LiveStart {
        scenario,
        strategies,
        files,
        seed: request.seed,
    })
}

/// "my-tank.toml" of "folder/my-tank.toml"; one that was changed says so.
fn file_name(asked: &str, is_changed: bool) -> String {
    let path = Path::new(asked);
    let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or(asked);
    if is_changed {
        format!("{stem}, changed.toml")
    } else {
        path.file_name()
            .and_then(|name| name.to_str())
            .unwrap_or(asked)
            .to_owned()
    }
}
