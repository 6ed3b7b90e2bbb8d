//! The fields of a strategy: its own table of parameters, as fields.

use std::borrow::Cow;

use tepid_strategies::Entry;
use tepid_strategies::parameter::{Param, ParamDefault, ParamKind};

use super::{Field, FieldKind, Limits, Presence};

/// `strategy` itself and a name to show, then the parameters of `entry`.
pub(crate) fn fields(entry: &Entry) -> Vec<Field> {
    let mut fields = head();
    fields.extend(entry.params.iter().map(field));
    fields
}

/// The fields every strategy file has.
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
    ]
}

fn field(param: &Param) -> Field {
    let kind = match param.kind {
        ParamKind::Quantity(kind) => FieldKind::Quantity(kind),
        ParamKind::Choice(words) => FieldKind::Choice(words),
        ParamKind::ProbeName => FieldKind::Text,
        ParamKind::ContactNames => FieldKind::Texts,
    };
    let default = param.default_text();
    let example = match param.kind {
        ParamKind::ProbeName => "\"main\"".to_owned(),
        ParamKind::ContactNames => "[\"relay left\", \"relay right\"]".to_owned(),
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
