//! The fields of a strategy and of a guard: their own tables of parameters, as fields.

use std::borrow::Cow;

use tepid_sim::quantity::Kind;
use tepid_strategies::Entry;
use tepid_strategies::guard::GuardEntry;
use tepid_strategies::parameter::{Param, ParamDefault, ParamKind};
#[cfg(feature = "outside")]
use tepid_strategies::program;

use super::{Field, FieldKind, Limits, Presence};

/// `strategy` itself and a name to show, then the parameters of `entry`, then its guards.
pub(crate) fn fields(entry: &Entry) -> Vec<Field> {
    with(Vec::new(), entry.params)
}

#[cfg(feature = "outside")]
/// The same for a script: its file, and the parameters that it declares.
pub(crate) fn script_fields(params: &[Param]) -> Vec<Field> {
    with(vec![file_field()], params)
}

#[cfg(feature = "outside")]
/// The same for an outside program: its command.
pub(crate) fn program_fields() -> Vec<Field> {
    with(vec![command_field()], program::PARAMS)
}

#[cfg(feature = "outside")]
/// Where a script is.
pub(crate) fn file_field() -> Field {
    Field::required(
        "file",
        FieldKind::Text,
        "\"mine.rhai\"",
        "the script, from the folder of this file",
    )
}

#[cfg(feature = "outside")]
/// What is run.
pub(crate) fn command_field() -> Field {
    Field::required(
        "command",
        FieldKind::Texts,
        "[\"python3\", \"mine.py\"]",
        "the program and its arguments, run in the folder of this file",
    )
}

fn with(own: Vec<Field>, params: &[Param]) -> Vec<Field> {
    let mut fields = head();
    let guards = fields.pop();
    fields.extend(own);
    fields.extend(params.iter().map(field));
    fields.extend(guards);
    fields
}

/// `guard` itself, then the parameters of `entry`.
pub(crate) fn guard_fields(entry: &GuardEntry) -> Vec<Field> {
    let mut fields = vec![guard_name()];
    fields.extend(entry.params.iter().map(field));
    fields
}

/// The field every guard has.
pub(crate) fn guard_name() -> Field {
    Field::required(
        "guard",
        FieldKind::Text,
        "\"software-limit\"",
        "which guard: see the list of guards",
    )
}

/// The fields every strategy file has; tables come last, as in a file.
pub(crate) fn head() -> Vec<Field> {
    vec![
        Field::required(
            "strategy",
            FieldKind::Text,
            "\"on-off\"",
            "which strategy: see the list of strategies",
        ),
        Field::optional(
            "name",
            FieldKind::Text,
            "the file's name",
            "\"narrow on-off\"",
            "short name, for tables",
        ),
        Field::optional(
            "guard",
            FieldKind::Guards,
            "none",
            "[{ guard = \"software-limit\" }]",
            "what stands around it, the first one innermost",
        ),
    ]
}

fn field(param: &Param) -> Field {
    let kind = match param.kind {
        ParamKind::Quantity(kind) => FieldKind::Quantity(kind),
        ParamKind::TimeOfDay => FieldKind::TimeOfDay,
        ParamKind::Choice(words) => FieldKind::Choice(words),
        ParamKind::ProbeName => FieldKind::Text,
        ParamKind::ProbeNames | ParamKind::ContactNames | ParamKind::EventNames => FieldKind::Texts,
    };
    let default = param.default_text();
    let example = match param.kind {
        ParamKind::ProbeName => "\"main\"".to_owned(),
        ParamKind::ProbeNames => "[\"main\", \"second\", \"third\"]".to_owned(),
        ParamKind::EventNames => "[\"feeding pause\", \"water change\"]".to_owned(),
        ParamKind::ContactNames => "[\"relay left\", \"relay right\"]".to_owned(),
        // Edges of one deadband, which must not be alike.
        ParamKind::Quantity(Kind::Temperature) if param.name.ends_with("_above") => "\"27.5 °C\"".to_owned(),
        ParamKind::Quantity(Kind::Temperature) if param.name.ends_with("_below") => "\"26.5 °C\"".to_owned(),
        ParamKind::Quantity(kind) if matches!(param.default, ParamDefault::OfScenario(_)) => {
            format!("\"{}\"", kind.example())
        }
        _ => format!("\"{default}\""),
    };
    // What holds without a value comes from the strategy itself, so it is stated in words here.
    Field {
        name: param.name,
        kind,
        presence: Presence::Otherwise(Cow::Owned(default)),
        limits: Limits::ANY,
        doc: param.doc,
        example: Cow::Owned(example),
    }
}
