//! The verdict of a scenario's block in a few sentences: which strategy one would trust and why, what decides, and how long one has.
//!
//! A strategy is named over another only for a difference that means something (`difference.rs`).

use crate::judgement::worst_of;
use crate::records::{FaultOutcome, HealthySummary, ScenarioBlock, Standing, StrategyRow};
use crate::wording::{Harm, Units, abridged, beyond_lines, enumerated, hours, outcome, spanned, unbroken};

mod band;
mod one_fault_away;
mod phrases;
mod remedy;

use band::{LOW_FRAC, inside, inside_frac, steadiest, too_weak};
use phrases::{after_unbroken, away_list, capitalized, in_room, joined, named_room, names, past_list};
pub(crate) use phrases::{needed_by, needed_first, unbroken_h};

/// The sentences, from the standings that [`ScenarioBlock::judge`] set.
#[must_use]
pub fn verdict(block: &ScenarioBlock, units: Units) -> Vec<String> {
    let applied: Vec<&StrategyRow> = block
        .rows
        .iter()
        .filter(|row| row.does_not_apply.is_none())
        .collect();
    if applied.is_empty() {
        return vec![
            "None of these strategies applies here: the scenario lacks what they switch.".to_owned(),
        ];
    }
    let of = |standing: fn(&Standing) -> bool| -> Vec<&StrategyRow> {
        applied
            .iter()
            .copied()
            .filter(|row| standing(&row.standing))
            .collect()
    };
    let judged = Judged {
        block,
        units,
        best: of(|standing| *standing == Standing::Best),
        fit: of(|standing| matches!(standing, Standing::Best | Standing::FitToUse)),
        away: of(|standing| matches!(standing, Standing::OneFaultAway { .. })),
        past: of(|standing| *standing == Standing::PastTheDose),
        untried: of(|standing| *standing == Standing::NoFaultTried),
    };
    let unjudged = of(|standing| *standing == Standing::NotJudged);
    let mut sentences = if !judged.best.is_empty() {
        judged.first_choice()
    } else if !judged.away.is_empty() {
        judged.one_fault_away()
    } else if !judged.untried.is_empty() {
        judged.no_fault_tried()
    } else if !judged.past.is_empty() {
        judged.past_unbroken()
    } else if !unjudged.is_empty() {
        judged.no_lines_stated(&unjudged)
    } else {
        return vec!["Every run failed, so nothing can be said.".to_owned()];
    };
    sentences.extend(judged.beyond_lines());
    sentences.extend(judged.side_without_lines());
    let failed = of(|standing| *standing == Standing::Failed).len();
    if let Some(last) = sentences.last_mut().filter(|_| failed > 0) {
        last.truncate(last.trim_end_matches('.').len());
        *last += &format!(
            "; runs of {failed} of {} strategies failed and are not judged.",
            applied.len()
        );
    }
    sentences
}

/// The strategies that apply, by standing.
struct Judged<'a> {
    block: &'a ScenarioBlock,
    units: Units,
    best: Vec<&'a StrategyRow>,
    fit: Vec<&'a StrategyRow>,
    away: Vec<&'a StrategyRow>,
    past: Vec<&'a StrategyRow>,
    untried: Vec<&'a StrategyRow>,
}

