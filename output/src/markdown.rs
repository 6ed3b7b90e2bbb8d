//! A study as Markdown, fit for the summary of a CI job: the verdict first, broken gates with the commands that run the worst runs again, then the rest.

use crate::records::{GateResult, GateVerdict, StudyGroup, StudyResult};
use crate::wording::study::{
    bound, case_named, differences, gate_value, gates_in_a_sentence, gates_that, heading, how_shown, judged,
    lacking, runs,
};
use crate::wording::study_scores::{MAIN, columns, shown_and_zero, summary, zero_in_words};
use crate::wording::{MISSING, Units, abridged};

/// Gates told one by one, and failed runs: summaries of CI services have a limit.
const TOLD: usize = 100;

/// The study as Markdown with tables and folded parts, in metric units.
#[must_use]
pub fn study(record: &StudyResult) -> String {
    let broken = gates_that(record, GateVerdict::Broken);
    let open = gates_that(record, GateVerdict::NotJudged);
    let holding = gates_that(record, GateVerdict::Holds);
    let sentence = gates_in_a_sentence(record).unwrap_or_else(|| "No gates.".to_owned());
    let mut text = format!(
        "## {}\n\n**{}** {}\n\n{}, seed {}.\n",
        escaped(&heading(record)),
        escaped(&sentence),
        if record.complete {
            ""
        } else {
            "**The study is not complete.**"
        },
        escaped(&format!("Runs: {}", runs(record))),
        record.seed
    );
    text = text.replace("** \n", "**\n");
    text += &broken_gates(&broken);
    text += &gate_table("Gates that could not be judged", &open);
    text += &folded("Gates that hold", &gate_rows(&holding));
    text += &scenarios(record);
    let failures = record.failures.iter().map(|failed| {
        let case = case_named(&failed.fault_set, &failed.case);
        format!(
            "{} in {}, {case}, replicate {}: {}",
            failed.strategy, failed.scenario, failed.replicate, failed.reason
        )
    });
    text += &list("Runs without a result", failures);
    text += &list("Does not apply", lacking(record));
    let cautions = record
        .cautions
        .iter()
        .map(|one| format!("{} [{}]", one.text, abridged(&one.because)));
    text + &list("Cautions", cautions)
}

fn broken_gates(gates: &[&GateResult]) -> String {
    let rows: Vec<Vec<String>> = gates
        .iter()
        .take(TOLD)
        .map(|gate| {
            let worst = gate.worst.as_ref().map_or_else(
                || MISSING.to_owned(),
                |worst| match &worst.tank {
                    Some(tank) => format!("{tank}, replicate {}", worst.replicate),
                    None => format!("replicate {}", worst.replicate),
                },
            );
            let replay = gate.replay.as_deref().map_or_else(|| MISSING.to_owned(), code);
            let mut row = gate_row(gate);
            row.extend([escaped(&worst), replay]);
            row
        })
        .collect();
    let heads: Vec<&str> = GATE_HEADS
        .into_iter()
        .chain(["Worst run", "Run it again"])
        .collect();
    headed("Broken gates", &table(&heads, &rows)) + &more(gates.len())
}

/// A heading above a text, nothing above none.
fn headed(heading: &str, text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        format!("\n### {heading}\n\n{text}")
    }
}

fn gate_table(heading: &str, gates: &[&GateResult]) -> String {
    headed(heading, &gate_rows(gates))
}

fn gate_rows(gates: &[&GateResult]) -> String {
    let rows: Vec<Vec<String>> = gates.iter().take(TOLD).map(|gate| gate_row(gate)).collect();
    table(&GATE_HEADS, &rows) + &more(gates.len())
}

const GATE_HEADS: [&str; 6] = ["Score", "Value", "Allowed", "Scenario", "Case", "Strategy"];

fn gate_row(gate: &GateResult) -> Vec<String> {
    [
        format!("{}, {}", gate.score, judged(gate.of)),
        gate_value(gate, Units::Metric),
        bound(gate.bound, gate.unit, Units::Metric),
        gate.scenario.clone(),
        case_named(&gate.fault_set, &gate.case),
        gate.strategy.clone(),
    ]
    .map(|cell| escaped(&cell))
    .to_vec()
}

