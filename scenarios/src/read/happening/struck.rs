//! When a fault strikes: at a stated time, or when a life is over.

use tepid_sim::ids::ContactId;
use tepid_sim::quantity::{parse_moment, parse_time_of_day};
use tepid_sim::scenario::{Counted, Effect, Happening, Hazard, When};
use tepid_sim::time::Millis;

use super::Around;
use crate::fields::life::LIFE;
use crate::node::{Node, Value};
use crate::problem::{Problem, Reported};
use crate::read::calendar;
use crate::read::life::{Lasting, lasting};
use crate::reader::Reader;

/// What a table says of when a fault strikes.
#[derive(Debug, Clone, Copy)]
pub(super) enum Struck {
    /// This, whatever it strikes.
    At(When),
    /// When this life of what it strikes is over.
    Worn(Lasting),
}

/// `when` or `life`, not both.
pub(super) fn when(reader: &Reader<'_>, around: &Around<'_>) -> Result<Option<Struck>, Reported> {
    let time = fault_time(reader, around);
    let lasting = match reader.optional_table("life")? {
        Some(table) => Some(lasting(&Reader::open(table, &LIFE, around.problems))?),
        None => None,
    };
    match (time?, lasting) {
        (Some(_), Some(_)) => {
            let problem = Problem::new(
                "when-and-life",
                reader.place_of("life"),
                "a fault has `when` or `life`, not both",
            )
            .label("leave one of the two out");
            Err(reader.report(problem))
        }
        (time, lasting) => Ok(time.map(Struck::At).or(lasting.map(Struck::Worn))),
    }
}

/// When the life of what a case strikes is over; closings are those of the contact it strikes.
pub(super) fn worn(reader: &Reader<'_>, lasting: Lasting, case: &Happening) -> Result<When, Reported> {
    let counted = if lasting.in_closings {
        match case.effect {
            Effect::ContactWelded(contact)
            | Effect::ContactStuckOpen(contact)
            | Effect::ContactChatters { contact, .. }
            | Effect::DialDrifts { contact, .. }
            | Effect::DialSet { contact, .. }
            | Effect::DialOff { contact, .. } => Counted::Closings(contact),
            _ => {
                let problem = Problem::new(
                    "no-closings",
                    reader.place_of("life"),
                    format!("the life of `{}` is not counted in closings", case.name),
                )
                .label("only contacts close")
                .expected("`per_year` or `years`");
                return Err(reader.report(problem));
            }
        }
    } else {
        Counted::Years
    };
    Ok(When::Hazard(Hazard {
        life: lasting.life,
        counted,
        age: lasting.age,
    }))
}

/// "24 h", "day 2 18:00", "2027-01-14 08:00", "daily 18:30", "worst phase", "closing 3 of relay left", "opening 1 of relay left after 24 h".
fn fault_time(reader: &Reader<'_>, around: &Around<'_>) -> Result<Option<When>, Reported> {
    let Some(node) = reader.node("when") else {
        return Ok(None);
    };
    if let Some(moment) = calendar::dated(reader, node, around.start_date)? {
        return Ok(Some(When::At(moment)));
    }
    let Value::Text { text, .. } = &node.value else {
        return Err(reader.wrong("when", node));
    };
    let text = text.trim();
    if text == "worst phase" {
        return Ok(Some(When::WorstPhase));
    }
    if let Some(time) = text.strip_prefix("daily ") {
        return match parse_time_of_day(time) {
            Ok(time) => Ok(Some(When::Daily(time))),
            Err(_) => Err(reader.wrong("when", node)),
        };
    }
    if let Some(rest) = text.strip_prefix("closing ") {
        let (contact, nth, from_ms) = counted(reader, node, rest, around)?;
        return Ok(Some(When::Closing {
            contact,
            nth,
            from_ms,
        }));
    }
    if let Some(rest) = text.strip_prefix("opening ") {
        let (contact, nth, from_ms) = counted(reader, node, rest, around)?;
        return Ok(Some(When::Opening {
            contact,
            nth,
            from_ms,
        }));
    }
    match parse_moment(text) {
        Ok(moment) if moment >= 0 => Ok(Some(When::At(moment))),
        _ => Err(reader.wrong("when", node)),
    }
}

/// "3 of relay left", "1 of relay left after day 2 18:00": the contact, which of its changes, from when on they are counted.
fn counted(
    reader: &Reader<'_>,
    node: &Node,
    text: &str,
    around: &Around<'_>,
) -> Result<(ContactId, u32, Millis), Reported> {
    let wrong = || reader.wrong("when", node);
    let (count, rest) = text.split_once(" of ").ok_or_else(wrong)?;
    let nth = count.trim().parse().ok().filter(|nth| *nth >= 1);
    let nth = nth.ok_or_else(wrong)?;
    let contacts = &around.index.contacts;
    // A contact's own name may have an "after" in it.
    let (name, after) = match rest.rsplit_once(" after ") {
        Some((name, after)) if contacts.find(rest.trim()).is_none() => (name, Some(after)),
        _ => (rest, None),
    };
    let from_ms = match after {
        Some(after) => calendar::moment_in(reader, node, after, around.start_date)?
            .filter(|moment| *moment >= 0)
            .ok_or_else(wrong)?,
        None => 0,
    };
    let name = name.trim();
    let contact = contacts
        .find(name)
        .ok_or_else(|| reader.report(contacts.unknown(name, &node.place, "when")))?;
    Ok((ContactId(contact), nth, from_ms))
}
