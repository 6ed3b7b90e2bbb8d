//! A strategy or guard, explained.

use super::{Column, WIDTH, cautions, grid};
use crate::cautions::Cautioned;
use crate::records::{Coverage, CoveredSet, Explained, Explanation, PastCase, RoomKind};
use crate::wording::{duration, wrapped};

/// What it is, its law, its parameters, its way to the heater.
#[must_use]
pub fn explanation(record: &Explanation) -> String {
    let is = match record.is {
        Explained::Strategy => "a strategy",
        Explained::StrategyFile => "a strategy of a file",
        Explained::Guard => "a guard, to be put around any strategy",
    };
    let mut text = wrapped("", &format!("{}: {is}", record.name), WIDTH);
    text += &wrapped("", &format!("{}.", capitalised(&record.summary)), WIDTH);
    text += &wrapped("In use: ", &record.settings, WIDTH);
    for part in &record.page {
        // Parameters have a table of their own, from the list that the loader reads by.
        if part.heading != "Parameters" {
            text += &format!("\n{}\n{}", part.heading, paragraphs(&part.text));
        }
    }
    if !record.parameters.is_empty() {
        text += &format!("\n{}", parameters(record));
    }
    text + &format!("\n{}", way(record))
}

/// What it covers, as tried, and the cautions of it all.
#[must_use]
pub fn coverage(record: &Explanation) -> String {
    let covered = record
        .coverage
        .as_ref()
        .map_or_else(String::new, |coverage| format!("\n{}", covered(record, coverage)));
    // Of many faults two say enough of why.
    let brief: Vec<Cautioned> = record
        .cautions
        .iter()
        .map(|one| Cautioned {
            because: one.because.iter().take(2).cloned().collect(),
            ..one.clone()
        })
        .collect();
    covered + &cautions(&brief)
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Lines of a page as paragraphs: an empty line ends one, and a line that begins with "- " begins one of a list.
fn paragraphs(text: &str) -> String {
    let mut told = String::new();
    let mut paragraph = String::new();
    for line in text.lines().chain([""]) {
        let line = line.trim();
        if (line.is_empty() || line.starts_with("- ")) && !paragraph.is_empty() {
            told += &match paragraph.strip_prefix("- ") {
                Some(item) => wrapped("  - ", item, WIDTH),
                None => wrapped("  ", &paragraph, WIDTH),
            };
            paragraph.clear();
        }
        if !paragraph.is_empty() {
            paragraph.push(' ');
        }
        paragraph += line;
    }
    told
}

fn parameters(record: &Explanation) -> String {
    let rows = record.parameters.iter().map(|one| {
        let range = one
            .range
            .as_deref()
            .map_or_else(|| one.takes.clone(), str::to_owned);
        let meaning = match &one.trade {
            None => one.doc.clone(),
            Some(trade) => format!("{}. {}", one.doc, capitalised(trade)),
        };
        vec![one.name.clone(), one.default.clone(), range, meaning]
    });
    grid(
        &[
            Column::words("Parameter", 18),
            Column::words("Left out", 20),
            Column::words("May be", 20),
            Column::words("Meaning", 38),
        ],
        rows.collect(),
    )
}

fn way(record: &Explanation) -> String {
    let added = record
        .added
        .as_ref()
        .map_or_else(String::new, |added| format!(" with {added}"));
    if let Some(missing) = &record.does_not_apply {
        return wrapped(
            "",
            &format!(
                "On {}{added} it does not apply: {missing}. Name a scenario on which it does to see its way and what it covers.",
                record.scenario
            ),
            WIDTH,
        );
    }
    let mut text = wrapped("", &format!("Its way on {}{added}", record.scenario), WIDTH);
    for (index, step) in record.way.iter().enumerate() {
        let arrow = if index == 0 { "   " } else { "-> " };
        text += &wrapped(&format!("  {arrow}{:<10}", step.kind), &step.what, WIDTH);
    }
    text
}

fn covered(record: &Explanation, coverage: &Coverage) -> String {
    let head = format!(
        "Faults on {}, each followed for up to {} in three rooms, under {}",
        record.scenario,
        duration(coverage.followed_h),
        coverage.tried
    );
    let mut text = wrapped("", &head, WIDTH);
    let of = |wanted: fn(&CoveredSet) -> bool| -> Vec<&CoveredSet> {
        coverage.sets.iter().filter(|set| wanted(set)).collect()
    };
    if coverage.compared_with.is_some() {
        text += &past_table(
            "Covered by the guard alone: without it",
            &of(|set| set.past.is_none() && set.past_without_guard.is_some()),
            |set| set.past_without_guard.as_ref(),
        );
        text += &past_table(
            "Past the dose because of the guard",
            &of(|set| set.past.is_some() && set.past_without_guard.is_none()),
            |set| set.past.as_ref(),
        );
        text += &past_table(
            "Not covered, with the guard or without",
            &of(|set| set.past.is_some() && set.past_without_guard.is_some()),
            |set| set.past.as_ref(),
        );
        let harmless = of(|set| set.past.is_none() && set.past_without_guard.is_none());
        return text + &names("Below the dose with the guard or without: ", &harmless);
    }
    text += &past_table("Not covered", &of(|set| set.past.is_some()), |set| {
        set.past.as_ref()
    });
    text + &names("Below the dose: ", &of(|set| set.past.is_none()))
}

fn names(lead: &str, sets: &[&CoveredSet]) -> String {
    if sets.is_empty() {
        return String::new();
    }
    let names: Vec<&str> = sets.iter().map(|set| set.set.as_str()).collect();
    format!("\n{}", wrapped("", &format!("{lead}{}", names.join(", ")), WIDTH))
}

fn past_table<'s>(
    head: &'static str,
    sets: &[&'s CoveredSet],
    past: impl Fn(&'s CoveredSet) -> Option<&'s PastCase>,
) -> String {
    let rows: Vec<Vec<String>> = sets
        .iter()
        .filter_map(|set| {
            let past = past(set)?;
            let room = match past.room {
                RoomKind::Scenario => "its own",
                RoomKind::Coldest => "the year's coldest",
                RoomKind::Warmest => "the year's warmest",
            };
            Some(vec![
                set.set.clone(),
                past.case.clone(),
                room.to_owned(),
                duration(past.used_up_h),
            ])
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let columns = [
        Column::words(head, 28),
        Column::words("The first past the dose", 38),
        Column::words("Room", 20),
        Column::words("After", 10),
    ];
    format!("\n{}", grid(&columns, rows))
}

#[cfg(test)]
mod tests {
    use super::paragraphs;

    #[test]
    fn what_follows_a_list_is_no_part_of_its_last_item() {
        assert_eq!(
            paragraphs("One of:\n- a\n  more\n- b\n\nThen\nthis."),
            "  One of:\n  - a more\n  - b\n  Then this.\n"
        );
    }
}