fn more(all: usize) -> String {
    match all.saturating_sub(TOLD) {
        0 => String::new(),
        more => format!("\nAnd {more} more, in JSON and JUnit.\n"),
    }
}

/// One table per scenario: a row for each fault case and strategy.
fn scenarios(record: &StudyResult) -> String {
    let mut text = String::new();
    for groups in record.groups.chunk_by(|a, b| a.scenario == b.scenario) {
        let Some(first) = groups.first() else { continue };
        text += &headed(&escaped(&first.scenario), &scores(groups));
        let main: Vec<&str> = MAIN.iter().map(|main| main.score).collect();
        let apart: Vec<String> = groups
            .iter()
            .filter_map(|group| {
                let told = differences(group, &main, Units::Metric)?;
                let case = case_named(&group.fault_set, &group.case);
                Some(format!(
                    "- {}\n",
                    escaped(&format!("{}, {case}: {told}", group.strategy))
                ))
            })
            .collect();
        let reference = record.reference.as_deref().unwrap_or(MISSING);
        text += &folded(&format!("Beside {reference}"), &apart.concat());
    }
    if text.is_empty() {
        text
    } else {
        format!("{text}\n{}\n", escaped(&how_shown(record)))
    }
}

fn scores(groups: &[StudyGroup]) -> String {
    let (shown, zero) = shown_and_zero(groups);
    let columns = columns(shown, groups, Units::Metric);
    let titles: Vec<String> = columns
        .iter()
        .map(|(main, _)| main.title(Units::Metric))
        .collect();
    let mut heads = vec!["Case", "Strategy", "Runs"];
    heads.extend(titles.iter().map(String::as_str));
    let rows: Vec<Vec<String>> = groups
        .iter()
        .map(|group| {
            let mut row = vec![
                escaped(&case_named(&group.fault_set, &group.case)),
                escaped(&group.strategy),
                group.replicates.to_string(),
            ];
            row.extend(columns.iter().map(|(main, figures)| {
                summary(group, main.score).map_or_else(
                    || MISSING.to_owned(),
                    |score| {
                        let (mean, worst) = (figures.mean(score), figures.one(score.worst.value));
                        escaped(&if mean == worst {
                            mean
                        } else {
                            format!("{mean}, worst {worst}")
                        })
                    },
                )
            }));
            row
        })
        .collect();
    let zero = zero_in_words(&zero).map_or_else(String::new, |zero| format!("\n{zero}\n"));
    table(&heads, &rows) + &zero
}

/// A table of cells that are Markdown already; nothing without rows.
fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let mut text = format!("| {} |\n|{}\n", heads.join(" | "), "---|".repeat(heads.len()));
    for row in rows {
        text += &format!("| {} |\n", row.join(" | "));
    }
    text
}

fn list(heading: &str, items: impl IntoIterator<Item = String>) -> String {
    let items: Vec<String> = items.into_iter().collect();
    let told: Vec<String> = items
        .iter()
        .take(TOLD)
        .map(|item| format!("- {}\n", escaped(item)))
        .collect();
    headed(heading, &told.concat()) + &more(items.len())
}

/// A part that opens on demand.
fn folded(heading: &str, text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        format!(
            "\n<details><summary>{}</summary>\n\n{text}\n</details>\n",
            escaped(heading)
        )
    }
}

/// Words as they are, in Markdown and in a cell of a table.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for one in text.chars() {
        match one {
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '~' => {
                escaped.push('\\');
                escaped.push(one);
            }
            '<' => escaped += "&lt;",
            '&' => escaped += "&amp;",
            '\n' | '\r' => escaped.push(' '),
            _ => escaped.push(one),
        }
    }
    escaped
}

/// A command to copy, in a cell of a table.
fn code(command: &str) -> String {
    let fence = if command.contains('`') { "``" } else { "`" };
    let pad = if fence.len() > 1 { " " } else { "" };
    format!("{fence}{pad}{}{pad}{fence}", command.replace('|', "\\|"))
}
