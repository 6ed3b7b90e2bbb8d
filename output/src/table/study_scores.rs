//! The main scores of a scenario and fault case, one strategy below the other.

use super::{Column, WIDTH, grid};
use crate::records::{ScoreSummary, StudyGroup};
use crate::wording::study::cases_named;
use crate::wording::study_scores::{Figures, Main, shown_and_zero, summary, zero_in_words};
use crate::wording::{MISSING, Units, wrapped};

/// What marks the means of strategies that none is shown to be better than.
const BEST: &str = "*";

/// The name of the second row of a strategy, indented by spaces that no line breaks at.
const WORST: &str = "\u{a0}\u{a0}worst run";

/// Characters of the column of names, the gap to the next included.
const NAMES: std::ops::RangeInclusive<usize> = 13..=26;

/// "spare-room-winter, nothing broken: 64 runs of each strategy"; of all cases that are told together.
pub(super) fn group_heading(alike: &[&[StudyGroup]]) -> String {
    let firsts: Vec<&StudyGroup> = alike.iter().filter_map(|groups| groups.first()).collect();
    let (Some(first), Some(groups)) = (firsts.first(), alike.first()) else {
        return String::new();
    };
    let cases: Vec<(&str, &str)> = firsts
        .iter()
        .map(|group| (group.fault_set.as_str(), group.case.as_str()))
        .collect();
    let case = cases_named(&cases);
    let counts: Vec<u64> = groups.iter().map(|group| group.replicates).collect();
    let (least, most) = (counts.iter().min(), counts.iter().max());
    let runs = match (least, most) {
        (Some(1), Some(1)) => "one run of each strategy".to_owned(),
        (Some(least), Some(most)) if least == most => format!("{most} runs of each strategy"),
        (Some(least), Some(most)) => format!("{least} to {most} runs of each strategy"),
        _ => String::new(),
    };
    format!("{}, {case}: {runs}", first.scenario)
}

/// The tables of the groups' main scores, as many side by side as fit; a score that is zero in all of them is told below.
pub(super) fn scores(groups: &[StudyGroup], units: Units) -> String {
    let (shown, zero) = shown_and_zero(groups);
    let columns: Vec<ScoreColumn> = shown
        .iter()
        .map(|main| ScoreColumn::new(main, groups, units))
        .collect();
    let names = groups.iter().map(|group| group.strategy.chars().count()).max();
    let names = (names.unwrap_or(0) + 2).clamp(*NAMES.start(), *NAMES.end());
    let mut text = String::new();
    let mut left = columns.as_slice();
    while !left.is_empty() {
        let mut used = names;
        let fitting = left
            .iter()
            .take_while(|column| {
                used += column.width;
                used <= WIDTH
            })
            .count()
            .max(1);
        let (now, later) = left.split_at(fitting);
        text += &side_by_side(groups, names, now);
        left = later;
    }
    if columns.iter().any(|column| column.has_best) {
        text += &wrapped(
            &format!("{BEST} "),
            "No strategy is shown to be better, all of them compared with each other.",
            WIDTH,
        );
    }
    if let Some(zero) = zero_in_words(&zero) {
        text += &wrapped("", &zero, WIDTH);
    }
    text
}

/// A column of figures: for each group the mean and the worst run.
struct ScoreColumn {
    head: &'static str,
    cells: Vec<(String, String)>,
    width: usize,
    has_best: bool,
}

impl ScoreColumn {
    fn new(main: &Main, groups: &[StudyGroup], units: Units) -> Self {
        let scores: Vec<Option<&ScoreSummary>> =
            groups.iter().map(|group| summary(group, main.score)).collect();
        let ranks = || scores.iter().flatten().filter_map(|score| score.rank);
        let has_best = ranks().any(|rank| rank > 1);
        let figures = Figures::of(scores.iter().flatten().copied(), units);
        let cells: Vec<(String, String)> = scores
            .iter()
            .map(|score| {
                let Some(score) = score else {
                    return (MISSING.to_owned(), MISSING.to_owned());
                };
                let mark = if has_best && score.rank == Some(1) {
                    format!(" {BEST}")
                } else {
                    String::new()
                };
                (figures.mean(score) + &mark, figures.one(score.worst.value))
            })
            .collect();
        let head = main.head(units);
        let widest = cells
            .iter()
            .flat_map(|(mean, worst)| [mean.as_str(), worst.as_str()])
            .chain(head.lines())
            .map(|text| text.chars().count())
            .max();
        Self {
            head,
            cells,
            width: widest.unwrap_or(0) + 2,
            has_best,
        }
    }
}

fn side_by_side(groups: &[StudyGroup], names: usize, columns: &[ScoreColumn]) -> String {
    let width = |width: usize| u16::try_from(width).unwrap_or(u16::MAX);
    let mut heads = vec![Column::words("Strategy", width(names))];
    heads.extend(
        columns
            .iter()
            .map(|column| Column::figures(column.head, width(column.width))),
    );
    // Takes what is left of the line.
    heads.push(Column::words("", 0));
    let mut rows = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        let cells = |of: fn(&(String, String)) -> &String| {
            columns
                .iter()
                .filter_map(move |column| column.cells.get(index).map(of).cloned())
        };
        rows.push(
            std::iter::once(group.strategy.clone())
                .chain(cells(|(mean, _)| mean))
                .collect(),
        );
        if groups.iter().any(|group| group.replicates > 1) {
            rows.push(
                std::iter::once(WORST.to_owned())
                    .chain(cells(|(_, worst)| worst))
                    .collect(),
            );
        }
    }
    grid(&heads, rows)
}
