//! A study by a digest of everything that its cells depend on.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};
use tepid_scenarios::{Study, Takes};

use super::plan::{ScenarioPoint, StrategyPoint};

/// Changed whenever the same study would give other cells: what results of other versions mean is not known.
const CELLS_OF: &str = concat!("tepid ", env!("CARGO_PKG_VERSION"), ", cells 1");

/// Everything that a cell's scores depend on. Gates and titles are left out: they change no cell.
pub(super) fn digest(study: &Study, scenarios: &[ScenarioPoint], strategies: &[StrategyPoint]) -> String {
    let mut parts = Vec::new();
    let mut add = |text: String| parts.push(text);
    add(format!(
        "{} {} {:?} {:?}",
        study.seed, study.replicates, study.scored_from_ms, study.enough
    ));
    for vary in &study.vary {
        if let Takes::Drawn(drawn) = &vary.takes {
            add(format!("{} {:?} {}", vary.path, drawn.distribution, drawn.unit()));
        }
    }
    for point in scenarios {
        add(format!("{} {:?} {:?}", point.name, point.cases, point.scenario));
    }
    for point in strategies {
        let script = &study.strategies[point.of].file.script;
        add(format!("{} {:?} {:?}", point.name, point.recipe, script));
    }
    digest_of(parts)
}

/// A digest of some parts, each told apart from the next, and of this version of the program.
pub(crate) fn digest_of(parts: Vec<String>) -> String {
    let mut hasher = Sha256::new();
    for part in std::iter::once(CELLS_OF.to_owned()).chain(parts) {
        hasher.update(part.as_bytes());
        hasher.update([0]);
    }
    let bytes = hasher.finalize();
    bytes.iter().take(DIGEST_B).fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Bytes of a digest that are kept: enough that two studies never share one by chance.
const DIGEST_B: usize = 16;
