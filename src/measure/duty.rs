//! Shares and lifts: what a heater that switches, or pumps alone, say of a tank.

use tepid_output::records::{HomeTest, MeasureChange, Measured, MeasuredKind, Measurement};
use tepid_output::wording::{Units, share};

use super::balance::{POWER_OFF_FRAC, ROOM_OFF_K, RUNNING_OFF_FRAC};
use super::{CONFIDENCE, MeasureError, told};
use crate::odds::wilson::{deviate, wilson};

/// Hours of a day, h/d. Exact.
const DAY_H: f64 = 24.0;

/// A heater that holds the water, watched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// Its power, W.
    pub power_w: f64,
    /// The water above the room in the mean, K, > 0.
    pub lift_k: f64,
    /// Heat of pumps and lamps, W.
    pub running_w: f64,
    /// What is known.
    pub known: Known,
    /// From one switching on to the next, h, if it was looked at.
    pub cycle_h: Option<f64>,
    /// How sure the share shall be, as a fraction either way.
    pub within_frac: f64,
}

/// Of share and loss one must be known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Known {
    /// The share of the time that it is on, and how it was found.
    Share(Looked),
    /// The loss, W/K.
    Loss(f64),
}

/// How a share was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Looked {
    /// At so many random looks it was on so many times.
    AtRandom {
        /// On.
        on: u64,
        /// Looks, ≥ 1.
        looks: u64,
    },
    /// Watched without a break for this long, h; `None`: not stated.
    Throughout {
        /// 0..=1.
        share_frac: f64,
        /// h.
        watched_h: Option<f64>,
    },
}

/// Pumps alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// What they give the water, W.
    pub running_w: f64,
    /// The water above the room once it settled, K, > 0.
    pub lift_k: f64,
    /// Step of the thermometers' displays, K.
    pub step_k: f64,
}

