//! `acts` of a watch.

use tepid_sim::ids::{BackupId, HeaterId, TankId};
use tepid_sim::scenario::{
    ActKind, ActsBy, Cover, Effect, Happening, Lasts, Origin, Store, WatchAct, When, called,
};

use super::equipment::tank_of;
use super::the_only;
use super::watch::Watched;
use crate::fields::act::{ACTS, PARTICULAR, used_by};
use crate::node::Table;
use crate::problem::{Problem, Reported};
use crate::reader::Reader;

/// What sealed ice takes out of a tank an hour, K. Common practice, no source: slow enough for animals and within what bottles give.
const USUAL_ICE_K_PER_H: f64 = 0.5;

/// How fast a room is cooled, K/h. An assumption, no source.
const USUAL_ROOM_K_PER_H: f64 = 2.0;

/// Thermal resistance of a blanket, m² K/W. An assumption, no source: about 10 mm of loose wool.
pub const USUAL_WRAP_M2_K_PER_W: f64 = 0.3;

pub(super) fn read_all(watch: &Reader<'_>, watched: &Watched<'_>) -> Result<Vec<WatchAct>, Reported> {
    let (tables, whole) = watch.table_or_tables("acts");
    let acts: Vec<_> = tables.into_iter().map(|table| read(table, watched)).collect();
    whole?;
    acts.into_iter().collect()
}

fn read(table: &Table, watched: &Watched<'_>) -> Result<WatchAct, Reported> {
    let reader = Reader::open(table, &ACTS, watched.problems);
    let (does, who) = (reader.choice("does"), reader.choice("who"));
    let (after, lasts) = (reader.optional_millis("after"), reader.optional_millis("lasts"));
    let does = does?;
    reader.only(PARTICULAR, used_by(does), does)?;
    let done = done(&reader, does, watched);
    let by = if who? == "itself" {
        ActsBy::Itself
    } else {
        ActsBy::People
    };
    let after = after?;
    if after.is_none() && by == ActsBy::People && !watched.persons.stated {
        return Err(reader.missing("after"));
    }
    let (kind, name, effect) = done?;
    let by_hand = !matches!(
        kind,
        ActKind::UnplugHeaters | ActKind::UnplugHeater | ActKind::CoolRoom
    );
    if by == ActsBy::Itself && by_hand {
        let problem = Problem::new(
            "act-by-hand",
            reader.place_of("who"),
            format!("`{does}` does not happen by itself"),
        )
        .label("somebody must do it")
        .expected("`who = \"people\"`");
        return Err(reader.report(problem));
    }
    Ok(WatchAct {
        by,
        after_ms: after.unwrap_or(0),
        kind,
        happening: Happening {
            name,
            when: When::Acted,
            lasts: lasts?.map_or(Lasts::ToTheEnd, Lasts::For),
            effect,
            origin: Origin::Act,
        },
    })
}

/// What is done: its kind, its name and its effect.
fn done(
    reader: &Reader<'_>,
    does: &str,
    watched: &Watched<'_>,
) -> Result<(ActKind, String, Effect), Reported> {
    let index = watched.index;
    let tank = || {
        let tank: TankId = tank_of(reader, index)?;
        let found = watched
            .tanks
            .and_then(|tanks| tanks.get(tank.0))
            .ok_or(Reported)?;
        Ok::<_, Reported>((tank, found))
    };
    let rate = |usual_k| Ok::<_, Reported>(reader.optional_quantity("per_hour")?.unwrap_or(usual_k));
    Ok(match does {
        "unplug heater" => {
            let found = reader.optional_reference("heater", &index.heaters)?;
            let Some(position) = found.or_else(|| the_only(&index.heaters)) else {
                return Err(reader.missing_name("heater", &index.heaters));
            };
            let name = index.heaters.known().nth(position).unwrap_or_default();
            let told = format!("{} unplugged", called("heater", name));
            (
                ActKind::UnplugHeater,
                told,
                Effect::HeaterUnplugged(HeaterId(position)),
            )
        }
        "sealed ice" => {
            let (tank, k_per_h) = (tank(), rate(USUAL_ICE_K_PER_H));
            let (tank, found) = tank?;
            let effect = Effect::SealedIce {
                tank,
                k_per_h: k_per_h?,
            };
            (
                ActKind::SealedIce,
                format!("sealed ice in {}", found.name),
                effect,
            )
        }
        "wrap the sides" => {
            let (tank, wrap) = (tank(), reader.optional_quantity("wrap"));
            let (tank, found) = tank?;
            let effect = Effect::SidesWrapped {
                tank,
                extra_m2_k_per_w: wrap?.unwrap_or(USUAL_WRAP_M2_K_PER_W),
            };
            (
                ActKind::WrapSides,
                format!("sides of {} wrapped", found.name),
                effect,
            )
        }
        "lift the lid" => {
            let (tank, found) = tank()?;
            if !matches!(found.cover, Cover::Lid { .. }) {
                let problem = Problem::new(
                    "act-without-lid",
                    reader.place_of("does"),
                    format!("{} has no lid to lift", found.name),
                )
                .expected("a tank with `cover = \"lid\"`");
                return Err(reader.report(problem));
            }
            let effect = Effect::Covered {
                tank,
                cover: Cover::Open,
            };
            (ActKind::LiftLid, format!("lid of {} lifted", found.name), effect)
        }
        "cool the room" => {
            let by = match reader.optional_quantity("by")? {
                Some(by_k) => by_k,
                None => return Err(reader.missing("by")),
            };
            if watched.room_answers {
                let problem = Problem::new(
                    "act-answering-room",
                    reader.place_of("does"),
                    "the room answers by itself to what cools it",
                )
                .expected("`cooling` of its `building`");
                return Err(reader.report(problem));
            }
            let effect = Effect::RoomCooled {
                by_k: by,
                k_per_h: rate(USUAL_ROOM_K_PER_H)?,
            };
            (ActKind::CoolRoom, "room cooled".to_owned(), effect)
        }
        "start a generator" => {
            let found = reader.optional_reference("backup", &index.backups)?;
            let Some(position) = found.or_else(|| the_only(&index.backups)) else {
                return Err(reader.missing_name("backup", &index.backups));
            };
            let backup = watched
                .backups
                .and_then(|backups| backups.get(position))
                .ok_or(Reported)?;
            if !matches!(backup.store, Store::Generator { .. }) {
                let problem = Problem::new(
                    "act-no-generator",
                    reader.place_of("backup"),
                    format!("{} is a battery, which nobody starts", backup.name),
                )
                .expected("a backup with `fuel`");
                return Err(reader.report(problem));
            }
            let effect = Effect::BackupStarted(BackupId(position));
            (
                ActKind::StartGenerator,
                format!("{} started", backup.name),
                effect,
            )
        }
        _ => (
            ActKind::UnplugHeaters,
            "heaters unplugged".to_owned(),
            Effect::HeatersUnplugged,
        ),
    })
}

/// The kind of act of a word.
pub(crate) fn kind(does: &str) -> ActKind {
    match does {
        "unplug heater" => ActKind::UnplugHeater,
        "sealed ice" => ActKind::SealedIce,
        "wrap the sides" => ActKind::WrapSides,
        "lift the lid" => ActKind::LiftLid,
        "cool the room" => ActKind::CoolRoom,
        "start a generator" => ActKind::StartGenerator,
        _ => ActKind::UnplugHeaters,
    }
}
