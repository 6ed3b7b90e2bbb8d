//! Parts of a study that run on machines of their own.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// Part `number` of `of`, from 1. Whole replicates are dealt out in turn, so that every part has some of every scenario and strategy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shard {
    /// Which part, 1..=of.
    pub number: u32,
    /// How many parts.
    pub of: u32,
}

/// A text that names no part.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ShardError {
    /// Not of the form.
    #[error(
        "`{0}` is no part of a study; expected K/N with K from 1 to N, such as 2/8, or `auto/8` or `auto` in a job that counts its parts"
    )]
    Form(String),
    /// No job says which part this is.
    #[error("`auto`: none of {known} is set, so nothing says which part this is; expected --shard K/N", known = known())]
    NoJob,
    /// A job says which part, but not of how many.
    #[error("`auto`: {variable} says which part this is, but not of how many; expected --shard auto/N")]
    NoCount {
        /// What says it.
        variable: &'static str,
    },
    /// A variable of a job holds something else than a number.
    #[error("`auto`: {variable} is `{value}`, which is no number")]
    NoNumber {
        /// What says it.
        variable: &'static str,
        /// What it says.
        value: String,
    },
}

/// Variables that array jobs of batch schedulers, indexed jobs of container orchestrators and parallel jobs of CI services set.
struct Job {
    index: &'static str,
    /// The first index: a number, or the variable that holds it.
    first: First,
    /// The variable that says how many there are, or the last index.
    count: Option<Count>,
}

enum First {
    Is(i64),
    Stands(&'static str),
}

enum Count {
    Of(&'static str),
    Last(&'static str),
}

const JOBS: [Job; 5] = [
    Job {
        index: "SLURM_ARRAY_TASK_ID",
        first: First::Stands("SLURM_ARRAY_TASK_MIN"),
        count: Some(Count::Of("SLURM_ARRAY_TASK_COUNT")),
    },
    Job {
        index: "SGE_TASK_ID",
        first: First::Stands("SGE_TASK_FIRST"),
        count: Some(Count::Last("SGE_TASK_LAST")),
    },
    Job {
        index: "PBS_ARRAY_INDEX",
        first: First::Is(1),
        count: None,
    },
    Job {
        index: "JOB_COMPLETION_INDEX",
        first: First::Is(0),
        count: None,
    },
    Job {
        index: "CI_NODE_INDEX",
        first: First::Is(1),
        count: Some(Count::Of("CI_NODE_TOTAL")),
    },
];

fn known() -> String {
    let names: Vec<&str> = JOBS.iter().map(|job| job.index).collect();
    names.join(", ")
}

impl Shard {
    /// All of it.
    pub const WHOLE: Self = Self { number: 1, of: 1 };

    /// From "2/8", "auto/8" or "auto"; `variable` looks up a variable of the environment.
    ///
    /// # Errors
    /// [`ShardError`].
    pub fn read(text: &str, variable: impl Fn(&str) -> Option<String>) -> Result<Self, ShardError> {
        let form = || ShardError::Form(text.to_owned());
        let (number, of) = match text.split_once('/') {
            Some((number, of)) => (number, Some(of.parse::<u32>().map_err(|_| form())?)),
            None => (text, None),
        };
        let shard = if number == "auto" {
            of_job(of, variable)?
        } else {
            Self {
                number: number.parse().map_err(|_| form())?,
                of: of.ok_or_else(form)?,
            }
        };
        if shard.number == 0 || shard.number > shard.of {
            return Err(ShardError::Form(if number == "auto" {
                format!("{text} = {shard}")
            } else {
                text.to_owned()
            }));
        }
        Ok(shard)
    }

    /// Whether it runs the piece of work of that number.
    #[must_use]
    pub fn runs(self, piece: u64) -> bool {
        piece % u64::from(self.of) == u64::from(self.number - 1)
    }
}

fn of_job(of: Option<u32>, variable: impl Fn(&str) -> Option<String>) -> Result<Shard, ShardError> {
    let number = |name: &'static str| -> Result<Option<i64>, ShardError> {
        let Some(value) = variable(name) else {
            return Ok(None);
        };
        let parsed = value.trim().parse::<i64>();
        parsed.map(Some).map_err(|_| ShardError::NoNumber {
            variable: name,
            value,
        })
    };
    for job in &JOBS {
        let Some(index) = number(job.index)? else {
            continue;
        };
        let first = match job.first {
            First::Is(first) => first,
            First::Stands(name) => number(name)?.unwrap_or(1),
        };
        let counted = match job.count {
            Some(Count::Of(name)) => number(name)?,
            Some(Count::Last(name)) => number(name)?.map(|last| last - first + 1),
            None => None,
        };
        let count = of
            .map(i64::from)
            .or(counted)
            .ok_or(ShardError::NoCount { variable: job.index })?;
        let part = |value: i64| u32::try_from(value).unwrap_or(0);
        return Ok(Shard {
            number: part(index - first + 1),
            of: part(count),
        });
    }
    Err(ShardError::NoJob)
}

impl fmt::Display for Shard {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}/{}", self.number, self.of)
    }
}