/// The loss from the share, or the share from the loss, and how long to watch.
///
/// # Errors
/// [`MeasureError::Contradiction`] where no heater would do that.
pub fn duty(test: &Duty) -> Result<Measurement, MeasureError> {
    let loss_of = |share_frac: f64| (share_frac * test.power_w + test.running_w) / test.lift_k;
    let (share_frac, interval, how_sure) = match test.known {
        Known::Share(Looked::AtRandom { on, looks }) => {
            let chance = wilson(on, looks, CONFIDENCE);
            let said = format!("95 % by Wilson's interval for {on} of {looks} looks at random times");
            (chance.frac, Some([chance.low_frac, chance.high_frac]), said)
        }
        Known::Share(Looked::Throughout {
            share_frac,
            watched_h,
        }) => match watched_h.zip(test.cycle_h) {
            Some((watched_h, cycle_h)) => {
                let off = cut(share_frac, cycle_h) / watched_h;
                let ends = [(share_frac - off).max(0.0), (share_frac + off).min(1.0)];
                let said =
                    "at most, by where the watching cuts a cycle; rooms of other days come on top".to_owned();
                (share_frac, Some(ends), said)
            }
            None => {
                let said = "not told: state --watched and --cycle, or --looks in place of --share".to_owned();
                (share_frac, None, said)
            }
        },
        Known::Loss(loss_w_per_k) => {
            let wanted = (loss_w_per_k * test.lift_k - test.running_w) / test.power_w;
            if wanted > 1.0 {
                return Err(MeasureError::Contradiction(format!(
                    "{:.0} W are lost and the heater gives {:.0} W: it would be on all the time and the water colder than that",
                    loss_w_per_k * test.lift_k - test.running_w,
                    test.power_w
                )));
            }
            let said = if wanted > 0.0 {
                "by the loss that was stated"
            } else {
                "pumps and lamps give as much as is lost, or more"
            };
            (wanted.max(0.0), None, said.to_owned())
        }
    };
    let one_sided = one_sided(test, share_frac, interval, loss_of);
    // A heater in one state alone tells a bound and no figure.
    let loss = loss_of(one_sided.as_ref().map_or(share_frac, |one| one.share_frac));
    let mut found = vec![
        match &one_sided {
            Some(OneSided { bound, .. }) => Measured {
                what: MeasuredKind::LossWPerK,
                value: loss,
                interval: None,
                how_sure: bound.clone(),
            },
            None => Measured {
                what: MeasuredKind::LossWPerK,
                value: loss,
                interval: interval.map(|ends| ends.map(loss_of)),
                how_sure: how_sure.clone(),
            },
        },
        Measured {
            what: MeasuredKind::ShareFrac,
            value: share_frac,
            interval,
            how_sure,
        },
        Measured {
            what: MeasuredKind::MeanW,
            value: share_frac * test.power_w,
            interval: interval.map(|ends| ends.map(|end| end * test.power_w)),
            how_sure: "share × watts".to_owned(),
        },
    ];
    if matches!(test.known, Known::Loss(_)) {
        found.swap(0, 1);
    }
    found.extend(watching(test, share_frac, interval, loss));
    let told_frac = one_sided.as_ref().map_or(share_frac, |one| one.share_frac);
    let changed = |what: String, changed: Duty| {
        let changed = Duty {
            known: match changed.known {
                Known::Share(_) => Known::Share(Looked::Throughout {
                    share_frac: told_frac,
                    watched_h: None,
                }),
                known @ Known::Loss(_) => known,
            },
            ..changed
        };
        let value = match changed.known {
            Known::Share(_) => (told_frac * changed.power_w + changed.running_w) / changed.lift_k,
            // A heater is on never at the least and always at the most.
            Known::Loss(loss) => {
                ((loss * changed.lift_k - changed.running_w) / changed.power_w).clamp(0.0, 1.0)
            }
        };
        MeasureChange { what, value }
    };
    let mut changes = vec![
        changed(
            format!("the heater gives {} less than its rating", share(POWER_OFF_FRAC)),
            Duty {
                power_w: test.power_w * (1.0 - POWER_OFF_FRAC),
                ..*test
            },
        ),
        changed(
            format!("the lift is {} less", Units::Metric.difference(ROOM_OFF_K)),
            Duty {
                lift_k: (test.lift_k - ROOM_OFF_K).max(0.1),
                ..*test
            },
        ),
    ];
    if test.running_w > 0.0 {
        changes.push(changed(
            format!("pumps and lamps give {} less", share(RUNNING_OFF_FRAC)),
            Duty {
                running_w: test.running_w * (1.0 - RUNNING_OFF_FRAC),
                ..*test
            },
        ));
    }
    let mut assumptions = vec![
        "Water and room are those of the whole time watched, day and night; the water ends as warm as it began.".to_owned(),
        "The figure holds for this lift, cover and humidity: it contains what evaporates.".to_owned(),
    ];
    if test.running_w == 0.0 {
        assumptions.push(
            "Net of what pumps and lamps give, which was not stated (--running): the loss itself is larger."
                .to_owned(),
        );
    }
    let switches = one_sided.is_none();
    // No change of nothing is told.
    changes.retain(|change| change.value > 0.0 || matches!(test.known, Known::Loss(_)));
    let mut advice: Vec<String> = one_sided.into_iter().map(|one| one.said).collect();
    advice.push(if loss > 0.0 && switches {
        format!(
            "Watch whole days: a room that is 1 K colder adds {} to the share, so note its temperature along.",
            points(loss / test.power_w)
        )
    } else {
        "Watch whole days, and note the room's temperature along.".to_owned()
    });
    Ok(told(
        HomeTest::Duty,
        "W/K = (share × watts + heat of pumps and lamps) ÷ lift",
        found,
        changes,
        advice,
        assumptions,
    ))
}

/// The loss from how far pumps alone keep the water above the room.
///
/// # Errors
/// [`MeasureError::Contradiction`] where the lift is within what the thermometers can be off.
pub fn lift(test: &Lift) -> Result<Measurement, MeasureError> {
    if test.lift_k <= test.step_k {
        return Err(MeasureError::Contradiction(format!(
            "a lift of {} is no more than two readings in steps of {} can be off",
            Units::Metric.difference(test.lift_k),
            Units::Metric.difference(test.step_k)
        )));
    }
    let loss = |lift_k: f64| test.running_w / lift_k;
    let found = vec![Measured {
        what: MeasuredKind::LossWPerK,
        value: loss(test.lift_k),
        interval: Some([loss(test.lift_k + test.step_k), loss(test.lift_k - test.step_k)]),
        how_sure: "two readings, each off by half a step of the thermometer at most".to_owned(),
    }];
    let mut changes = vec![MeasureChange {
        what: format!("the pumps give {} less than stated", share(RUNNING_OFF_FRAC)),
        value: loss(test.lift_k) * (1.0 - RUNNING_OFF_FRAC),
    }];
    let mut advice = Vec::new();
    if test.lift_k > ROOM_OFF_K + test.step_k {
        changes.push(MeasureChange {
            what: format!(
                "one thermometer reads {} off",
                Units::Metric.difference(ROOM_OFF_K)
            ),
            value: loss(test.lift_k - ROOM_OFF_K),
        });
    } else {
        advice.push(format!(
            "Two thermometers may differ by {}, about as much as this lift: unless they were compared in the same water, the figure is only a lower bound, {} at least.",
            Units::Metric.difference(ROOM_OFF_K),
            Units::Metric.conductance(loss(test.lift_k + ROOM_OFF_K))
        ));
    }
    advice.extend([
        "Hold both thermometers into the same water first and take off what they differ by.".to_owned(),
        "Wait until the water has not moved for a day: it takes three to four time constants to settle."
            .to_owned(),
    ]);
    Ok(told(
        HomeTest::Lift,
        "W/K = heat of the pumps ÷ lift",
        found,
        changes,
        advice,
        vec![
            "The water has settled, the room is steady, and all that the pumps draw ends in the water (submerged).".to_owned(),
            "The figure holds for this lift, cover and humidity: it contains what evaporates.".to_owned(),
        ],
    ))
}

