//! Arguments, subcommands (one file each), and how they end.

mod budget;
mod card;
mod check;
mod compare;
mod exit;
mod explain;
mod faults;
mod fit;
mod lesson;
mod list;
mod live;
mod log_options;
mod measure;
mod merge;
mod new;
mod odds;
mod plot;
mod progress;
mod report;
mod run;
mod shared;
mod size;
mod study;
mod tune;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use exit::Failure;

/// Try an aquarium heating strategy on a bad week before the tank does.
///
/// Without a subcommand: compares eight strategies on the scenario `spare-room-winter`, healthy and with each contact welded.
#[derive(Debug, Parser)]
#[command(name = "tepid", version, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Compares strategies on scenarios or studies, with and without faults.
    Compare(compare::Arguments),
    /// Tries every fault, finds the single points of failure, and the smallest change that removes each.
    Faults(faults::Arguments),
    /// Joins the parts of a study that ran on several machines.
    Merge(merge::Arguments),
    /// Runs one strategy on one scenario; shows its scores, writes its course or a plot of it.
    Run(run::Arguments),
    /// Shows where a scenario's heat goes and what its heaters can do.
    Budget(budget::Arguments),
    /// Sizes heaters: how many and how strong, so that one stuck on and one dead are both bearable.
    Size(size::Arguments),
    /// Identifies the tank from a log: losses, heater power, offsets, with intervals, and writes the scenario as fitted.
    Fit(fit::Arguments),
    /// Evaluates a home test: cooling, heating, share of the time on, lift by pumps; alone it says how to do them.
    Measure(measure::Arguments),
    /// Searches a strategy's settings, and recommends one that no single fault takes past the dose.
    Tune(tune::Arguments),
    /// Writes a page to pin to the tank: settings, what to do first, hours available, a test record to sign.
    Card(card::Arguments),
    /// Reckons how likely a year uses up the dose, by what, and how surely.
    Odds(odds::Arguments),
    /// Draws strategies beside each other: switching, wear, faults, trade-offs, the heat budget.
    Plot(plot::Arguments),
    /// Writes everything about some tanks as one HTML page to read, print or mail.
    Report(report::Arguments),
    /// Runs a guided experiment: a question to guess first, then what the runs show; alone it lists them.
    Lesson(lesson::Arguments),
    /// Lists scenarios, strategies with their guards, and fault sets.
    List(list::Arguments),
    /// Serves the live tank to this machine's browser, or writes it as one file: break things and watch the water.
    Live(live::Arguments),
    /// Explains a strategy or guard: its law, its parameters, and which faults it covers.
    Explain(explain::Arguments),
    /// Checks a scenario, strategy or study file; `check strategy` tries a strategy in every way a controller is tried.
    Check(check::Arguments),
    /// Writes a commented scenario, strategy or study file to start from.
    New(new::Arguments),
}

/// Parses, runs, ends.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let command = arguments
        .command
        .unwrap_or_else(|| Command::Compare(compare::Arguments::default()));
    let result = match command {
        Command::Compare(arguments) => compare::run(&arguments),
        Command::Faults(arguments) => faults::run(&arguments),
        Command::Merge(arguments) => merge::run(&arguments),
        Command::Run(arguments) => run::run(&arguments),
        Command::Budget(arguments) => budget::run(&arguments),
        Command::Size(arguments) => size::run(&arguments),
        Command::Fit(arguments) => fit::run(&arguments),
        Command::Measure(arguments) => measure::run(&arguments),
        Command::Tune(arguments) => tune::run(&arguments),
        Command::Card(arguments) => card::run(&arguments),
        Command::Odds(arguments) => odds::run(&arguments),
        Command::Plot(arguments) => plot::run(&arguments),
        Command::Report(arguments) => report::run(&arguments),
        Command::Lesson(arguments) => lesson::run(&arguments),
        Command::List(arguments) => list::run(&arguments),
        Command::Live(arguments) => live::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::New(arguments) => new::run(&arguments),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}

/// A result of a subcommand.
type Done = Result<(), Failure>;

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_table_of_arguments_is_sound() {
        Arguments::command().debug_assert();
    }
}
