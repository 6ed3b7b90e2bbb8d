//! `tepid report`.

use std::path::PathBuf;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, none_failed, not_bound, twice, with_threads};
use tepid::report::{ReportRequest, report};
use tepid_output::report::{Input, html};
use tepid_scenarios::library;
use tepid_sim::run::binds;

/// Arguments of `report`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Scenarios of the library, or scenario files; several are ranked, the first in danger on top.
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<String>,
    /// A strategy by name or file; may be given several times.
    #[arg(long, required = true)]
    strategy: Vec<String>,
    /// The page to write.
    #[arg(long, short, value_name = "FILE.html")]
    output: PathBuf,
    /// Runs of each strategy with nothing broken, in other weather and noise, that show how outcomes vary.
    #[arg(long, default_value_t = 20, value_parser = clap::value_parser!(u64).range(1..=1000))]
    runs: u64,
    #[command(flatten)]
    changes: Changes,
    /// Seed of weather and noise.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// Threads; without it: all cores. The result does not depend on it.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..))]
    threads: Option<u16>,
}

/// Computes and writes.
pub fn run(arguments: &Arguments) -> Done {
    let settings = arguments.changes.settings()?;
    let mut scenarios = Vec::new();
    for asked in &arguments.scenarios {
        scenarios.push((asked.clone(), tepid_scenarios::scenario(asked, &settings)?));
    }
    let mut strategies = Vec::new();
    for asked in &arguments.strategy {
        let file = tepid_scenarios::strategy(asked)?;
        for (_, scenario) in &scenarios {
            binds(scenario, file.recipe.as_ref()).map_err(|error| not_bound(asked, scenario, &error))?;
        }
        strategies.push((file.name, file.recipe));
    }
    let names: Vec<&str> = scenarios
        .iter()
        .map(|(_, scenario)| scenario.name.as_str())
        .collect();
    let strategy_names: Vec<&str> = strategies.iter().map(|(name, _)| name.as_str()).collect();
    if let Some(name) = twice(&names).or_else(|| twice(&strategy_names)) {
        return Err(Failure::BadInput(format!(
            "`{name}` is asked for twice; expected each scenario and each strategy once"
        )));
    }
    let request = ReportRequest {
        scenarios: &scenarios,
        strategies: &strategies,
        strategies_asked: &arguments.strategy,
        changes: &arguments.changes.set,
        seed: arguments.seed,
        runs: arguments.runs,
        file: &arguments.output.display().to_string(),
        inputs: inputs(arguments)?,
    };
    // A wrong path fails before the work, not after it.
    std::fs::write(&arguments.output, "").map_err(|error| Failure::writing(&arguments.output, error))?;
    let report = with_threads(arguments.threads, |bar| report(&request, bar))?
        .map_err(|error| Failure::BadInput(error.to_string()))?;
    let page = html(&report);
    std::fs::write(&arguments.output, &page).map_err(|error| Failure::writing(&arguments.output, error))?;
    print(&format!(
        "{}: {} kB, opens in any browser, needs no network\n",
        arguments.output.display(),
        page.len().div_ceil(1000)
    ))?;
    let failed = report
        .chapters
        .iter()
        .flat_map(|chapter| &chapter.faults.strategies)
        .filter(|one| !one.failures.is_empty());
    none_failed(failed.count())
}

/// Texts of all scenarios and of strategies in files.
fn inputs(arguments: &Arguments) -> Result<Vec<Input>, Failure> {
    let mut inputs = Vec::new();
    for asked in arguments.scenarios.iter().chain(&arguments.strategy) {
        let built_in = tepid_strategies::registry()
            .iter()
            .any(|entry| entry.name == *asked);
        let text = match library::text(asked) {
            Some(text) => text.to_owned(),
            None if built_in => continue,
            None => std::fs::read_to_string(asked)
                .map_err(|error| Failure::BadInput(format!("cannot read {asked}: {error}")))?,
        };
        inputs.push(Input {
            name: asked.clone(),
            text,
        });
    }
    Ok(inputs)
}