impl FromStr for Shard {
    type Err = ShardError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::read(text, |name| std::env::var(name).ok())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, variables: &[(&str, &str)]) -> Result<Shard, ShardError> {
        Shard::read(text, |name| {
            let found = variables.iter().find(|(known, _)| *known == name);
            found.map(|(_, value)| (*value).to_owned())
        })
    }

    #[test]
    fn a_part_is_named_by_hand_or_by_the_job_that_runs_it() {
        let second_of_eight = Ok(Shard { number: 2, of: 8 });
        assert_eq!(read("2/8", &[]), second_of_eight);
        let array = [
            ("SLURM_ARRAY_TASK_ID", "11"),
            ("SLURM_ARRAY_TASK_MIN", "10"),
            ("SLURM_ARRAY_TASK_COUNT", "8"),
        ];
        assert_eq!(read("auto", &array), second_of_eight);
        let array = [
            ("SGE_TASK_ID", "2"),
            ("SGE_TASK_FIRST", "1"),
            ("SGE_TASK_LAST", "8"),
        ];
        assert_eq!(read("auto", &array), second_of_eight);
        assert_eq!(read("auto/8", &[("JOB_COMPLETION_INDEX", "1")]), second_of_eight);
        assert_eq!(read("auto/8", &[("PBS_ARRAY_INDEX", "2")]), second_of_eight);
        let parallel = [("CI_NODE_INDEX", "2"), ("CI_NODE_TOTAL", "8")];
        assert_eq!(read("auto", &parallel), second_of_eight);
    }

    #[test]
    fn what_names_no_part_is_refused() {
        for text in ["", "0/8", "9/8", "2", "2/0", "-1/8", "two/8", "2/8/3"] {
            assert!(matches!(read(text, &[]), Err(ShardError::Form(_))), "{text}");
        }
        assert_eq!(read("auto", &[]), Err(ShardError::NoJob));
        let index = [("JOB_COMPLETION_INDEX", "1")];
        assert!(matches!(read("auto", &index), Err(ShardError::NoCount { .. })));
        let words = [("CI_NODE_INDEX", "second")];
        assert!(matches!(read("auto/2", &words), Err(ShardError::NoNumber { .. })));
        let beyond = [("JOB_COMPLETION_INDEX", "8")];
        assert!(matches!(read("auto/8", &beyond), Err(ShardError::Form(_))));
    }

    #[test]
    fn every_piece_of_work_is_in_exactly_one_part() {
        for piece in 0..40 {
            let parts = (1..=7).filter(|number| {
                Shard {
                    number: *number,
                    of: 7,
                }
                .runs(piece)
            });
            assert_eq!(parts.count(), 1);
        }
    }
}
