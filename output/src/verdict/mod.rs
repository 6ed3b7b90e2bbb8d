//! The verdict of a scenario's block in at most three sentences: which strategy one would trust and why, what decides, and
//! how long one has.

use crate::cautions::Caution;
use crate::judgement::worst_of;
use crate::records::{FaultOutcome, HealthySummary, RoomKind, ScenarioBlock, Standing, StrategyRow};
use crate::wording::{
    Units, abridged, duration, enumerated, hours, outcome, reaches_no_line, share, spanned,
};

mod phrases;

pub(crate) use phrases::{after_unbroken, in_room, needed_first, unbroken_h};
use phrases::{away_list, capitalized, joined, named_room, names, past_list, soonest_h};

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
        best: of(|standing| *standing == Standing::Best).first().copied(),
        fit: of(|standing| matches!(standing, Standing::Best | Standing::FitToUse)),
        away: of(|standing| matches!(standing, Standing::OneFaultAway { .. })),
        past: of(|standing| *standing == Standing::PastTheDose),
        untried: of(|standing| *standing == Standing::NoFaultTried),
    };
    let mut sentences = match judged.best {
        Some(best) => judged.first_choice(best),
        None if !judged.away.is_empty() => judged.one_fault_away(),
        None if !judged.untried.is_empty() => judged.no_fault_tried(),
        None if !judged.past.is_empty() => judged.past_unbroken(),
        None => return vec!["Every run failed, so nothing can be said.".to_owned()],
    };
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
    best: Option<&'a StrategyRow>,
    fit: Vec<&'a StrategyRow>,
    away: Vec<&'a StrategyRow>,
    past: Vec<&'a StrategyRow>,
    untried: Vec<&'a StrategyRow>,
}

