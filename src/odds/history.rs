//! One history of failures: parts live, fail, are found out and replaced.
//!
//! All draws are functions of seed, history, part and what they are for: other parts, other lives and another strategy leave them as they are.

use tepid_sim::noise::Stream;
use tepid_sim::scenario::Life;

/// A way to be broken, by its position in a list of all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct ModeId(pub usize);

/// A part with its life in years.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, one for every part: draws belong to it.
    pub name: String,
    /// Its life, years.
    pub life: Life,
    /// Its age when a history begins, years.
    pub age_years: f64,
    /// How it fails: the first mode with that share, 0..=1, of failures, else the second.
    pub modes: (ModeId, f64, ModeId),
    /// A failure that shows nothing is looked for this often, years; `None`: never.
    pub tested_every_years: Option<f64>,
    /// Share of tests that find it, 0..=1.
    pub test_finds_frac: f64,
    /// From showing, or being found, to its replacement, years.
    pub replaced_after_years: f64,
}

/// What somebody sees of broken parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// Nothing.
    Nothing,
    /// That something is wrong.
    Shows,
    /// The dose used up, too warm or too cold.
    Lost(Way),
}

/// The way to use up the dose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Too warm.
    Warm,
    /// Too cold.
    Cold,
}

/// Knows what follows a failure.
pub trait Follow: Sync {
    /// Why it could not be found out.
    type Error: Send;

    /// How many seasons a year has.
    fn seasons(&self) -> u32;

    /// What follows at a time of the calendar, years, when `fresh` breaks (or a season begins) while `broken`, in order, are broken.
    ///
    /// # Errors
    /// Whatever kept it from finding out.
    fn follow(&self, broken: &[ModeId], fresh: Option<ModeId>, at_years: f64) -> Result<Seen, Self::Error>;
}

/// A dose used up.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// When, years from the beginning of the history.
    pub at_years: f64,
    /// Which way.
    pub way: Way,
    /// What failed at last; `None`: a new season brought it to light.
    pub fresh: Option<ModeId>,
    /// What had to be broken before.
    pub before: Vec<ModeId>,
}

/// What became of a history.
#[derive(Debug, Clone, PartialEq)]
pub struct Lived {
    /// Doses used up, in order.
    pub losses: Vec<Loss>,
    /// For each part, how long it was broken without anybody knowing, or waited for the test that found it to be followed by a new one, years.
    pub unnoticed_years: Vec<f64>,
}

/// Draws a history.
///
/// # Errors
/// What `follow` could not find out.
pub fn history<F: Follow>(
    parts: &[Part],
    seed: u64,
    number: u64,
    span_years: f64,
    follow: &F,
) -> Result<Lived, F::Error> {
    let mut course = Course {
        began: Stream::new(seed, number, "history", "begins").uniform(0),
        parts: parts.iter().map(|part| Drawn::new(part, seed, number)).collect(),
        hours: Stream::new(seed, number, "season", "hour"),
        follow,
        losses: Vec::new(),
    };
    let mut now_years = 0.0;
    while let Some((at_years, event)) = course.next(now_years)
        && at_years < span_years
    {
        now_years = at_years;
        match event {
            Event::Fails(index) => course.fails(index, at_years)?,
            Event::Replaced(index) => course.parts[index].renew(at_years),
            Event::Season => course.season(at_years)?,
        }
    }
    for part in &mut course.parts {
        part.count_unnoticed(span_years);
    }
    Ok(Lived {
        losses: course.losses,
        unnoticed_years: course.parts.iter().map(|part| part.unnoticed_years).collect(),
    })
}

enum Event {
    Fails(usize),
    Replaced(usize),
    Season,
}

enum State {
    Works {
        fails_at_years: f64,
    },
    Broken {
        mode: ModeId,
        since_years: f64,
        replaced_at_years: f64,
        /// Somebody knows.
        noticed: bool,
    },
}

/// A part in a history.
struct Drawn<'a> {
    part: &'a Part,
    state: State,
    lives: Stream,
    modes: Stream,
    tests: Stream,
    renewals: i64,
    unnoticed_years: f64,
}

impl<'a> Drawn<'a> {
    fn new(part: &'a Part, seed: u64, number: u64) -> Self {
        let stream = |purpose| Stream::new(seed, number, &part.name, purpose);
        let lives = stream("life");
        let over_years = part.life.quantile_from_age(lives.uniform(0), part.age_years);
        Self {
            part,
            state: State::Works {
                fails_at_years: (over_years - part.age_years).max(0.0),
            },
            lives,
            modes: stream("mode"),
            tests: stream("test"),
            renewals: 0,
            unnoticed_years: 0.0,
        }
    }

    fn mode(&self) -> Option<ModeId> {
        match self.state {
            State::Broken { mode, .. } => Some(mode),
            State::Works { .. } => None,
        }
    }

    /// The time in which nobody knew is over.
    fn count_unnoticed(&mut self, at_years: f64) {
        if let State::Broken {
            since_years,
            noticed: false,
            ..
        } = self.state
        {
            self.unnoticed_years += at_years - since_years;
        }
    }

    fn renew(&mut self, at_years: f64) {
        self.count_unnoticed(at_years);
        self.renewals += 1;
        let life_years = self.part.life.quantile(self.lives.uniform(self.renewals));
        self.state = State::Works {
            fails_at_years: at_years + life_years,
        };
    }

    /// Breaks, in the mode drawn; nobody knows.
    fn break_down(&mut self, at_years: f64) -> ModeId {
        let (first, share, second) = self.part.modes;
        let mode = if self.modes.uniform(self.renewals) < share {
            first
        } else {
            second
        };
        self.state = State::Broken {
            mode,
            since_years: at_years,
            replaced_at_years: f64::INFINITY,
            noticed: false,
        };
        mode
    }

