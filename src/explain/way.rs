//! The way from probe to heater: found by asking the strategy, not by its name.

use tepid_output::records::WayStep;
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Load, ProbePurpose, Role, Scenario};
use tepid_sim::strategy::{BindError, Command, Commands, Readings, StrategyRecipe, Wiring};
use tepid_sim::time::{HOUR, Millis};
use tepid_strategies::guard::{ActsOn, GuardEntry};

/// How far off a reading is in a trial, K: past every deadband.
const OFF_K: f64 = 5.0;

/// How long a trial lasts, ms: past minimum times and duty cycles.
const TRIAL_MS: Millis = 2 * HOUR;

/// Steps from probe to heater.
pub(super) fn way(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    guards: &[&GuardEntry],
) -> Result<Vec<WayStep>, BindError> {
    let wiring = Wiring::of(scenario);
    let asked = Asked {
        recipe,
        wiring: &wiring,
        target_c: scenario.water.target_c,
    };
    let step = |kind: &str, what: String| WayStep {
        kind: kind.to_owned(),
        what,
    };
    let mut steps: Vec<WayStep> = asked
        .probes()?
        .into_iter()
        .map(|probe| {
            let probe = &wiring.probes[probe];
            let place = probe.tank.as_deref().unwrap_or("the room's air");
            step("probe", format!("`{}` in {place}", probe.name))
        })
        .collect();
    let of_guards = |on: ActsOn| {
        let wanted = guards.iter().filter(move |guard| guard.acts_on == on);
        wanted.map(|guard| step("guard", format!("{}: {}", guard.name, guard.summary)))
    };
    // Readings come in from the outside, commands go out from the inside.
    let corrections: Vec<WayStep> = of_guards(ActsOn::Readings).collect();
    steps.extend(corrections.into_iter().rev());
    steps.push(step("strategy", recipe.name().to_owned()));
    steps.extend(of_guards(ActsOn::Commands));
    for contact in asked.contacts()? {
        steps.push(step(
            "contact",
            format!(
                "`{}`{}",
                wiring.contacts[contact].name,
                behind(scenario, ContactId(contact))
            ),
        ));
    }
    Ok(steps)
}

/// What a contact switches, with the rest of each heater's chain.
fn behind(scenario: &Scenario, contact: ContactId) -> String {
    let loads = scenario.behind(contact).map(|load| match load {
        Load::Heater(heater) => {
            let heater = &scenario.heaters[heater.0];
            let rest = heater.chain.iter().skip_while(|other| **other != contact).skip(1);
            let rest: String = rest
                .map(|other| format!("{} -> ", scenario.contacts[other.0].name))
                .collect();
            format!("{rest}heater `{}`", heater.name)
        }
        Load::Fan(fan) => format!("fan `{}`", scenario.fans[fan.0].name),
        Load::Chiller(chiller) => format!("chiller `{}`", scenario.chillers[chiller.0].name),
        other => format!("{other:?}"),
    });
    let of_room = match scenario.contacts[contact.0].role {
        Some(Role::HeatRoom) => Some("the room's heating".to_owned()),
        Some(Role::CoolRoom) => Some("the room's cooling".to_owned()),
        _ => None,
    };
    let loads: Vec<String> = loads.chain(of_room).collect();
    if loads.is_empty() {
        return String::new();
    }
    format!(" -> {}", loads.join(", "))
}

/// A strategy that is shown readings.
struct Asked<'a> {
    recipe: &'a dyn StrategyRecipe,
    wiring: &'a Wiring,
    target_c: f64,
}

impl Asked<'_> {
    /// What it commands while these probes read so much off the target.
    fn commands(&self, off_k: &dyn Fn(usize) -> f64) -> Result<Vec<Command>, BindError> {
        let mut strategy = self.recipe.bind(self.wiring)?;
        let mut commands = Commands::default();
        let mut all = Vec::new();
        let mut now_ms = 0;
        while now_ms < TRIAL_MS {
            let seen = Readings {
                now_ms,
                probes_c: (0..self.wiring.probes.len())
                    .map(|probe| Some(self.target_c + off_k(probe)))
                    .collect(),
                drawn_w: vec![0.0; self.wiring.heaters.len()],
                announced: Vec::new(),
            };
            commands.clear();
            if strategy.decide(&seen, &mut commands).is_err() {
                break;
            }
            all.extend_from_slice(commands.list());
            now_ms += self.recipe.interval_ms();
        }
        Ok(all)
    }

    /// Probes whose reading alone changes what it commands; those that control, where none does.
    fn probes(&self) -> Result<Vec<usize>, BindError> {
        let usual = self.commands(&|_| 0.0)?;
        let mut read = Vec::new();
        for probe in 0..self.wiring.probes.len() {
            let off = |by_k: f64| move |other: usize| if other == probe { by_k } else { 0.0 };
            if self.commands(&off(-OFF_K))? != usual || self.commands(&off(OFF_K))? != usual {
                read.push(probe);
            }
        }
        if read.is_empty() {
            read = (0..self.wiring.probes.len())
                .filter(|probe| self.wiring.probes[*probe].purpose == ProbePurpose::Control)
                .collect();
        }
        Ok(read)
    }

    /// Contacts that it commands, cold or warm.
    fn contacts(&self) -> Result<Vec<usize>, BindError> {
        let mut commanded: Vec<usize> = Vec::new();
        for off_k in [-OFF_K, OFF_K] {
            for command in self.commands(&|_| off_k)? {
                if !commanded.contains(&command.contact.0) {
                    commanded.push(command.contact.0);
                }
            }
        }
        commanded.sort_unstable();
        Ok(commanded)
    }
}