/// A heater that was seen in one state alone.
struct OneSided {
    /// The share at the end of its interval: what the bound is reckoned from.
    share_frac: f64,
    /// The bound of the loss, in words.
    bound: String,
    /// What to do about it.
    said: String,
}

/// A heater that was seen in one state alone bounds the loss from one side.
fn one_sided(
    test: &Duty,
    share_frac: f64,
    interval: Option<[f64; 2]>,
    loss_of: impl Fn(f64) -> f64,
) -> Option<OneSided> {
    if matches!(test.known, Known::Loss(_)) {
        return None;
    }
    let [low_frac, high_frac] = interval.unwrap_or([share_frac; 2]);
    if share_frac >= 1.0 {
        Some(OneSided {
            share_frac: low_frac,
            bound: format!("only a lower bound: {} at least", Units::Metric.conductance(loss_of(low_frac))),
            said: "On all the time: the heater may be too weak for this room, and more is lost than it gives. See whether the water still falls; a share is told by a heater that switches.".to_owned(),
        })
    } else if share_frac <= 0.0 {
        Some(OneSided {
            share_frac: high_frac,
            bound: format!("only an upper bound: {} at most", Units::Metric.conductance(loss_of(high_frac))),
            said: "Never on: the water may be above what the thermostat holds, and cooling. A share is told by a heater that switches.".to_owned(),
        })
    } else {
        None
    }
}

/// How much time of one state the cut of a cycle adds or takes at most, h.
fn cut(share_frac: f64, cycle_h: f64) -> f64 {
    share_frac * (1.0 - share_frac) * cycle_h
}

/// How long to watch for a share as sure as asked.
fn watching(test: &Duty, share_frac: f64, interval: Option<[f64; 2]>, loss_w_per_k: f64) -> Vec<Measured> {
    let within = test.within_frac;
    let figure = |what, value, how_sure: String| Measured {
        what,
        value,
        interval: None,
        how_sure,
    };
    let deviates = deviate(CONFIDENCE) / within;
    let switches = share_frac > 0.0 && share_frac < 1.0;
    let asked = points(within);
    let mut found = Vec::new();
    // Looks that all agree say nothing of how they vary: the end of their interval does, the one nearest to a half.
    let varies = match interval {
        _ if switches => Some((share_frac, String::new())),
        Some([low, high]) => Some((
            0.5_f64.clamp(low, high),
            ", if the share is at the end of its interval".to_owned(),
        )),
        None => None,
    };
    if let Some((varies_frac, if_so)) = varies.filter(|(frac, _)| *frac > 0.0 && *frac < 1.0) {
        let looks = varies_frac * (1.0 - varies_frac) * deviates * deviates;
        found.push(figure(
            MeasuredKind::Looks,
            looks.ceil(),
            format!("looks at random times for ± {asked} at 95 %{if_so}"),
        ));
    }
    if let Some(cycle_h) = test.cycle_h.filter(|_| switches) {
        let hours = cut(share_frac, cycle_h) / within;
        found.push(figure(
            MeasuredKind::WatchedH,
            (hours / DAY_H).ceil() * DAY_H,
            format!(
                "without a break for ± {asked}: share × (1 − share) × cycle ÷ {asked} is {hours:.1} h, and a room has days"
            ),
        ));
    }
    if loss_w_per_k > 0.0 && switches {
        found.push(figure(
            MeasuredKind::RoomWithinK,
            within * test.power_w / loss_w_per_k,
            format!("the mean of the room watched beside the usual one, for ± {asked}"),
        ));
    }
    found
}

fn points(frac: f64) -> String {
    format!("{:.1} points", 100.0 * frac)
}
