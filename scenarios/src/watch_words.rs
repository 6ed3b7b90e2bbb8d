//! The rule of a watch in words.

use tepid_sim::ids::{HeaterId, ProbeId};
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{Scenario, Watch, WatchRule, called};

/// The rule of a scenario's watch, metric: "probe main above 27 °C".
#[must_use]
pub fn watch_in_words(scenario: &Scenario, watch: &Watch) -> String {
    rule_words(
        watch.rule,
        &|probe| called("probe", &scenario.probes[probe.0].name),
        &|heater| called("heater", &scenario.heaters[heater.0].name),
        &|kind, value| print(kind, value, System::Metric),
    )
}

/// "probe main above 27 °C"; how things are called and numbers printed is the caller's.
pub(crate) fn rule_words(
    rule: WatchRule,
    probe: &dyn Fn(ProbeId) -> String,
    heater: &dyn Fn(HeaterId) -> String,
    number: &dyn Fn(Kind, f64) -> String,
) -> String {
    match rule {
        WatchRule::Above { probe: id, line_c } => {
            format!("{} above {}", probe(id), number(Kind::Temperature, line_c))
        }
        WatchRule::Below { probe: id, line_c } => {
            format!("{} below {}", probe(id), number(Kind::Temperature, line_c))
        }
        WatchRule::Faster {
            probe: id, k_per_h, ..
        } => format!(
            "{} faster than {} an hour",
            probe(id),
            number(Kind::TemperatureDifference, k_per_h)
        ),
        WatchRule::Disagree {
            probe: id,
            other,
            by_k,
        } => format!(
            "{} and {} more than {} apart",
            probe(id),
            probe(other),
            number(Kind::TemperatureDifference, by_k)
        ),
        WatchRule::NoReading { probe: id } => format!("{} without a reading", probe(id)),
        WatchRule::DrawsAbove { heater: id, line_w } => {
            format!("{} draws above {}", heater(id), number(Kind::Power, line_w))
        }
        WatchRule::DrawsBelow { heater: id, line_w } => {
            format!("{} draws below {}", heater(id), number(Kind::Power, line_w))
        }
        WatchRule::DrawnNotCommanded { heater: id } => format!("{} draws though not commanded", heater(id)),
        WatchRule::CommandedNotDrawn { heater: id } => {
            format!("{} draws nothing though commanded", heater(id))
        }
        _ => "no sign of life".to_owned(),
    }
}
