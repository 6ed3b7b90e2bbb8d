//! `[[guard]]`: what stands around a strategy.

use tepid_strategies::guard::{GuardEntry, GuardRecipe, find_guard, guards};

use crate::fields::strategy;
use crate::nearest::nearest;
use crate::node::Table;
use crate::parameters;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::Place;

/// A guard of a strategy file.
pub(crate) struct GuardOfFile {
    pub entry: &'static GuardEntry,
    pub recipe: Box<dyn GuardRecipe>,
}

/// The guards of a strategy's table, the first one innermost; all mistakes are reported.
pub(crate) fn read(reader: &Reader<'_>, problems: &Problems) -> Result<Vec<GuardOfFile>, Reported> {
    let (tables, whole) = reader.tables("guard");
    let read: Vec<_> = tables.into_iter().map(|table| guard(table, problems)).collect();
    whole?;
    read.into_iter().collect()
}

fn guard(table: &Table, problems: &Problems) -> Result<GuardOfFile, Reported> {
    let head = [strategy::guard_name()];
    let only_name = table.with_only(&["guard"]);
    let reader = Reader::open_fields(&only_name, &head, "guard", problems);
    let wanted = reader.text("guard")?;
    let Some(entry) = find_guard(&wanted) else {
        return Err(problems.add(unknown_guard(&wanted, reader.place_of("guard"))));
    };
    let fields = strategy::guard_fields(entry);
    let reader = Reader::open_fields(table, &fields, entry.name, problems);
    let values = parameters::values(entry.params, &reader)?;
    let recipe = (entry.build)(&values).map_err(|error| {
        reader.report(parameters::problem(
            &error,
            reader.place_of(error.param()),
            entry.params,
        ))
    })?;
    Ok(GuardOfFile { entry, recipe })
}

fn unknown_guard(name: &str, place: &Place) -> Problem {
    let known: Vec<&str> = guards().iter().map(|entry| entry.name).collect();
    Problem::new("unknown-guard", place, format!("no guard is named `{name}`"))
        .label("no such guard")
        .found(name)
        .expected(format!("one of {}", known.join(", ")))
        .nearest(nearest(name, known.iter().copied()))
}

/// Guards that stand where they see less than they need, in words.
pub(crate) fn out_of_order(names: &[&'static str]) -> Vec<String> {
    let mut notes = Vec::new();
    for (at, name) in names.iter().enumerate() {
        let Some(after) = find_guard(name).and_then(|entry| entry.belongs_after) else {
            continue;
        };
        let outside = names[at + 1..]
            .iter()
            .filter(|later| after.guards.contains(later));
        let outside: Vec<&str> = outside.copied().collect();
        if !outside.is_empty() {
            notes.push(format!(
                "`{name}` belongs after `{}`: {}",
                outside.join("`, `"),
                after.why
            ));
        }
    }
    notes
}
