//! Strategy files and inline strategies: a name of the registry, a script or an outside program, with its parameters, and
//! guards around it.

use std::sync::Arc;

use tepid_sim::strategy::StrategyRecipe;
use tepid_strategies::guard::Guarded;
use tepid_strategies::parameter::{Param, ParamError};
use tepid_strategies::registry;
use tepid_strategies::values::Values;

use crate::fields::strategy;
use crate::guards::{self, GuardOfFile};
use crate::law::{self, Law};
use crate::misnamed::{Word, words};
use crate::nearest::nearest;
use crate::node::Table;
use crate::parameters;
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;
use crate::source::{Place, Source};
use crate::variant::{parse_document, short_name};

/// A strategy with its parameters.
#[derive(Debug)]
pub struct StrategyFile {
    /// Short name for tables: the file's `name`, else its file name, else the strategy's own with its guards.
    pub name: String,
    /// Which strategy.
    pub strategy: &'static str,
    /// Names of the guards around it, the first one innermost.
    pub guards: Vec<&'static str>,
    /// Its parameters.
    pub parameters: &'static [Param],
    /// What they are set to.
    pub values: Values,
    /// The text of its script, if it is one.
    pub script: Option<Arc<str>>,
    /// Makes it.
    pub recipe: Box<dyn StrategyRecipe>,
    /// Every text in its file.
    pub(crate) words: Vec<Word>,
}

impl StrategyFile {
    /// What its author may not have meant though it is no mistake, in words: guards in an order in which they see less than they need.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        guards::out_of_order(&self.guards)
    }
}

/// A strategy of the registry with all its defaults; `None`: there is none of that name.
pub(crate) fn built_in(name: &str) -> Option<Result<StrategyFile, ParamError>> {
    let entry = tepid_strategies::find(name)?;
    let made = (entry.build)(&entry.defaults());
    Some(made.map(|recipe| StrategyFile {
        name: entry.name.to_owned(),
        strategy: entry.name,
        guards: Vec::new(),
        parameters: entry.params,
        values: entry.defaults(),
        script: None,
        recipe,
        words: Vec::new(),
    }))
}

/// Reads a table with a `strategy` key.
pub(crate) fn read(
    table: &Table,
    own_name: Option<&str>,
    problems: &Problems,
) -> Result<StrategyFile, Reported> {
    let head = strategy::head();
    let only_head = table.with_only(&["strategy", "guard"]);
    let reader = Reader::open_fields(&only_head, &head, "strategy", problems);
    let wanted = reader.text("strategy");
    let guards = guards::read(&reader, problems);
    let wanted = wanted?;
    let Some(law) = Law::read(&wanted, table, problems) else {
        return Err(problems.add(unknown_strategy(&wanted, reader.place_of("strategy"))));
    };
    let law = law?;
    let fields = law.fields();
    let reader = Reader::open_fields(table, &fields, law.name(), problems);
    let name = reader.optional_text("name");
    let values = parameters::values(law.params(), &reader);
    let name = name?;
    let (values, guards) = (values?, guards?);
    let name = name
        .or_else(|| own_name.map(str::to_owned))
        .unwrap_or_else(|| name_with(law.name(), &guards));
    let recipe = law.build(&name, &values).map_err(|error| {
        reader.report(parameters::problem(
            &error,
            reader.place_of(error.param()),
            law.params(),
        ))
    })?;
    Ok(StrategyFile {
        name,
        strategy: law.name(),
        guards: guards.iter().map(|guard| guard.entry.name).collect(),
        parameters: law.params(),
        values,
        script: law.script_text(),
        recipe: guarded(recipe, guards),
        words: words(table),
    })
}

/// A strategy file, or a script by itself; its own name is that of the file.
pub(crate) fn of_source(source: &Arc<Source>, problems: &Problems) -> Result<StrategyFile, Reported> {
    #[cfg(feature = "outside")]
    if law::is_script(&source.name) {
        return bare_script(source, problems);
    }
    let root = parse_document(source, problems)?;
    read(&root, Some(&short_name(&source.name)), problems)
}

#[cfg(feature = "outside")]
/// A script without a strategy file, with all its defaults.
fn bare_script(source: &Arc<Source>, problems: &Problems) -> Result<StrategyFile, Reported> {
    let script = law::script_of(source, problems)?;
    let name = short_name(&source.name);
    let values = Values::new(script.params());
    let recipe = script.build(&name, &values).map_err(|error| {
        problems.add(Problem::new(
            "parameter",
            &Place::new(source, 0..0),
            error.to_string(),
        ))
    })?;
    Ok(StrategyFile {
        name,
        strategy: law::SCRIPT,
        guards: Vec::new(),
        parameters: script.params(),
        values,
        script: Some(script.text()),
        recipe,
        words: Vec::new(),
    })
}

/// "on-off", "on-off with software-limit".
fn name_with(strategy: &str, guards: &[GuardOfFile]) -> String {
    if guards.is_empty() {
        return strategy.to_owned();
    }
    let names: Vec<&str> = guards.iter().map(|guard| guard.entry.name).collect();
    format!("{strategy} with {}", names.join(", "))
}

fn guarded(recipe: Box<dyn StrategyRecipe>, guards: Vec<GuardOfFile>) -> Box<dyn StrategyRecipe> {
    if guards.is_empty() {
        return recipe;
    }
    let recipes = guards.into_iter().map(|guard| guard.recipe).collect();
    Box::new(Guarded::new(recipe, recipes))
}

/// A name that is no strategy.
pub(crate) fn unknown_strategy(name: &str, place: &Place) -> Problem {
    let known: Vec<&str> = registry().iter().map(|entry| entry.name).collect();
    if cfg!(not(feature = "outside")) && [law::SCRIPT, law::PROGRAM].contains(&name) {
        return Problem::new("unknown-strategy", place, format!("a {name} cannot be run here"))
            .label("only where the command `tepid` runs")
            .expected(format!("one of {}", known.join(", ")));
    }
    let near = nearest(
        name,
        known.iter().copied().chain(law::FROM_OUTSIDE.iter().copied()),
    );
    Problem::new(
        "unknown-strategy",
        place,
        format!("no strategy is named `{name}`"),
    )
    .label("no such strategy")
    .found(name)
    .expected(format!("one of {}", known.join(", ")))
    .nearest(near)
}
