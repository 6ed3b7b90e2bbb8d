//! A study built by hand: invented figures.

use tepid_output::cautions::Caution;
use tepid_output::records::{
    CellRow, FORMAT_VERSION, FailedCell, GateBound, GateOf, GateResult, GateVerdict, NotApplied, RecordKind,
    ScoreDifference, ScoreSummary, ScoreUnit, Shown, StudyGroup, StudyResult, WorstRun,
};

pub const WINTER: &str = "spare-room-winter";
pub const WELDED: (&str, &str) = ("one contact welded", "relay left welded");
pub const REPLAY: &str =
    "tepid run --cell spare-room-winter/on-off/one-contact-welded/relay-left-welded/17 study.toml";

fn cell(strategy: &str, replicate: u64) -> String {
    format!("{WINTER}/{strategy}/{replicate}")
}

/// A score over 64 runs: its mean, half its interval and the worst run.
pub fn score(name: &str, unit: ScoreUnit, [mean, half, worst]: [f64; 3]) -> ScoreSummary {
    ScoreSummary {
        score: name.to_owned(),
        unit,
        runs: 64,
        mean,
        mean_interval: Some([mean - half, mean + half]),
        standard_deviation: Some(half * 4.0),
        quantiles: [mean - half * 6.0, mean, mean + half * 6.0],
        worst: WorstRun {
            value: worst,
            replicate: 17,
            tank: Some("display".to_owned()),
            cell: cell("on-off", 17),
        },
        difference: None,
        rank: Some(1),
    }
}

pub fn beside(score: ScoreSummary, interval: [f64; 2], shown: Shown) -> ScoreSummary {
    let [low, high] = interval;
    ScoreSummary {
        difference: Some(ScoreDifference {
            pairs: 64,
            mean: 0.5 * (low + high),
            t_interval: Some(interval),
            bootstrap_interval: Some([low * 1.02, high * 0.98]),
            shown,
        }),
        ..score
    }
}

pub fn ranked(score: ScoreSummary, rank: u32) -> ScoreSummary {
    ScoreSummary {
        rank: Some(rank),
        ..score
    }
}

pub fn group(strategy: &str, (fault_set, case): (&str, &str), scores: Vec<ScoreSummary>) -> StudyGroup {
    StudyGroup {
        scenario: WINTER.to_owned(),
        strategy: strategy.to_owned(),
        fault_set: fault_set.to_owned(),
        case: case.to_owned(),
        replicates: 64,
        failed: 0,
        scores,
    }
}

fn groups() -> Vec<StudyGroup> {
    use ScoreUnit::{Hours, Kelvin, KilowattHours, Number, Share};
    let healthy = |overshoot, closings, energy| {
        vec![
            score("overshoot", Kelvin, overshoot),
            score("undershoot", Kelvin, [0.412, 0.031, 0.73]),
            score("time above band", Hours, [0.0, 0.0, 0.0]),
            score("time below band", Hours, [3.41, 0.52, 11.6]),
            score("hot dose used", Share, [0.0, 0.0, 0.0]),
            score("cold dose used", Share, [0.0, 0.0, 0.0]),
            score("closings per day", Number, closings),
            score("energy", KilowattHours, energy),
        ]
    };
    let on_off = healthy([0.271, 0.004, 0.31], [61.4, 1.9, 74.0], [31.42, 0.62, 36.1]);
    let mut proportional = healthy([0.112, 0.0042, 0.14], [212.3, 2.4, 240.0], [31.44, 0.61, 36.2]);
    let differ = [
        ([-0.171, -0.147], Shown::Better),
        ([-0.002, 0.004], Shown::NoDifference),
        ([0.0, 0.0], Shown::Alike),
        ([-0.0014, -0.0002], Shown::Better),
        ([0.0, 0.0], Shown::Alike),
        ([0.0, 0.0], Shown::Alike),
        ([148.2, 153.6], Shown::Worse),
        ([-0.01, 0.05], Shown::NoDifference),
    ];
    for (score, (interval, shown)) in proportional.iter_mut().zip(differ) {
        *score = beside(score.clone(), interval, shown);
    }
    let mut on_off = on_off;
    on_off[0] = ranked(on_off[0].clone(), 2);
    proportional[6] = ranked(proportional[6].clone(), 2);
    let welded = vec![
        score("overshoot", Kelvin, [5.21, 0.21, 6.6]),
        score("hot dose used", Share, [31.0, 4.1, 44.0]),
    ];
    let welded_proportional = vec![
        beside(
            score("overshoot", Kelvin, [5.13, 0.2, 6.6]),
            [-0.31, 0.08],
            Shown::NoDifference,
        ),
        beside(
            score("hot dose used", Share, [0.91, 0.051, 1.3]),
            [-35.0, -25.0],
            Shown::Better,
        ),
    ];
    vec![
        group("on-off", ("none", "none"), on_off),
        group("proportional", ("none", "none"), proportional),
        group("on-off", WELDED, welded),
        group("proportional", WELDED, welded_proportional),
    ]
}

