//! When a fault strikes: at a stated time, or when a life is over.

use tepid_sim::scenario::{Counted, Effect, Happening, Hazard, When};

use super::Around;
use crate::fields::life::LIFE;
use crate::problem::{Problem, Reported};
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
    let time = super::fault_time(reader, around.index);
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
