//! What somebody in front of the page does, and what the water does about it.

mod acts;
mod keep;
mod lessons;
mod own_files;
mod setups;

use tepid_page::acts::{Act, ActKind};
use tepid_page::{Played, Run, Setup, play};

/// A setup of one scenario and strategy with nothing turned or done.
fn plain(scenario: &str, strategy: &str) -> Setup {
    Setup {
        scenario: scenario.to_owned(),
        strategies: vec![strategy.to_owned()],
        files: Vec::new(),
        sliders: tepid_page::sliders::Turned::default(),
        acts: Vec::new(),
        seed: 7,
    }
}

fn act(what: ActKind, of: &str, from_min: u32, to_min: Option<u32>) -> Act {
    Act {
        what,
        of: of.to_owned(),
        from_min,
        to_min,
    }
}

fn played(setup: &Setup) -> Played {
    let played = play(setup).unwrap_or_else(|mistake| panic!("{mistake}"));
    for run in &played.runs {
        assert_eq!(run.failed, None, "{}", run.strategy);
    }
    played
}

/// One column of a run's course.
fn column(run: &Run, name: &str) -> Vec<f64> {
    let course = &run.course;
    let at = course.columns.iter().position(|column| column == name);
    let at = at.unwrap_or_else(|| panic!("no column {name} in {:?}", course.columns));
    course
        .values
        .chunks(course.columns.len())
        .map(|row| row[at])
        .collect()
}

/// One column of a run's scores so far.
fn column_of_tallies(run: &Run, name: &str) -> Vec<f64> {
    let tallies = &run.tallies;
    let at = tallies.columns.iter().position(|column| column == name);
    let at = at.unwrap_or_else(|| panic!("no column {name} in {:?}", tallies.columns));
    tallies
        .values
        .chunks(tallies.columns.len())
        .map(|row| row[at])
        .collect()
}

fn highest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

fn lowest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}
