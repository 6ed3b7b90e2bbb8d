//! `diffsol`'s side of the peer comparison. `PARAMETERS` are those of `rhs.py`, `METHOD` one of `tsit45`, `esdirk34`, `tr_bdf2`, `bdf`.
//!
//! `diffsol-peer course PARAMETERS.json METHOD TOLERANCE RECORD.csv`: the water at each row of a record, °C, with the heater switched as recorded.
//! `diffsol-peer starts PARAMETERS.json METHOD TOLERANCE DAYS`: starts of the heater under on-off, switched by events.
//! `diffsol-peer ticks …`: the same, looked at by the controller at its interval.

#[path = "../rhs.rs"]
mod rhs;

use std::cell::Cell;
use std::error::Error;
use std::fs::read_to_string;

use diffsol::{
    NalgebraLU, NalgebraMat, NalgebraVec, OdeBuilder, OdeEquations, OdeSolverMethod, OdeSolverStopReason,
};
use rhs::{PROBE, Parameters, STATES, WATER};

type Done<T> = Result<T, Box<dyn Error>>;
type Lu = NalgebraLU<f64>;

/// First step after a switching, s: a third of the quickest time constant, the heater body's. Found by trying 0.1 to 20 s.
const FIRST_STEP_S: f64 = 5.0;

/// What is asked of a solver.
enum Task {
    Course(Vec<Row>),
    Starts { end_s: f64 },
    Ticks { ticks: u64 },
}

struct Row {
    t_s: f64,
    heater_w: f64,
}

fn record(path: &str) -> Done<Vec<Row>> {
    let row = |line: &str| -> Done<Row> {
        let mut cells = line.split(',');
        let mut number = || -> Done<f64> { Ok(cells.next().ok_or("a cell is missing")?.parse()?) };
        Ok(Row {
            t_s: number()?,
            heater_w: number()?,
        })
    };
    read_to_string(path)?.lines().skip(1).map(row).collect()
}

/// Does it with one solver; `heater_w` is what the equations see.
fn perform<'a, E>(
    mut solver: impl OdeSolverMethod<'a, E>,
    heater_w: &Cell<f64>,
    numbers: &Parameters,
    task: &Task,
) -> Done<()>
where
    E: OdeEquations<T = f64, V = NalgebraVec<f64>> + 'a,
{
    match task {
        Task::Course(rows) => {
            println!("{}", numbers.target_c);
            for pair in rows.windows(2) {
                if heater_w.get() != pair[0].heater_w {
                    heater_w.set(pair[0].heater_w);
                    begin_stretch(&mut solver)?;
                }
                solver.set_stop_time(pair[1].t_s)?;
                while solver.step()? != OdeSolverStopReason::TstopReached {}
                println!("{}", solver.state().y[WATER]);
            }
        }
        Task::Starts { end_s } => {
            let mut starts = 0;
            solver.set_stop_time(*end_s)?;
            loop {
                match solver.step()? {
                    OdeSolverStopReason::InternalTimestep => {}
                    OdeSolverStopReason::RootFound(at_s, _) => {
                        solver.state_mut_back(at_s)?;
                        heater_w.set(if heater_w.get() > 0.0 {
                            0.0
                        } else {
                            numbers.heater_w
                        });
                        starts += u64::from(heater_w.get() > 0.0);
                        begin_stretch(&mut solver)?;
                    }
                    OdeSolverStopReason::TstopReached => break,
                }
            }
            println!("{starts}");
        }
        Task::Ticks { ticks } => {
            let mut starts = 0;
            for tick in 1..=*ticks {
                let (on, probe_c) = (heater_w.get() > 0.0, solver.state().y[PROBE]);
                let stays = if on {
                    probe_c < numbers.opens_c
                } else {
                    probe_c > numbers.closes_c
                };
                if !stays {
                    heater_w.set(if on { 0.0 } else { numbers.heater_w });
                    starts += u64::from(!on);
                    begin_stretch(&mut solver)?;
                }
                solver.set_stop_time(tick as f64 * numbers.interval_s)?;
                while solver.step()? != OdeSolverStopReason::TstopReached {}
            }
            println!("{starts}");
        }
    }
    Ok(())
}

/// The heater was switched: the state is as it was, its slope is worked out anew, and a short step saves many that would be refused.
fn begin_stretch<'a, E>(solver: &mut impl OdeSolverMethod<'a, E>) -> Done<()>
where
    E: OdeEquations<T = f64, V = NalgebraVec<f64>> + 'a,
{
    solver.apply_reset()?;
    *solver.state_mut().h = FIRST_STEP_S;
    Ok(())
}

fn main() -> Done<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let [what, numbers, method, tolerance, of] = arguments[..] else {
        return Err("course|starts|ticks PARAMETERS.json METHOD TOLERANCE RECORD.csv|DAYS".into());
    };
    let numbers: Parameters = serde_json::from_str(&read_to_string(numbers)?)?;
    let task = match what {
        "course" => Task::Course(record(of)?),
        "starts" => Task::Starts {
            end_s: of.parse::<f64>()? * numbers.day_s,
        },
        "ticks" => Task::Ticks {
            ticks: (of.parse::<f64>()? * numbers.day_s / numbers.interval_s) as u64,
        },
        _ => return Err("course, starts or ticks".into()),
    };
    let by_events = matches!(task, Task::Starts { .. });
    let tolerance: f64 = tolerance.parse()?;
    let heater_w = Cell::new(0.0);
    let mut problem = OdeBuilder::<NalgebraMat<f64>>::new()
        .rtol(tolerance)
        .atol([tolerance; STATES])
        .rhs_implicit(
            |y, _, t_s, dydt| numbers.rate(t_s, y, heater_w.get(), dydt),
            |y, _, t_s, v, jv| numbers.jacobian_times(t_s, y, v, jv),
        )
        .init(|_, _, y| y.fill(numbers.target_c), STATES)
        .root(
            |y, _, _, crosses| {
                crosses[0] = match heater_w.get() {
                    _ if !by_events => 1.0,
                    0.0 => y[PROBE] - numbers.closes_c,
                    _ => y[PROBE] - numbers.opens_c,
                }
            },
            1,
        )
        .reset(|y, _, _, after| after.copy_from_slice(y))
        .build()?;
    // It counts failures over a whole run, which here goes on for a year.
    problem.ode_options.max_nonlinear_solver_failures = usize::MAX;
    problem.ode_options.max_error_test_failures = usize::MAX;
    match method {
        "tsit45" => perform(problem.tsit45()?, &heater_w, &numbers, &task),
        "esdirk34" => perform(problem.esdirk34::<Lu>()?, &heater_w, &numbers, &task),
        "tr_bdf2" => perform(problem.tr_bdf2::<Lu>()?, &heater_w, &numbers, &task),
        "bdf" => perform(problem.bdf::<Lu>()?, &heater_w, &numbers, &task),
        _ => Err("tsit45, esdirk34, tr_bdf2 or bdf".into()),
    }
}
