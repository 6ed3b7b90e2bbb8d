//! The verdict where a single fault takes every strategy past the dose.

use super::Judged;
use super::phrases::{away_list, capitalized, in_room, joined, names, past_list, soonest_h};
use super::remedy::{decides, remedy};
use crate::difference::hours_differ;
use crate::records::{FaultOutcome, StrategyRow};
use crate::wording::{duration, enumerated, spanned};

impl Judged<'_> {
    /// What no strategy here bears, what decides it, and how long one has.
    pub(super) fn one_fault_away(&self) -> Vec<String> {
        let decisive: Vec<&FaultOutcome> = self.away.iter().filter_map(|row| row.decisive_fault()).collect();
        let same_kind = decisive.windows(2).all(|pair| pair[0].kind == pair[1].kind);
        let same_case = decisive
            .windows(2)
            .all(|pair| pair[0].case == pair[1].case && pair[0].room == pair[1].room);
        let by = decisive
            .first()
            .filter(|_| same_case)
            .map_or_else(String::new, |first| {
                let after_h = decisive.iter().filter_map(|one| one.taken_past_h());
                format!(
                    ", namely {}{}, after {}",
                    first.case,
                    in_room(first),
                    spanned(after_h, duration)
                )
            });
        let mut sentences = vec![match (self.away.as_slice(), self.past.as_slice()) {
            ([one], []) => format!(
                "Do not trust {} alone: a single fault takes it past the dose{by}.",
                one.strategy
            ),
            (_, []) => format!("Trust none of these alone: a single fault takes each past the dose{by}."),
            (away, past) => format!(
                "Trust none of these alone: {}, and a single fault takes {} past it{by}.",
                past_list(past),
                enumerated(&names(away))
            ),
        }];
        if !same_case {
            sentences.push(format!("Which fault does it differs: {}.", away_list(&self.away)));
        }
        if let Some(first) = decisive.first().filter(|_| same_kind) {
            sentences.push(if self.past.is_empty() {
                format!(
                    "What decides is not the strategy but {}: {}.",
                    decides(first.kind),
                    remedy(first.kind)
                )
            } else {
                format!(
                    "No strategy mends that for {}: {}.",
                    enumerated(&names(&self.away)),
                    remedy(first.kind)
                )
            });
        }
        let last = joined(
            "; ",
            [self.sooner_fault(&decisive), self.most_time(), self.unfit_rooms()],
        );
        if !last.is_empty() {
            sentences.push(capitalized(&last));
        }
        sentences
    }

    /// A fault that does less harm but takes a strategy past the dose sooner than the decisive one.
    fn sooner_fault(&self, decisive: &[&FaultOutcome]) -> Option<String> {
        let (after_h, fault) = self
            .away
            .iter()
            .filter_map(|row| soonest_h(row))
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let decisive_h = decisive
            .iter()
            .filter_map(|one| one.taken_past_h())
            .reduce(f64::min)?;
        (hours_differ(after_h, decisive_h)).then(|| {
            format!(
                "the soonest to do it is {}{}, after {}",
                fault.case,
                in_room(fault),
                duration(after_h)
            )
        })
    }

    /// Which strategies leave most time to notice, where that differs.
    fn most_time(&self) -> Option<String> {
        let times: Vec<(&StrategyRow, f64)> = self
            .away
            .iter()
            .filter_map(|row| Some((*row, soonest_h(row)?.0)))
            .collect();
        let most_h = times.iter().map(|(_, after_h)| *after_h).reduce(f64::max)?;
        let (most, less): (Vec<_>, Vec<_>) = times
            .iter()
            .partition(|(_, after_h)| !hours_differ(*after_h, most_h));
        if less.is_empty() {
            return (times.len() > 1).then(|| "they are alike in the time they leave to notice".to_owned());
        }
        let rows: Vec<&StrategyRow> = most.iter().map(|(row, _)| *row).collect();
        Some(format!(
            "of these {} {} most time to notice, {} until the dose is used up",
            enumerated(&names(&rows)),
            if rows.len() == 1 { "leaves" } else { "leave" },
            spanned(most.iter().map(|(_, after_h)| *after_h), duration)
        ))
    }
}
