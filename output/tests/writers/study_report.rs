//! The page of a study.

use tepid_output::records::{GateVerdict, StudyResult};
use tepid_output::report::{Input, StudyReport, study_html};
use tepid_output::wording::Units;

use super::study_examples::{bare, study};

fn page(result: StudyResult) -> String {
    study_html(&StudyReport {
        program: "tepid 0.0.0".to_owned(),
        command: "tepid report study.toml -o out.html".to_owned(),
        units: Units::Metric,
        path: "my study.toml".to_owned(),
        result,
        inputs: vec![Input {
            name: "my study.toml".to_owned(),
            text: "title = \"<script>alert(2)</script>\"".to_owned(),
        }],
    })
}

#[test]
fn every_row_of_its_tables_is_a_group_with_the_figures_of_the_record() {
    let result = study();
    let page = page(result.clone());
    let tables = page.split("<table data-sorts").skip(1);
    let rows: Vec<String> = tables
        .flat_map(|table| {
            let body = table
                .split("<tbody>")
                .nth(1)
                .expect("a body")
                .split("</tbody>")
                .next()
                .expect("its end");
            body.split("<tr>").skip(1).map(str::to_owned).collect::<Vec<_>>()
        })
        .collect();
    assert_eq!(rows.len(), result.groups.len());
    for (row, group) in rows.iter().zip(&result.groups) {
        assert!(row.contains(&format!("data-value=\"{}\"", group.strategy)));
        let shown = ["overshoot", "energy", "hot dose used"];
        for score in group
            .scores
            .iter()
            .filter(|one| shown.contains(&one.score.as_str()))
        {
            assert!(
                row.contains(&format!("data-value=\"{}\"", score.mean)),
                "{}: {row}",
                score.score
            );
        }
    }
}

#[test]
fn broken_gates_come_first_with_the_command_that_runs_them_again() {
    let result = study();
    let page = page(result.clone());
    let broken = result
        .gates
        .iter()
        .filter(|gate| gate.verdict == GateVerdict::Broken);
    let replays: Vec<&String> = broken.filter_map(|gate| gate.replay.as_ref()).collect();
    assert!(!replays.is_empty());
    for replay in replays {
        let at = page.find(replay.as_str()).expect("its command");
        assert!(at < page.find("○ holds").expect("gates that hold"));
    }
}

#[test]
fn the_list_of_those_first_in_danger_falls_from_the_largest_dose() {
    let listed = |result: StudyResult| -> Vec<String> {
        let page = page(result);
        let list = page.split("id=\"ranking\"").nth(1).expect("the list");
        let rows = list
            .split("</table>")
            .next()
            .expect("its end")
            .split("<tr>")
            .skip(2);
        rows.map(|row| {
            row.split("<td>")
                .nth(1)
                .expect("a strategy")
                .split('<')
                .next()
                .expect("it")
                .to_owned()
        })
        .collect()
    };
    // Groups without a dose used in any run are not in the list.
    let mut result = study();
    assert_eq!(listed(result.clone()), ["on-off", "proportional"]);
    result.groups[2].scores[1].worst.value = 0.4;
    assert_eq!(listed(result), ["proportional", "on-off"]);
    assert!(page(study()).contains("tepid run 'my study.toml' --cell spare-room-winter/on-off/17"));
}

#[test]
fn what_a_study_names_stays_text_and_what_it_lacks_is_left_out() {
    let mut result = bare();
    result.title = "<script>alert(1)</script>".to_owned();
    let page = page(result);
    assert!(!page.contains("<script>alert"));
    assert!(page.contains("&lt;script&gt;alert(1)"));
    assert!(page.contains("&lt;script&gt;alert(2)"));
    assert!(!page.contains("\"NaN") && !page.contains(">NaN"));
}
