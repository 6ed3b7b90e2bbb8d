//! Happenings of dials and of the controller.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Effect, Outputs, Restart};

use super::{Around, stated};
use crate::problem::{Problem, Reported};
use crate::reader::Reader;

/// A dial that drifts or was set wrong.
pub(super) fn dial(
    reader: &Reader<'_>,
    what: &str,
    around: &Around<'_>,
) -> Result<Vec<(String, Effect)>, Reported> {
    let contacts = &around.index.contacts;
    let figure = stated(reader, if what == "dial set" { "to" } else { "per_day" });
    let Some(position) = reader.optional_reference("contact", contacts)? else {
        return Err(reader.missing_name("contact", contacts));
    };
    let contact = ContactId(position);
    let effect = if what == "dial set" {
        Effect::DialSet {
            contact,
            opens_above_c: figure?,
        }
    } else {
        Effect::DialDrifts {
            contact,
            k_per_day: figure?,
        }
    };
    let name = contacts.known().nth(position).unwrap_or_default().to_owned();
    Ok(vec![(name, effect)])
}

/// A controller that hangs.
pub(super) fn hung(reader: &Reader<'_>) -> Result<Effect, Reported> {
    let (contacts, restart) = (reader.choice("contacts"), reader.choice("restart"));
    let age = reader.optional_millis("state_age");
    let outputs = if contacts? == "open" {
        Outputs::Drop
    } else {
        Outputs::Hold
    };
    let (restart, age) = (restart?, age?);
    let restart = match (restart, age) {
        ("state stale", Some(age_ms)) => Restart::Stale(age_ms),
        ("state stale", None) => return Err(reader.missing("state_age")),
        (_, Some(_)) => {
            let problem = Problem::new(
                "field-not-used",
                reader.place_of("state_age"),
                "`state_age` belongs to a stale state",
            )
            .expected("restart = \"state stale\" beside it");
            return Err(reader.report(problem));
        }
        ("state lost", None) => Restart::Lost,
        _ => Restart::Kept,
    };
    if !matches!(restart, Restart::Kept) && !reader.given("lasts") {
        return Err(reader.missing("lasts"));
    }
    Ok(Effect::ControllerHung { outputs, restart })
}