impl Judged<'_> {
    fn first_choice(&self) -> Vec<String> {
        let alone = self.fit.len() + self.away.len() + self.past.len() == 1;
        let who = enumerated(&names(&self.best)).replace(" and ", " or ");
        let several = self.best.len() > 1;
        let (keeps, closes, alike) = if several {
            ("they keep", "close", ", which are alike")
        } else {
            ("it keeps", "closes", "")
        };
        let closings = self.closings().map(|closings| format!("{closes} {closings}"));
        let no_fault = "no single fault of the table takes the water past the dose";
        let lowest_frac = self
            .best
            .iter()
            .filter_map(|row| inside_frac(row, self.block))
            .reduce(f64::min);
        let share = inside(&self.best, self.block).unwrap_or_default();
        let mut sentences = vec![if lowest_frac.is_some_and(|inside_frac| inside_frac < LOW_FRAC) {
            let weak = too_weak(&self.best).map_or_else(String::new, |weak| format!("; {weak}"));
            let also = closings.map_or_else(String::new, |closings| format!(" and {closings}"));
            format!(
                "First comes {who}{alike}: {no_fault}, but {keeps} the water inside the band only {share} of the \
                 time{also}{weak}."
            )
        } else {
            let inside =
                (!share.is_empty()).then(|| format!("{keeps} the water inside the band {share} of the time"));
            let facts: Vec<String> = [inside, closings].into_iter().flatten().collect();
            let facts = if facts.is_empty() {
                String::new()
            } else {
                format!("{}, and ", facts.join(", "))
            };
            if alone {
                format!("Nothing here speaks against {who}: {facts}{no_fault}.")
            } else {
                format!("Trust {who} first{alike}: {facts}{no_fault}.")
            }
        }];
        sentences.push(self.what_decides(alone));
        sentences.push(capitalized(&joined(
            "; ",
            [Some(self.time_to_act(alone)), self.unfit_rooms()],
        )));
        sentences
    }

    /// "relay left 49.9 times a day" of the contact that wears out first; `None` where it does not close.
    fn closings(&self) -> Option<String> {
        let contacts: Vec<(&str, f64)> = self
            .best
            .iter()
            .filter_map(|row| row.healthy.as_ref().and_then(HealthySummary::most_worn_contact))
            .map(|contact| (contact.contact.as_str(), contact.closings_per_day.worst))
            .filter(|(_, closings)| *closings >= 0.05)
            .collect();
        let (first, _) = contacts.first()?;
        let contact = if contacts.iter().all(|(contact, _)| contact == first) {
            (*first).to_owned()
        } else {
            "the contact that wears out first".to_owned()
        };
        let closings = spanned(contacts.iter().map(|(_, closings)| *closings), |closings| {
            format!("{closings:.1} times")
        });
        Some(format!("{contact} {closings} a day"))
    }

    fn what_decides(&self, alone: bool) -> String {
        let mut parts = Vec::new();
        if !self.away.is_empty() {
            parts.push(format!("one fault away: {}", away_list(&self.away)));
        }
        if !self.past.is_empty() {
            let contrast = if parts.is_empty() { "by contrast " } else { "" };
            parts.push(format!("{contrast}{}", past_list(&self.past)));
        }
        if parts.is_empty() {
            let others = if alone {
                "What decides that is the circuit, the heaters' size and the room; compare it with other strategies for \
                 steadiness and wear."
            } else {
                "No fault takes it past the dose under any other strategy either: circuit, heater size and room have decided that, and \
                 the strategies differ only in steadiness and wear."
            };
            return others.to_owned();
        }
        capitalized(&format!(
            "{}; with the same circuit, heaters and room for all it is the strategy that decides.",
            parts.join("; ")
        ))
    }

    /// How long one has under the worst fault of the strategies fit to use, rooms that are unfit left out.
    fn time_to_act(&self, alone: bool) -> String {
        let unfit = self.block.unfit_rooms();
        let livestock = &self.block.livestock;
        let outcomes = || {
            let all = self.fit.iter().flat_map(|row| &row.faults);
            all.filter(|outcome| !unfit.contains(&outcome.room))
        };
        let of = |harm: Harm| outcomes().filter(move |outcome| Harm::of(outcome) == harm);
        if let Some(worst) = worst_of(of(Harm::PastALine), Some(livestock)) {
            return format!(
                "the worst for {} is {}{}: the water {}",
                if alone { "it" } else { "those fit to use" },
                worst.case,
                in_room(worst),
                outcome(worst, livestock, self.units)
            );
        }
        if let Some(worst) = worst_of(of(Harm::LineAnyway), Some(livestock)) {
            return format!(
                "no fault takes the water past a danger line that it does not pass with nothing broken{}: it then {}",
                in_room(worst),
                unbroken(&[worst], livestock, self.units)
            );
        }
        let Some(worst) = worst_of(outcomes(), Some(livestock)) else {
            return "how long one has is not known here".to_owned();
        };
        let rooms_c: Vec<f64> = outcomes()
            .flat_map(|outcome| [outcome.room_lowest_c, outcome.room_highest_c])
            .collect();
        let under = if self.away.is_empty() && self.past.is_empty() {
            String::new()
        } else {
            format!("under {} ", abridged(&names(&self.fit)))
        };
        format!(
            "{under}no fault even reaches a danger line within {} in rooms of {}",
            hours(worst.horizon_h),
            spanned(rooms_c, |room_c| self.units.line(room_c))
        )
    }

    /// The rooms that every strategy tried loses with nothing broken.
    fn unfit_rooms(&self) -> Option<String> {
        let rooms: Vec<String> = self
            .block
            .unfit_rooms()
            .into_iter()
            .filter_map(|kind| {
                let room = self.block.rooms.iter().find(|room| room.room == kind)?;
                let of_room: Vec<&FaultOutcome> = self
                    .block
                    .rows
                    .iter()
                    .flat_map(|row| row.outcomes_in(kind))
                    .collect();
                Some(format!(
                    "in {} the water passes the dose {} with nothing broken and {}",
                    named_room(room, self.units),
                    after_unbroken(&of_room),
                    needed_by(&of_room)
                ))
            })
            .collect();
        (!rooms.is_empty()).then(|| format!("{}, under every strategy here", rooms.join("; ")))
    }

    fn no_fault_tried(&self) -> Vec<String> {
        let mut sentences = vec![
            "No fault was tried, so nothing here says which one to trust: add one contact welded and look again."
                .to_owned(),
        ];
        let past = (!self.past.is_empty()).then(|| format!("by contrast {}", past_list(&self.past)));
        let rest = joined("; ", [self.band(&self.untried), past]);
        if !rest.is_empty() {
            sentences.push(capitalized(&rest));
        }
        sentences
    }

    fn past_unbroken(&self) -> Vec<String> {
        let trust = if let [one] = self.past.as_slice() {
            format!("Do not trust {} here: it uses up", one.strategy)
        } else {
            "Trust none of these here: each uses up".to_owned()
        };
        let everywhere = self
            .past
            .iter()
            .all(|row| row.past_without_fault_in() == Some(crate::records::RoomKind::Scenario));
        let rooms = if everywhere {
            ""
        } else {
            ", if not in the scenario's own room then in one constant at the year's coldest or warmest"
        };
        let mut sentences = vec![format!(
            "{trust} the dose with nothing broken{rooms}, so the equipment or the room is wrong before any fault."
        )];
        sentences.extend(self.band(&self.past).map(|band| capitalized(&format!("{band}."))));
        sentences
    }

    fn no_lines_stated(&self, rows: &[&StrategyRow]) -> Vec<String> {
        let mut sentences = vec![
            "Not judged: no danger lines stated, so nothing here says which fault is a disaster and whom to trust."
                .to_owned(),
        ];
        sentences.extend(self.band(rows).map(|band| capitalized(&format!("{band}."))));
        sentences
    }

    /// Who holds the band longest, and whether heaters are too weak to.
    fn band(&self, rows: &[&StrategyRow]) -> Option<String> {
        let held = if rows.len() > 1 {
            steadiest(rows, self.block)
        } else {
            inside(rows, self.block)
                .map(|share| format!("with nothing broken the water is inside the band {share} of the time"))
        };
        let parts: Vec<String> = [held, too_weak(rows)].into_iter().flatten().collect();
        (!parts.is_empty()).then(|| parts.join("; "))
    }

    /// That a dose clears nothing where the water goes farther out than the lines speak of.
    fn beyond_lines(&self) -> Option<String> {
        let outcomes = self.block.rows.iter().flat_map(|row| &row.faults);
        beyond_lines(outcomes, &self.block.livestock, self.units)
    }

    /// What is not judged where danger lines are stated on one side only.
    fn side_without_lines(&self) -> Option<String> {
        let livestock = &self.block.livestock;
        match (livestock.danger_hot.is_empty(), livestock.danger_cold.is_empty()) {
            (false, true) => Some("Too cold is not judged: no danger lines stated for it.".to_owned()),
            (true, false) => Some("Too warm is not judged: no danger lines stated for it.".to_owned()),
            _ => None,
        }
    }
}
