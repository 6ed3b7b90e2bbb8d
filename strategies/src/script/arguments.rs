//! What `decide` may ask for, by the names of its arguments.

use rhai::{AST, Dynamic, FLOAT, Map};
use tepid_sim::scenario::Restart;
use tepid_sim::strategy::{NewWater, Readings, Wiring};
use tepid_sim::time::{HOUR, Millis, SECOND, time_of_day};

use super::problem::{ScriptProblem, UnknownName};
use super::{DECIDE, PARAMETERS, START};
use crate::control_loop::SETPOINT;
use crate::parameter::Param;

/// One argument of `decide`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Argument {
    Temperature,
    Probes,
    Drawn,
    Now,
    Hour,
    Elapsed,
    Announced,
    Restart,
    Setpoint,
    Target,
    Contacts,
    Param(&'static Param),
}

/// What there is beside the parameters.
const NAMED: [(&str, Argument); 11] = [
    ("temperature", Argument::Temperature),
    ("probes", Argument::Probes),
    ("drawn", Argument::Drawn),
    ("now", Argument::Now),
    ("hour", Argument::Hour),
    ("elapsed", Argument::Elapsed),
    ("announced", Argument::Announced),
    ("restart", Argument::Restart),
    ("setpoint", Argument::Setpoint),
    ("target", Argument::Target),
    ("contacts", Argument::Contacts),
];

impl Argument {
    /// The arguments of `decide`, in its order.
    pub(super) fn of(ast: &AST, params: &'static [Param], text: &str) -> Result<Vec<Self>, ScriptProblem> {
        for name in [START, PARAMETERS] {
            let takes =
                |function: &rhai::ScriptFnMetadata<'_>| function.name == name && !function.params.is_empty();
            if ast.iter_functions().any(|function| takes(&function)) {
                return Err(ScriptProblem::at(
                    text,
                    &format!("fn {name}"),
                    format!("`{name}` takes no arguments"),
                ));
            }
        }
        let mut decides = ast.iter_functions().filter(|function| function.name == DECIDE);
        let (Some(decide), None) = (decides.next(), decides.next()) else {
            return Err(ScriptProblem::at(
                text,
                &format!("fn {DECIDE}"),
                format!("there must be one function `{DECIDE}`, not several"),
            ));
        };
        decide
            .params
            .iter()
            .map(|name| Self::named(name, params).ok_or_else(|| unknown(name, params, text)))
            .collect()
    }

    /// Whether a name belongs to what there is beside the parameters.
    pub(super) fn is_reading(name: &str) -> bool {
        name != SETPOINT.name && NAMED.iter().any(|(known, _)| *known == name)
    }

    /// What may be asked for beside the parameters of the script's own.
    pub(super) fn names() -> impl Iterator<Item = &'static str> {
        NAMED.iter().map(|(name, _)| *name)
    }

    /// Whether every script may ask for it.
    pub(super) fn is_known(name: &str) -> bool {
        Self::names().any(|known| known == name)
    }

    fn named(name: &str, params: &'static [Param]) -> Option<Self> {
        let known = NAMED.iter().find(|(known, _)| *known == name);
        known
            .map(|(_, argument)| *argument)
            .or_else(|| params.iter().find(|param| param.name == name).map(Self::Param))
    }
}

fn unknown(name: &str, params: &[Param], text: &str) -> ScriptProblem {
    let of_params = params.iter().map(|param| param.name);
    let more = of_params.filter(|name| !Argument::is_known(name));
    let known: Vec<String> = Argument::names().chain(more).map(str::to_owned).collect();
    let message = format!(
        "`{DECIDE}` asks for `{name}`, which there is not; there are: {}. A parameter of the script's own is declared in \
         `{PARAMETERS}`",
        known.join(", ")
    );
    let unknown = UnknownName {
        name: name.to_owned(),
        known,
    };
    ScriptProblem::unknown(text, &format!("fn {DECIDE}"), unknown, message)
}

/// Seconds, for scripts.
pub(super) fn seconds(length_ms: Millis) -> Dynamic {
    Dynamic::from_float(length_ms as FLOAT / SECOND as FLOAT)
}

/// Hours since midnight.
pub(super) fn hour(now_ms: Millis) -> Dynamic {
    Dynamic::from_float(time_of_day(now_ms) as FLOAT / HOUR as FLOAT)
}

/// A reading; `()`: there is none.
pub(super) fn reading(temp_c: Option<f64>) -> Dynamic {
    temp_c
        .filter(|temp_c| temp_c.is_finite())
        .map_or(Dynamic::UNIT, Dynamic::from_float)
}

/// Every probe by its name.
pub(super) fn probes(seen: &Readings, wiring: &Wiring) -> Dynamic {
    let named = wiring.probes.iter().enumerate();
    let map: Map = named
        .map(|(index, probe)| {
            let temp_c = seen.probes_c.get(index).copied().flatten();
            (probe.name.as_str().into(), reading(temp_c))
        })
        .collect();
    map.into()
}

/// What every heater draws, W, by its name.
pub(super) fn drawn(seen: &Readings, wiring: &Wiring) -> Dynamic {
    let named = wiring.heaters.iter().enumerate();
    let map: Map = named
        .map(|(index, heater)| {
            let drawn_w = seen.drawn_w.get(index).copied().unwrap_or(0.0);
            (heater.name.as_str().into(), Dynamic::from_float(drawn_w))
        })
        .collect();
    map.into()
}

/// A change of water: how much of the water, and how warm the new one is.
fn new_water(water: NewWater) -> Dynamic {
    let map: Map = [
        ("share".into(), water.share_frac.into()),
        ("temp_c".into(), water.temp_c.into()),
    ]
    .into_iter()
    .collect();
    map.into()
}

/// What is announced, soonest first.
pub(super) fn announced(seen: &Readings) -> Dynamic {
    let list = seen.announced.iter().map(|event| {
        let until = |at_ms: Millis| seconds(at_ms - seen.now_ms);
        let map: Map = [
            ("name".into(), event.name.clone().into()),
            ("kind".into(), event.kind.word().into()),
            ("starts_in".into(), until(event.start_ms)),
            ("ends_in".into(), event.end_ms.map_or(Dynamic::UNIT, until)),
            (
                "new_water".into(),
                event.new_water.map_or(Dynamic::UNIT, new_water),
            ),
        ]
        .into_iter()
        .collect();
        Dynamic::from(map)
    });
    list.collect::<Vec<_>>().into()
}

/// How it came back since the last decision; `()`: it did not stop.
pub(super) fn restart(restart: Option<Restart>) -> Dynamic {
    match restart {
        None => Dynamic::UNIT,
        Some(restart) => restart.word().into(),
    }
}