impl Judged<'_> {
    fn first_choice(&self, best: &StrategyRow) -> Vec<String> {
        let alone = self.fit.len() + self.away.len() + self.past.len() == 1;
        let inside = self.inside(best).map_or_else(String::new, |share| {
            format!("it keeps the water inside the band {share} of the time, ")
        });
        let closings = best
            .healthy
            .as_ref()
            .and_then(HealthySummary::busiest_contact)
            .map_or_else(String::new, |busiest| {
                format!(
                    "closes its busiest contact {:.1} times a day, ",
                    busiest.closings_per_day.worst
                )
            });
        let trust = if alone {
            format!("Nothing here speaks against {}", best.strategy)
        } else {
            format!("Trust {} first", best.strategy)
        };
        let mut sentences = vec![format!(
            "{trust}: {inside}{closings}and no single fault of the table takes the water past the dose."
        )];
        sentences.push(self.what_decides(alone));
        sentences.push(capitalized(&joined(
            "; ",
            [Some(self.time_to_act(alone)), self.unfit_rooms()],
        )));
        sentences
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
                "No fault does so under any other strategy either: circuit, heater size and room have decided that, and \
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
        let outcomes = || {
            let all = self.fit.iter().flat_map(|row| &row.faults);
            all.filter(|outcome| !unfit.contains(&outcome.room))
        };
        let Some(worst) = worst_of(outcomes(), Some(&self.block.livestock)) else {
            return "how long one has is not known here".to_owned();
        };
        if !reaches_no_line(worst) {
            return format!(
                "the worst for {} is {}{}: the water {}",
                if alone { "it" } else { "those fit to use" },
                worst.case,
                in_room(worst),
                outcome(worst, &self.block.livestock, self.units)
            );
        }
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
                    needed_first(&of_room)
                ))
            })
            .collect();
        (!rooms.is_empty()).then(|| format!("{}, under every strategy here", rooms.join("; ")))
    }

    fn one_fault_away(&self) -> Vec<String> {
        let soonest = self
            .away
            .iter()
            .filter_map(|row| Some((*row, soonest_h(row)?)))
            .min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0));
        let mut sentences = Vec::new();
        let by = soonest.map_or_else(String::new, |(row, (after_h, fault))| {
            let under = if self.away.len() > 1 {
                format!(" under {}", row.strategy)
            } else {
                String::new()
            };
            format!(
                ", soonest by {}{}{under}, after {}",
                fault.case,
                in_room(fault),
                duration(after_h)
            )
        });
        sentences.push(match (self.away.as_slice(), self.past.as_slice()) {
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
        });
        let soonest: Vec<&FaultOutcome> = self
            .away
            .iter()
            .filter_map(|row| soonest_h(row))
            .map(|(_, fault)| fault)
            .collect();
        let same = soonest.windows(2).all(|pair| pair[0].case == pair[1].case);
        let welded = soonest
            .iter()
            .all(|fault| fault.cautions.contains(&Caution::StuckHeater));
        sentences.push(match (self.past.is_empty(), welded) {
            _ if !same => format!("Which fault does it differs: {}.", away_list(&self.away)),
            (true, true) => {
                "What decides is not the strategy but the circuit, the heaters' size and the room: give the \
                             chain a second contact that fails by itself."
                    .to_owned()
            }
            (true, false) => {
                "What decides is not the strategy but the circuit, the heaters' size and the room.".to_owned()
            }
            (false, true) => format!(
                "No strategy can give {} what is missing: a second contact in the chain that fails by itself.",
                enumerated(&names(&self.away))
            ),
            (false, false) => format!(
                "No strategy can give {} what is missing: a circuit, heaters and a room that bear this fault.",
                enumerated(&names(&self.away))
            ),
        });
        let slowest = self
            .away
            .iter()
            .filter_map(|row| Some((*row, soonest_h(row)?.0)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|_| self.away.len() > 1);
        let most = slowest.map(|(row, after_h)| {
            format!(
                "of these {} leaves most time to notice, {} until the dose is used up",
                row.strategy,
                duration(after_h)
            )
        });
        let last = joined("; ", [most, self.unfit_rooms()]);
        if !last.is_empty() {
            sentences.push(capitalized(&last));
        }
        sentences
    }

    fn no_fault_tried(&self) -> Vec<String> {
        let mut sentences = vec![
            "No fault was tried, so nothing here says which one to trust: add one contact welded and look again."
                .to_owned(),
        ];
        let steadiest = self.steadiest(&self.untried).filter(|_| self.untried.len() > 1);
        let past = (!self.past.is_empty()).then(|| format!("by contrast {}", past_list(&self.past)));
        let rest = joined("; ", [steadiest, past]);
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
            .all(|row| row.past_without_fault_in() == Some(RoomKind::Scenario));
        let rooms = if everywhere {
            ""
        } else {
            ", if not in the scenario's own room then in the year's coldest or warmest"
        };
        let mut sentences = vec![format!(
            "{trust} the dose with nothing broken{rooms}, so the equipment or the room is wrong before any fault."
        )];
        let steadiest = self.steadiest(&self.past).filter(|_| self.past.len() > 1);
        sentences.extend(steadiest.map(|steadiest| capitalized(&format!("{steadiest}."))));
        sentences
    }

    /// "on-off holds the band longest, 81.9 % of the time".
    fn steadiest(&self, rows: &[&StrategyRow]) -> Option<String> {
        let outside_h = |row: &StrategyRow| row.healthy.as_ref().and_then(HealthySummary::outside_band_h);
        let (row, _) = rows
            .iter()
            .filter_map(|row| Some((*row, outside_h(row)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(format!(
            "with nothing broken {} holds the band longest, {} of the time",
            row.strategy,
            self.inside(row)?
        ))
    }

    fn inside(&self, row: &StrategyRow) -> Option<String> {
        let outside_h = row.healthy.as_ref()?.outside_band_h()?;
        Some(share(1.0 - outside_h / self.block.duration_h))
    }
}
