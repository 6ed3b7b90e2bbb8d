//! The strategies of a study, each with what is needed to build it again with other values.

use std::path::PathBuf;

use tepid_strategies::guard::guards;

use super::vary::{Put, VaryOf};
use crate::law;
use crate::node::{Entry, Node, Table, Value};
use crate::problem::{Problem, Problems, Report, Reported};
use crate::source::Place;
use crate::strategy_file::{self, StrategyFile};
use crate::text_file;
use crate::variant::{looks_like_path, parse_document, short_name};

/// A strategy of a study.
#[derive(Debug)]
pub struct StudyStrategy {
    /// The strategy as the study names it.
    pub file: StrategyFile,
    /// Its table.
    table: Table,
    /// Its name where the table says none.
    own_name: Option<String>,
}

impl StudyStrategy {
    /// The strategy with values put in; those of scenarios and of parameters that it has not are left aside.
    ///
    /// # Errors
    /// [`Report`], underlined in the study.
    pub fn with(&self, puts: &[Put<'_>]) -> Result<StrategyFile, Report> {
        let problems = Problems::default();
        let built = self.build(puts, &problems);
        crate::load::finish(built, problems)
    }

    /// The paths that may vary: its parameters, and `guard.NAME.` with those of each guard around it.
    #[must_use]
    pub fn paths(&self) -> Vec<String> {
        let own = self.file.parameters.iter().map(|param| param.name.to_owned());
        let guards = guards()
            .iter()
            .filter(|guard| self.file.guards.contains(&guard.name));
        let of_guards = guards.flat_map(|guard| {
            let params = guard.params.iter();
            params.map(|param| format!("guard.{}.{}", guard.name, param.name))
        });
        own.chain(of_guards).collect()
    }

    /// Whether a path is one that may vary.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        self.paths().iter().any(|known| known == path)
    }

    pub(super) fn build(&self, puts: &[Put<'_>], problems: &Problems) -> Result<StrategyFile, Reported> {
        let mut table = self.table.clone();
        for put in puts {
            if put.vary.of == VaryOf::Strategy && self.has(&put.vary.path) {
                put_in(&mut table, put);
            }
        }
        strategy_file::read(&table, self.own_name.as_deref(), problems)
    }

    /// The built-in one of that name, its table standing at `place`.
    pub(super) fn built_in(name: &str, place: &Place, problems: &Problems) -> Result<Self, Reported> {
        Self::of_table(naming(&[("strategy", name)], place), None, problems)
    }

    /// What a table of the study says.
    pub(super) fn of_table(
        table: Table,
        own_name: Option<String>,
        problems: &Problems,
    ) -> Result<Self, Reported> {
        let file = strategy_file::read(&table, own_name.as_deref(), problems)?;
        Ok(Self {
            file,
            table,
            own_name,
        })
    }

    /// A name of the registry, or a path from the study's folder.
    pub(super) fn named(name: &str, place: &Place, problems: &Problems) -> Result<Self, Reported> {
        if strategy_file::built_in(name).is_some() {
            return Self::built_in(name, place, problems);
        }
        if !looks_like_path(name) {
            return Err(problems.add(strategy_file::unknown_strategy(name, place)));
        }
        if law::is_script(name) {
            let table = naming(&[("strategy", law::SCRIPT), ("file", name)], place);
            return Self::of_table(table, Some(short_name(name)), problems);
        }
        let path: PathBuf = place.source.folder().join(name);
        let source = text_file::read(&path).map_err(|error| {
            let problem = Problem::new("unreadable", place, format!("`{name}`: {error}"))
                .label("cannot be read")
                .expected("the path of a strategy file, or a name of a strategy");
            problems.add(problem)
        })?;
        let table = parse_document(&source, problems)?;
        Self::of_table(table, Some(short_name(name)), problems)
    }
}

/// Puts a value at a path that may vary: into the table, or into that of a guard, the first one of that name.
fn put_in(table: &mut Table, put: &Put<'_>) {
    let place = &put.vary.path_place;
    let of_guard = put
        .vary
        .path
        .strip_prefix("guard.")
        .and_then(|path| path.split_once('.'));
    let Some((guard, parameter)) = of_guard else {
        table.put(&put.vary.path, place, put.node.clone());
        return;
    };
    let Some(Value::List(around)) = table.get_mut("guard").map(|node| &mut node.value) else {
        return;
    };
    for one in around {
        if let Value::Table(inner) = &mut one.value
            && matches!(inner.get("guard").map(|node| &node.value), Some(Value::Text { text, .. }) if text == guard)
        {
            inner.put(parameter, place, put.node.clone());
            return;
        }
    }
}

/// A table of texts that all stand at one place.
fn naming(texts: &[(&str, &str)], place: &Place) -> Table {
    let entries = texts.iter().map(|(key, text)| Entry {
        key: (*key).to_owned(),
        key_place: place.clone(),
        node: Node {
            place: place.clone(),
            value: Value::Text {
                text: (*text).to_owned(),
                content_start: None,
            },
        },
    });
    Table {
        place: place.clone(),
        entries: entries.collect(),
    }
}
