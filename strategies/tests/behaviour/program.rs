use tepid_sim::scenario::{Restart, Role};
use tepid_sim::strategy::{Commands, Readings, Strategy, StrategyRecipe};
use tepid_sim::time::SECOND;
use tepid_strategies::program::{PARAMS, Program};
use tepid_strategies::values::{Value, Values};

use crate::support::text;
use crate::support::wiring::wiring;

const HEATER: &[Option<Role>] = &[Some(Role::Heat)];

/// The answer to the hello, and then for every line what `each` prints.
fn shell(each: &str) -> String {
    format!(r#"read hello; echo '{{"protocol":1}}'; while read line; do {each}; done"#)
}

fn program(code: &str, given: &[(&str, Value)]) -> Box<dyn StrategyRecipe> {
    let program = Program {
        command: ["sh", "-c", code].map(str::to_owned).to_vec(),
        folder: std::env::temp_dir(),
    };
    let mut values = Values::new(PARAMS);
    values
        .set("answer_within", Value::Time(5 * SECOND))
        .expect("a time");
    for (param, value) in given {
        values.set(param, value.clone()).expect("a value that may stand");
    }
    program.build("mine", &values).expect("values that fit together")
}

fn bound(code: &str, given: &[(&str, Value)]) -> Box<dyn Strategy> {
    program(code, given).bind(&wiring(HEATER)).expect("it applies")
}

fn seen(now_ms: i64, reading_c: Option<f64>) -> Readings {
    Readings {
        now_ms,
        probes_c: vec![None, reading_c],
        drawn_w: vec![0.0],
        announced: Vec::new(),
    }
}

/// What so many decisions command, or why they cannot.
fn decided(bound: &mut dyn Strategy, decisions: i64) -> Result<Commands, String> {
    let mut commands = Commands::default();
    for step in 0..decisions {
        commands.clear();
        bound
            .decide(&seen(step * 10 * SECOND, Some(25.0)), &mut commands)
            .map_err(|failure| failure.reason)?;
    }
    Ok(commands)
}

#[test]
fn a_program_of_one_line_of_shell_closes_the_contact() {
    let mut bound = bound(&shell(r#"echo '{"contacts":{"contact 0":true}}'"#), &[]);
    let commands = decided(&mut *bound, 50).expect("decides");
    assert!(commands.list()[0].state.is_closed());
}

/// The program repeats what it was told as an alert.
fn told(given: &[(&str, Value)], reading_c: Option<f64>) -> String {
    let repeat = r#"printf '{"contacts":{},"alerts":["%s"]}\n' "$(echo "$line" | tr -d '"')""#;
    let mut bound = bound(&shell(repeat), given);
    bound.restarted(Restart::Lost);
    let mut commands = Commands::default();
    bound.decide(&seen(0, reading_c), &mut commands).expect("decides");
    commands.alerts()[0].clone()
}

#[test]
fn it_is_told_readings_with_their_names_and_how_it_came_back() {
    assert_eq!(
        told(&[], Some(25.25)),
        "{message:decide,now_s:0.0,restart:lost,probes:{display:null,main:25.25},drawn_w:{heater 0:0.0},announced:[]}"
    );
}

#[test]
fn a_device_sees_counts_or_a_sentinel_where_the_probe_is_silent() {
    let counts = [("readings", text("counts")), ("converter", text("10 bit"))];
    assert!(told(&counts, Some(25.0)).contains("probes:{display:1023,main:512}"));
    assert!(told(&[("readings", text("bus"))], Some(25.02)).contains("probes:{display:-127.0,main:25.0}"));
}

#[test]
fn every_hostile_program_ends_as_a_failure_that_says_what_it_did() {
    let quick = || Value::Time(300);
    let patient = || Value::Time(5 * SECOND);
    for (code, answer_within, why) in [
        ("sleep 60".to_owned(), quick(), "gave no answer within 300ms"),
        (shell("sleep 60"), quick(), "gave no answer within 300ms"),
        ("exit 3".to_owned(), patient(), "it ended (exit status: 3)"),
        (
            shell("echo 'no such pin' >&2; exit 4"),
            patient(),
            "it ended (exit status: 4); its last words: `no such pin`",
        ),
        (shell("kill -9 $$"), patient(), "it ended (signal: 9"),
        (shell("echo heat"), patient(), "it answered `heat`"),
        (
            "echo hello; cat".to_owned(),
            patient(),
            "it answered the hello with `hello`",
        ),
        (
            r#"echo '{"protocol":99}'; cat"#.to_owned(),
            patient(),
            "it speaks protocol 99; this program speaks 1",
        ),
        (shell(r"printf '\377\n'"), patient(), "no text (UTF-8)"),
        (
            shell("head -c 100000 /dev/zero | tr '\\0' x"),
            patient(),
            "a line of more than 16000 bytes",
        ),
        (
            shell(r#"echo '{"contacts":{}}'; echo '{"contacts":{}}'; sleep 0.1"#),
            patient(),
            "a line that nobody asked for",
        ),
        ("yes".to_owned(), patient(), "it answered the hello with `y`"),
        (
            "exec >&-; sleep 60".to_owned(),
            patient(),
            "it closed its output and goes on running",
        ),
        (
            shell(r#"echo '{"contacts":{"pump":true}}'"#),
            patient(),
            "`pump` is no contact that it switches; these are: contact 0",
        ),
        (
            shell(r#"echo '{"contacts":{"contact 0":"on"}}'"#),
            patient(),
            "expected true or false",
        ),
        (
            shell(r#"echo '{"contacts":{"contact 0":1.5}}'"#),
            patient(),
            "a duty of 1.5",
        ),
        (
            shell(r#"echo '{"contacts":{"contact 0":NaN}}'"#),
            patient(),
            "it answered",
        ),
        (
            shell(r#"echo '{"contact":{}}'"#),
            patient(),
            "unknown field `contact`",
        ),
    ] {
        let mut bound = bound(&code, &[("answer_within", answer_within)]);
        let failure = decided(&mut *bound, 20).expect_err(&code);
        assert!(failure.contains(why), "{code}\n{failure}");
        assert!(failure.starts_with("program `sh -c "), "{failure}");
    }
}

#[test]
fn a_program_that_is_not_there_is_a_failure_too() {
    let nothing = Program {
        command: vec!["./no-such-program".to_owned()],
        folder: std::env::temp_dir(),
    };
    let recipe = nothing.build("mine", &Values::new(PARAMS)).expect("builds");
    let mut bound = recipe.bind(&wiring(HEATER)).expect("it applies");
    let failure = decided(&mut *bound, 1).expect_err("fails");
    assert!(failure.contains("cannot be started"), "{failure}");
}

/// Whether each process that wrote its id into a file, one a line, is there; `/proc` shows zombies too.
#[cfg(target_os = "linux")]
#[expect(clippy::disallowed_methods, reason = "a test asks the system for processes")]
fn alive(file: &std::path::Path) -> Vec<bool> {
    let ids = std::fs::read_to_string(file).unwrap_or_default();
    ids.lines()
        .map(|id| std::path::Path::new("/proc").join(id).exists())
        .collect()
}

#[cfg(target_os = "linux")]
#[test]
fn the_program_is_gone_once_the_run_is_over_however_it_ends() {
    let file = std::env::temp_dir().join(format!("tepid-ids-{}", std::process::id()));
    let stubborn = format!(
        r#"trap '' TERM; echo $$ >> {0}; read hello; echo '{{"protocol":1}}'; while :; do read line && echo '{{"contacts":{{}}}}' || sleep 1; done"#,
        file.display()
    );
    let mut ended_well = bound(&stubborn, &[]);
    decided(&mut *ended_well, 3).expect("decides");
    assert_eq!(alive(&file), [true]);
    drop(ended_well);
    let panicked = std::panic::catch_unwind(|| {
        let mut bound = bound(&stubborn, &[]);
        decided(&mut *bound, 3).expect("decides");
        panic!("on purpose");
    });
    assert!(panicked.is_err());
    assert_eq!(alive(&file), [false, false]);
    std::fs::remove_file(file).expect("removed");
}
