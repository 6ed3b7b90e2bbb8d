//! What the tests of determinism share: a scenario, strategies, a sink that keeps what it is told.

use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::Millis;
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

/// A library scenario with drift and noise, cut to two days.
pub fn short_scenario() -> Scenario {
    let mut scenario = tepid_scenarios::scenario("spare-room-winter", &[]).expect("library scenario");
    scenario.duration_ms = 2 * tepid_sim::time::DAY;
    assert!(scenario.room.temperature.drift_k > 0.0 && scenario.probes[0].noise_k > 0.0);
    scenario
}

/// Does work on so many threads.
pub fn on_threads<T: Send>(threads: usize, work: impl FnOnce() -> T + Send) -> T {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    pool.expect("pool").install(work)
}

/// Built-in strategies with all their defaults.
pub fn built_in(names: &[&str]) -> Vec<(String, Box<dyn StrategyRecipe>)> {
    let file = |name: &&str| tepid_scenarios::strategy(name).expect("strategy");
    names
        .iter()
        .map(file)
        .map(|file| (file.name, file.recipe))
        .collect()
}

/// A strategy from a text.
pub fn strategy(text: &str) -> Box<dyn StrategyRecipe> {
    match tepid_scenarios::load_str("strategy.toml", text) {
        Ok(tepid_scenarios::Loaded::Strategy(strategy)) => strategy.recipe,
        other => panic!("{other:?}"),
    }
}

/// Every row: time, room, readings, water.
#[derive(Default)]
pub struct Rows(pub Vec<Row>);

/// One row's bits.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub at_ms: Millis,
    pub room_c: f64,
    pub water_c: Vec<f64>,
    pub readings_c: Vec<Option<f64>>,
}

impl TraceSink for Rows {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.0.push(Row {
            at_ms: row.at_ms,
            room_c: row.room_c,
            water_c: row.water_c.to_vec(),
            readings_c: row.readings_c.to_vec(),
        });
    }

    fn mark(&mut self, _mark: &Mark<'_>) {}
}

/// A small study with faults and a drawn value, planned.
pub fn plan(replicates: u64) -> tepid::study::Plan {
    let text = "scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\", \"pi\"]\n\
        faults = [\"none\", \"one contact welded\", \"outage\"]\nduration = \"1 d\"\n\
        [[vary]]\npath = \"water.target\"\ndistribution = \"uniform\"\nlow = \"24.6 °C\"\nhigh = \"25.4 °C\"\n";
    let text = format!("replicates = {replicates}\n{text}");
    match tepid_scenarios::load_str("study.toml", &text) {
        Ok(tepid_scenarios::Loaded::Study(study)) => tepid::study::Plan::new(*study).expect("a plan"),
        other => panic!("{other:?}"),
    }
}

/// The whole of a study, kept in a folder.
pub fn whole<'a>(
    plan: &'a tepid::study::Plan,
    folder: &'a std::path::Path,
    stop: &'a std::sync::atomic::AtomicBool,
) -> tepid::study::StudyRequest<'a> {
    tepid::study::StudyRequest {
        plan,
        path: "study.toml",
        folder: Some(folder),
        shard: tepid::study::Shard::WHOLE,
        baseline: None,
        stop,
    }
}

/// The files of a folder of results but the lock, by name.
pub fn bytes_of(folder: &std::path::Path) -> Vec<(String, Vec<u8>)> {
    let entries = std::fs::read_dir(folder)
        .expect("folder")
        .map(|entry| entry.expect("entry"));
    let mut files: Vec<(String, Vec<u8>)> = entries
        .map(|entry| (entry.file_name().to_string_lossy().into_owned(), entry))
        .filter(|(name, _)| name != "lock")
        .map(|(name, entry)| (name, std::fs::read(entry.path()).expect("read")))
        .collect();
    files.sort();
    files
}