    /// Somebody knows from an instant on.
    fn notice(&mut self, at_years: f64) {
        self.count_unnoticed(at_years);
        if let State::Broken {
            replaced_at_years,
            noticed,
            ..
        } = &mut self.state
        {
            *replaced_at_years = replaced_at_years.min(at_years + self.part.replaced_after_years);
            *noticed = true;
        }
    }

    /// Waits for the test that finds it. Tests go on at whole multiples of their interval from the beginning of the history.
    fn wait_for_test(&mut self, at_years: f64, give_up_years: f64) {
        let Some(every_years) = self.part.tested_every_years else {
            return;
        };
        let mut test = (at_years / every_years).floor() + 1.0;
        while test * every_years < give_up_years {
            if self.tests.uniform(test as i64) < self.part.test_finds_frac {
                if let State::Broken {
                    replaced_at_years, ..
                } = &mut self.state
                {
                    *replaced_at_years = test * every_years + self.part.replaced_after_years;
                }
                return;
            }
            test += 1.0;
        }
    }
}

/// Nobody keeps a tank for so long, years: tests beyond need no look.
const LONGEST_YEARS: f64 = 1000.0;

struct Course<'a, F> {
    /// When in the calendar the history begins, as a share of a year.
    began: f64,
    parts: Vec<Drawn<'a>>,
    hours: Stream,
    follow: &'a F,
    losses: Vec<Loss>,
}

impl<F: Follow> Course<'_, F> {
    /// What comes next.
    fn next(&self, now_years: f64) -> Option<(f64, Event)> {
        let of_parts = self
            .parts
            .iter()
            .enumerate()
            .map(|(index, part)| match part.state {
                State::Works { fails_at_years } => (fails_at_years, Event::Fails(index)),
                State::Broken {
                    replaced_at_years, ..
                } => (replaced_at_years, Event::Replaced(index)),
            });
        let hidden = self
            .parts
            .iter()
            .any(|part| matches!(part.state, State::Broken { noticed: false, .. }));
        let season = hidden.then(|| (self.next_season(now_years), Event::Season));
        of_parts
            .chain(season)
            .reduce(|first, one| if one.0 < first.0 { one } else { first })
    }

    /// When the next season begins.
    fn next_season(&self, now_years: f64) -> f64 {
        let seasons = f64::from(self.follow.seasons());
        let coming = ((self.began + now_years) * seasons).floor() + 1.0;
        let at_years = coming / seasons - self.began;
        // The season that begins now may round to before now.
        if at_years > now_years {
            at_years
        } else {
            (coming + 1.0) / seasons - self.began
        }
    }

    fn fails(&mut self, index: usize, at_years: f64) -> Result<(), F::Error> {
        let before = self.broken(|_| true);
        let fresh = self.parts[index].break_down(at_years);
        let calendar_years = self.began + at_years;
        match self.follow.follow(&before, Some(fresh), calendar_years)? {
            Seen::Nothing => self.parts[index].wait_for_test(at_years, LONGEST_YEARS),
            seen => self.found(seen, before, Some(fresh), at_years, calendar_years)?,
        }
        Ok(())
    }

    /// A new season may show what the last one hid.
    fn season(&mut self, at_years: f64) -> Result<(), F::Error> {
        let hidden = self.broken(|noticed| !noticed);
        let season = (self.began + at_years) * f64::from(self.follow.seasons());
        // Any hour of the season's first day is as good as another.
        let calendar_years = self.began
            + at_years
            + self.hours.uniform(season.round() as i64) / tepid_sim::scores::DAYS_PER_YEAR_D;
        match self.follow.follow(&hidden, None, calendar_years)? {
            Seen::Nothing => Ok(()),
            seen => self.found(seen, hidden, None, at_years, calendar_years),
        }
    }

    /// Somebody found out: what it took is replaced; after a loss, everything.
    fn found(
        &mut self,
        seen: Seen,
        before: Vec<ModeId>,
        fresh: Option<ModeId>,
        at_years: f64,
        calendar_years: f64,
    ) -> Result<(), F::Error> {
        let needed = self.needed(seen, before, fresh, calendar_years)?;
        for part in &mut self.parts {
            let found = part.mode().is_some_and(|mode| {
                matches!(seen, Seen::Lost(_)) || Some(mode) == fresh || needed.contains(&mode)
            });
            if found {
                part.notice(at_years);
            }
        }
        if let Seen::Lost(way) = seen {
            self.losses.push(Loss {
                at_years,
                way,
                fresh,
                before: needed,
            });
        }
        Ok(())
    }

    /// Of what was broken before, what it took to see the same.
    fn needed(
        &self,
        seen: Seen,
        mut before: Vec<ModeId>,
        fresh: Option<ModeId>,
        calendar_years: f64,
    ) -> Result<Vec<ModeId>, F::Error> {
        let mut index = 0;
        while index < before.len() {
            let mut without = before.clone();
            without.remove(index);
            if self.follow.follow(&without, fresh, calendar_years)? == seen {
                before = without;
            } else {
                index += 1;
            }
        }
        Ok(before)
    }

    /// The modes of broken parts, in order, each once.
    fn broken(&self, wanted: impl Fn(bool) -> bool) -> Vec<ModeId> {
        let broken = self.parts.iter().filter_map(|part| match part.state {
            State::Broken { mode, noticed, .. } if wanted(noticed) => Some(mode),
            _ => None,
        });
        let mut modes: Vec<ModeId> = broken.collect();
        modes.sort_unstable();
        modes.dedup();
        modes
    }
}
