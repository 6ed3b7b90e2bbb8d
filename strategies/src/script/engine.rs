//! The engine of scripts: which functions they can reach, and how much they may use.

use std::cell::RefCell;
use std::rc::Rc;

use rhai::packages::{
    BasicArrayPackage, BasicIteratorPackage, BasicMapPackage, BasicStringPackage, LogicPackage,
    MoreStringPackage, Package,
};
use rhai::{AST, CallFnOptions, Dynamic, Engine, FLOAT, INT, Map, Scope};

use super::problem::{ScriptProblem, UnknownName};
use super::{DECIDE, PARAMETERS, START};

/// How much a script may use.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Operations in one call.
    pub operations: u64,
    /// Calls within calls.
    pub calls: usize,
    /// Expressions within expressions.
    pub expressions: usize,
    /// Characters of a text.
    pub characters: usize,
    /// Items of an array.
    pub items: usize,
    /// Fields of an object map.
    pub fields: usize,
}

/// Far more than a law of control needs, and little enough that the worst script ends within milliseconds.
pub const LIMITS: Limits = Limits {
    operations: 100_000,
    calls: 24,
    expressions: 32,
    characters: 10_000,
    items: 10_000,
    fields: 1_000,
};

/// Where a script's alerts wait.
pub(super) type Alerts = Rc<RefCell<Vec<String>>>;

/// An engine without file, clock and chance. The package with the language's own helpers is left out: it can sleep.
pub(super) fn engine() -> (Engine, Alerts) {
    let mut engine = Engine::new_raw();
    LogicPackage::new().register_into_engine(&mut engine);
    BasicStringPackage::new().register_into_engine(&mut engine);
    MoreStringPackage::new().register_into_engine(&mut engine);
    BasicIteratorPackage::new().register_into_engine(&mut engine);
    BasicArrayPackage::new().register_into_engine(&mut engine);
    BasicMapPackage::new().register_into_engine(&mut engine);
    mathematics(&mut engine);
    // The engine's own power function is that of the platform; `eval` would hide a script's functions from the check.
    for symbol in ["**", "**=", "eval", "print", "debug"] {
        engine.disable_symbol(symbol);
    }
    engine
        .set_max_operations(LIMITS.operations)
        .set_max_call_levels(LIMITS.calls)
        .set_max_expr_depths(LIMITS.expressions, LIMITS.expressions)
        .set_max_string_size(LIMITS.characters)
        .set_max_array_size(LIMITS.items)
        .set_max_map_size(LIMITS.fields)
        .set_strict_variables(true)
        .set_fail_on_invalid_map_property(true);
    let alerts = Alerts::default();
    let heard = Rc::clone(&alerts);
    engine.register_fn("alert", move |text: &str| {
        heard.borrow_mut().push(text.to_owned())
    });
    (engine, alerts)
}

type OfOne = fn(f64) -> f64;
type OfTwo = fn(f64, f64) -> f64;

/// Mathematics by `libm`: the engine's own packages call the platform's functions, which differ in the last bit.
fn mathematics(engine: &mut Engine) {
    engine
        .register_fn("-", |x: FLOAT| -x)
        .register_fn("+", |x: FLOAT| x)
        .register_fn("-", |x: INT| x.wrapping_neg())
        .register_fn("+", |x: INT| x);
    let of_one: [(&str, OfOne); 14] = [
        ("abs", libm::fabs),
        ("sqrt", libm::sqrt),
        ("exp", libm::exp),
        ("ln", libm::log),
        ("log10", libm::log10),
        ("sin", libm::sin),
        ("cos", libm::cos),
        ("tan", libm::tan),
        ("atan", libm::atan),
        ("tanh", libm::tanh),
        ("floor", libm::floor),
        ("ceil", libm::ceil),
        ("round", libm::round),
        ("to_float", |x| x),
    ];
    for (name, function) in of_one {
        engine.register_fn(name, function);
        engine.register_fn(name, move |x: INT| function(x as FLOAT));
    }
    let of_two: [(&str, OfTwo); 3] = [("pow", libm::pow), ("min", f64::min), ("max", f64::max)];
    for (name, function) in of_two {
        engine.register_fn(name, function);
        engine.register_fn(name, move |x: INT, y: FLOAT| function(x as FLOAT, y));
        engine.register_fn(name, move |x: FLOAT, y: INT| function(x, y as FLOAT));
        engine.register_fn(name, move |x: INT, y: INT| function(x as FLOAT, y as FLOAT));
    }
    // Bounds in the wrong order give the upper one, no panic.
    engine
        .register_fn("clamp", |x: FLOAT, least: FLOAT, most: FLOAT| {
            x.max(least).min(most)
        })
        .register_fn("clamp", |x: FLOAT, least: INT, most: INT| {
            x.max(least as FLOAT).min(most as FLOAT)
        })
        .register_fn("is_nan", |x: FLOAT| x.is_nan())
        .register_fn("to_int", |x: FLOAT| x as INT);
}

/// Reads the text.
pub(super) fn compile(engine: &Engine, text: &str) -> Result<AST, ScriptProblem> {
    let ast = engine
        .compile(text)
        .map_err(|error| ScriptProblem::of_grammar(&error, text))?;
    if let Some((name, ..)) = ast.iter_literal_variables(true, true).next() {
        return Err(ScriptProblem::at(
            text,
            name,
            format!(
                "`{name}` stands outside the functions, which cannot see it; keep it in `this` (function `{START}`) or \
                 declare it as a parameter"
            ),
        ));
    }
    if ast.iter_functions().all(|function| function.name != DECIDE) {
        let message = format!(
            "there is no function `{DECIDE}`; the shortest script: fn {DECIDE}(temperature) {{ temperature < 25.0 }}"
        );
        // A script with one function beside those that may be there has it under another name.
        let mut others = ast
            .iter_functions()
            .filter(|function| ![START, PARAMETERS].contains(&function.name));
        return Err(match (others.next(), others.next()) {
            (Some(only), None) => ScriptProblem::unknown(
                text,
                &format!("fn {}", only.name),
                UnknownName {
                    name: only.name.to_owned(),
                    known: vec![DECIDE.to_owned()],
                },
                message,
            ),
            _ => ScriptProblem::at(text, "", message),
        });
    }
    Ok(ast)
}

/// Calls a function that takes nothing.
pub(super) fn call_bare(
    engine: &Engine,
    ast: &AST,
    text: &str,
    name: &str,
) -> Result<Dynamic, ScriptProblem> {
    let options = CallFnOptions::new().eval_ast(false);
    engine
        .call_fn_with_options(options, &mut Scope::new(), ast, name, ())
        .map_err(|error| ScriptProblem::of_call(*error, text, name))
}

/// What the script remembers at its start.
pub(super) fn start(engine: &Engine, ast: &AST, text: &str) -> Result<Dynamic, ScriptProblem> {
    if ast.iter_functions().all(|function| function.name != START) {
        return Ok(Dynamic::from(Map::new()));
    }
    let memory = call_bare(engine, ast, text, START)?;
    if memory.is_map() {
        return Ok(memory);
    }
    Err(ScriptProblem::at(
        text,
        &format!("fn {START}"),
        format!(
            "`{START}` returns {}, but what a script remembers is an object map such as #{{ heating: false }}",
            memory.type_name()
        ),
    ))
}