pub fn gate(strategy: &str, value: Option<f64>, verdict: GateVerdict) -> GateResult {
    GateResult {
        gate: 1,
        score: "hot dose used".to_owned(),
        unit: ScoreUnit::Share,
        scenario: WINTER.to_owned(),
        strategy: strategy.to_owned(),
        fault_set: WELDED.0.to_owned(),
        case: WELDED.1.to_owned(),
        of: GateOf::WorstRun,
        value,
        bound: GateBound::AtMost { limit: 0.5 },
        verdict,
        worst: value.map(|value| WorstRun {
            value,
            replicate: 17,
            tank: Some("display".to_owned()),
            cell: cell(strategy, 17),
        }),
        replay: value.map(|_| REPLAY.to_owned()),
    }
}

fn gates() -> Vec<GateResult> {
    let holds = |score: &str, unit, value, bound, of| GateResult {
        gate: 2,
        score: score.to_owned(),
        unit,
        fault_set: "none".to_owned(),
        case: "none".to_owned(),
        of,
        bound,
        ..gate("on-off", Some(value), GateVerdict::Holds)
    };
    vec![
        gate("on-off", Some(44.0), GateVerdict::Broken),
        GateResult {
            bound: GateBound::NoWorseThanBaseline {
                baseline: 0.8,
                limit: 0.88,
            },
            of: GateOf::Mean,
            ..gate("proportional", Some(0.91), GateVerdict::Broken)
        },
        gate("fixed-duty", None, GateVerdict::NotJudged),
        holds(
            "closings per day",
            ScoreUnit::Number,
            74.0,
            GateBound::AtMost { limit: 80.0 },
            GateOf::WorstRun,
        ),
        holds(
            "lowest temperature",
            ScoreUnit::Celsius,
            24.77,
            GateBound::AtLeast { limit: 24.5 },
            GateOf::WorstTwentieth,
        ),
        holds(
            "overshoot",
            ScoreUnit::Kelvin,
            0.31,
            GateBound::NoBaseline,
            GateOf::WorstRun,
        ),
    ]
}

pub fn study() -> StudyResult {
    StudyResult {
        format: RecordKind::Study,
        version: FORMAT_VERSION,
        name: "winter-gates".to_owned(),
        title: "Spare-room reef through winter weeks".to_owned(),
        digest: "00ff00ff00ff00ff".to_owned(),
        seed: 7,
        confidence_frac: 0.95,
        reference: Some("on-off".to_owned()),
        complete: true,
        cells: 257,
        cells_done: 257,
        gates: gates(),
        groups: groups(),
        failures: vec![FailedCell {
            cell: cell("fixed-duty", 3),
            scenario: WINTER.to_owned(),
            strategy: "fixed-duty".to_owned(),
            fault_set: WELDED.0.to_owned(),
            case: WELDED.1.to_owned(),
            replicate: 3,
            reason: "the script ended after 41 h: line 12: division by zero".to_owned(),
        }],
        does_not_apply: vec![NotApplied {
            scenario: WINTER.to_owned(),
            strategy: "fan-cooling".to_owned(),
            missing: "no fan".to_owned(),
        }],
        cautions: vec![
            Caution::StuckHeater.because("relay left welded"),
            Caution::NoCertificate.because("any result"),
        ],
    }
}

/// The least that a study can hold: nothing has a value that need not have one.
pub fn bare() -> StudyResult {
    let mut one_run = ScoreSummary {
        runs: 1,
        mean_interval: None,
        standard_deviation: None,
        difference: Some(ScoreDifference {
            pairs: 1,
            mean: 1.5,
            t_interval: None,
            bootstrap_interval: None,
            shown: Shown::TooFewRuns,
        }),
        rank: None,
        ..score("overshoot", ScoreUnit::Kelvin, [1.5, 0.0, 1.5])
    };
    one_run.worst.tank = None;
    let of_one = |strategy: &str, scores| StudyGroup {
        replicates: 1,
        ..group(strategy, ("none", "none"), scores)
    };
    StudyResult {
        complete: false,
        cells: 8,
        cells_done: 2,
        gates: vec![gate("on-off", None, GateVerdict::NotJudged)],
        groups: vec![
            of_one("on-off", vec![one_run]),
            of_one("proportional", Vec::new()),
        ],
        ..study()
    }
}

/// The scores of [`cells`].
pub const CELL_SCORES: [(&str, ScoreUnit); 6] = [
    ("overshoot", ScoreUnit::Kelvin),
    ("highest temperature", ScoreUnit::Celsius),
    ("time above band", ScoreUnit::Hours),
    ("energy", ScoreUnit::KilowattHours),
    ("hot dose used", ScoreUnit::Share),
    ("closings per day", ScoreUnit::Number),
];

/// `count` runs: the first with nothing broken and all figures, the second failed, and so on.
pub fn cells(count: u64) -> impl Iterator<Item = CellRow> {
    (0..count).map(|replicate| {
        let failed = replicate % 2 == 1;
        let (fault_set, case) = if failed { WELDED } else { ("none", "none") };
        let some = |value: f64| (!failed).then_some(value + replicate as f64);
        CellRow {
            cell: cell("on-off", replicate),
            scenario: WINTER.to_owned(),
            strategy: "on-off".to_owned(),
            fault_set: fault_set.to_owned(),
            case: case.to_owned(),
            replicate,
            began_h: failed.then_some(9.35),
            failure: failed.then(|| "line 12: division by zero, \"x\"".to_owned()),
            scores: vec![
                some(0.25),
                some(25.75),
                some(0.0),
                some(4.5),
                some(f64::INFINITY),
                some(61.4),
            ],
        }
    })
}
