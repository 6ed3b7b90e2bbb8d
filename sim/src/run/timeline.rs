//! Which happenings are under way, and when that changes next.

use crate::ids::ContactId;
use crate::scenario::{Happening, Lasts, Origin, When};
use crate::time::{DAY, Millis, day_index, time_of_day};

/// Never, ms: by convention the last time there is.
pub(super) const NEVER: Millis = Millis::MAX;

/// The happenings of one run and their state.
#[derive(Debug, Clone)]
pub(super) struct Timeline {
    entries: Vec<Entry>,
    next_ms: Millis,
}

#[derive(Debug, Clone)]
struct Entry {
    happening: Happening,
    next_start_ms: Millis,
    started_ms: Millis,
    ends_ms: Option<Millis>,
    /// How often what it waits for has come.
    counted: u32,
}

/// One change that took place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Change {
    /// The happening at this position began.
    Began(usize),
    /// It ended.
    Ended(usize),
}

impl Timeline {
    /// A timeline from `start_ms` on.
    pub(super) fn new(happenings: Vec<Happening>, start_ms: Millis) -> Self {
        let entries = happenings
            .into_iter()
            .map(|happening| {
                let earliest_ms = if happening.origin == Origin::Fault {
                    start_ms.max(0)
                } else {
                    start_ms
                };
                let next_start_ms = match happening.when {
                    When::At(at_ms) => at_ms,
                    When::Daily(of_day_ms) => {
                        let today_ms = day_index(earliest_ms) * DAY + of_day_ms;
                        if time_of_day(earliest_ms) <= of_day_ms {
                            today_ms
                        } else {
                            today_ms + DAY
                        }
                    }
                    _ => NEVER,
                };
                Entry {
                    happening,
                    next_start_ms,
                    started_ms: start_ms,
                    ends_ms: None,
                    counted: 0,
                }
            })
            .collect();
        let mut timeline = Self {
            entries,
            next_ms: NEVER,
        };
        timeline.find_next();
        timeline
    }

    /// One more happening, at a fixed time from now on.
    pub(super) fn add(&mut self, happening: Happening, at_ms: Millis) {
        self.entries.push(Entry {
            happening,
            next_start_ms: at_ms,
            started_ms: at_ms,
            ends_ms: None,
            counted: 0,
        });
        self.find_next();
    }

    /// The next instant at which something begins or ends.
    pub(super) fn next_ms(&self) -> Millis {
        self.next_ms
    }

    /// A happening by position.
    pub(super) fn happening(&self, index: usize) -> &Happening {
        &self.entries[index].happening
    }

    /// All happenings under way.
    pub(super) fn active(&self) -> impl Iterator<Item = &Happening> {
        self.entries
            .iter()
            .filter(|entry| entry.ends_ms.is_some())
            .map(|entry| &entry.happening)
    }

    /// All happenings under way, each with the instant it began.
    pub(super) fn active_since(&self) -> impl Iterator<Item = (&Happening, Millis)> {
        self.entries
            .iter()
            .filter(|entry| entry.ends_ms.is_some())
            .map(|entry| (&entry.happening, entry.started_ms))
    }

    /// All happenings.
    pub(super) fn all(&self) -> impl Iterator<Item = &Happening> {
        self.entries.iter().map(|entry| &entry.happening)
    }

    /// Whether a happening is under way.
    pub(super) fn is_active(&self, index: usize) -> bool {
        self.entries[index].ends_ms.is_some()
    }

    /// Counts a contact's change for all that wait for it, and tells whose turn it is.
    pub(super) fn counted(&mut self, now_ms: Millis, changed: ContactId, closes: bool) -> Vec<usize> {
        let mut due = Vec::new();
        for (index, entry) in self.entries.iter_mut().enumerate() {
            let (of, nth, from_ms, waits_for_closing) = match entry.happening.when {
                When::Closing {
                    contact,
                    nth,
                    from_ms,
                } => (contact, nth, from_ms, true),
                When::Opening {
                    contact,
                    nth,
                    from_ms,
                } => (contact, nth, from_ms, false),
                _ => continue,
            };
            if of == changed && waits_for_closing == closes && now_ms >= from_ms {
                entry.counted = entry.counted.saturating_add(1);
                if entry.counted == nth {
                    due.push(index);
                }
            }
        }
        due
    }

    /// Starts the happening at `index` now, because what it waits for has come.
    pub(super) fn start_now(&mut self, index: usize, now_ms: Millis) {
        self.entries[index].next_start_ms = now_ms;
        self.next_ms = self.next_ms.min(now_ms);
    }

    /// Ends, then starts, everything due by now.
    pub(super) fn settle(&mut self, now_ms: Millis) -> Vec<Change> {
        let mut changes = Vec::new();
        for (index, entry) in self.entries.iter_mut().enumerate() {
            if entry.ends_ms.is_some_and(|ends_ms| ends_ms <= now_ms) {
                entry.ends_ms = None;
                changes.push(Change::Ended(index));
            }
        }
        for (index, entry) in self.entries.iter_mut().enumerate() {
            while entry.next_start_ms <= now_ms {
                let start_ms = entry.next_start_ms;
                entry.next_start_ms = match entry.happening.when {
                    When::Daily(_) => start_ms + DAY,
                    _ => NEVER,
                };
                let ends_ms = match entry.happening.lasts {
                    Lasts::For(length_ms) => start_ms + length_ms,
                    Lasts::ToTheEnd => NEVER,
                };
                if ends_ms > now_ms {
                    entry.started_ms = start_ms;
                    entry.ends_ms = Some(ends_ms);
                    changes.push(Change::Began(index));
                }
            }
        }
        self.find_next();
        changes
    }

    fn find_next(&mut self) {
        self.next_ms = self
            .entries
            .iter()
            .map(|entry| entry.next_start_ms.min(entry.ends_ms.unwrap_or(NEVER)))
            .min()
            .unwrap_or(NEVER);
    }

    /// Announced events under way at `now_ms` or starting by `until_ms`, soonest first: what, start, end.
    pub(super) fn announced(
        &self,
        now_ms: Millis,
        until_ms: Millis,
    ) -> Vec<(&Happening, Millis, Option<Millis>)> {
        let mut list = Vec::new();
        for entry in self
            .entries
            .iter()
            .filter(|entry| entry.happening.origin == Origin::Event)
        {
            let length_ms = match entry.happening.lasts {
                Lasts::For(length_ms) => Some(length_ms),
                Lasts::ToTheEnd => None,
            };
            if let Some(ends_ms) = entry.ends_ms {
                let start_ms = length_ms.map_or(now_ms, |length_ms| ends_ms - length_ms);
                list.push((&entry.happening, start_ms, (ends_ms != NEVER).then_some(ends_ms)));
            }
            if entry.next_start_ms <= until_ms {
                let start_ms = entry.next_start_ms;
                list.push((
                    &entry.happening,
                    start_ms,
                    length_ms.map(|length_ms| start_ms + length_ms),
                ));
            }
        }
        list.sort_by_key(|(_, start_ms, _)| *start_ms);
        list
    }
}
