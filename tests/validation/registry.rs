//! All rows of all cases, in one list and one table.

use std::sync::LazyLock;

use rayon::prelude::*;

use crate::row::{Row, figure};
use crate::{
    alerts, battery, cooling, deadband, duty, evaporation, fan, pane_film, pools, sensing, size, sizing,
    streams, stuck, water_change,
};

/// The themes, in the order of the page.
const THEMES: [fn() -> Vec<Row>; 15] = [
    duty::rows,
    sizing::rows,
    stuck::rows,
    cooling::rows,
    battery::rows,
    evaporation::rows,
    fan::rows,
    size::rows,
    water_change::rows,
    alerts::rows,
    deadband::rows,
    sensing::rows,
    pools::rows,
    streams::rows,
    pane_film::rows,
];

/// Every row, in the order of the page; computed once, on all cores.
pub fn rows() -> &'static [Row] {
    static ROWS: LazyLock<Vec<Row>> =
        LazyLock::new(|| THEMES.par_iter().flat_map_iter(|theme| theme()).collect());
    &ROWS
}

/// The rows as aligned text.
pub fn table(rows: &[Row]) -> String {
    let heads = [
        "case",
        "quantity",
        "kind",
        "outside",
        "predicted",
        "residual",
        "unit",
        "",
    ]
    .map(String::from);
    let cells = rows.iter().map(|row| {
        [
            row.case.to_owned(),
            row.quantity.clone(),
            row.told.to_string(),
            row.outside.to_string(),
            row.predicted.to_string(),
            figure(row.residual()),
            row.unit.to_owned(),
            row.verdict().to_owned(),
        ]
    });
    let lines: Vec<[String; 8]> = std::iter::once(heads).chain(cells).collect();
    let widths: Vec<usize> = (0..8)
        .map(|column| {
            lines
                .iter()
                .map(|line| line[column].chars().count())
                .max()
                .unwrap_or(0)
        })
        .collect();
    let mut text = String::new();
    for line in &lines {
        for (cell, width) in line.iter().zip(&widths) {
            text.push_str(&format!("{cell:<width$}  "));
        }
        text.truncate(text.trim_end().len());
        text.push('\n');
    }
    text
}

/// The rows as tables of a page, one for each case, in the order in which cases first come up.
pub fn page(rows: &[Row]) -> String {
    let mut cases: Vec<&str> = Vec::new();
    for row in rows {
        if !cases.contains(&row.case) {
            cases.push(row.case);
        }
    }
    let mut text = String::new();
    for case in cases {
        text.push_str(&format!(
            "\n### {case}\n\n| quantity | outside | predicted | residual | | source, remark |\n|---|---|---|---|---|---|\n"
        ));
        let mut above = None;
        for row in rows.iter().filter(|row| row.case == case) {
            let remark = match (row.source, row.remark) {
                same if above == Some(same) => "as above".to_owned(),
                (source, "") => source.to_owned(),
                (source, remark) => format!("{source}. {}", upper_first(remark)),
            };
            above = Some((row.source, row.remark));
            let unit = if row.unit == "1" {
                String::new()
            } else {
                format!(", {}", row.unit)
            };
            text.push_str(&format!(
                "| {}{unit} | {} ({}) | {} | {} | {} | {remark} |\n",
                row.quantity,
                row.outside,
                row.told,
                row.predicted,
                figure(row.residual()),
                row.verdict(),
            ));
        }
    }
    text
}

fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
