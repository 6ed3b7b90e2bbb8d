//! Cells by their names: "spare-room-winter / on-off / relay left welded / 3".

use std::collections::BTreeSet;

use tepid_scenarios::nearest;

use super::plan::{CellPlace, Plan, PlanError};

impl Plan {
    /// The name of a cell, as `tepid run --cell` takes it: "spare-room-winter / on-off / relay left welded / 3".
    #[must_use]
    pub fn cell_name(&self, place: CellPlace) -> String {
        let pair = self.pairs[place.pair];
        let (scenario, strategy) = (&self.scenarios[pair.scenario], &self.strategies[pair.strategy]);
        let case = scenario.case_name(place.case);
        format!(
            "{} / {} / {case} / {}",
            scenario.name, strategy.name, place.replicate
        )
    }

    /// The cell of a name.
    ///
    /// # Errors
    /// What is wrong with the name, with the nearest or all that there are.
    pub fn cell_named(&self, name: &str) -> Result<CellPlace, UnknownCell> {
        let unknown = |what: &'static str, known: Vec<String>| UnknownCell {
            name: name.to_owned(),
            what,
            known,
        };
        let Some((front, replicate)) = name.rsplit_once(" / ") else {
            return Err(unknown("form", Vec::new()));
        };
        let replicate: Option<u64> = replicate.trim().parse().ok();
        let named = |place: CellPlace| {
            let whole = self.cell_name(place);
            whole
                .rsplit_once(" / ")
                .is_some_and(|(known, _)| known == front.trim())
        };
        let groups = (0..self.pairs.len()).flat_map(|pair| {
            (0..self.cases(self.pairs[pair]).len()).map(move |case| CellPlace {
                pair,
                replicate: 0,
                case,
            })
        });
        let Some(group) = groups.clone().find(|place| named(*place)) else {
            return Err(unknown(
                "group",
                groups.map(|place| self.cell_name(place)).collect(),
            ));
        };
        match replicate.filter(|replicate| *replicate < self.study.replicates) {
            Some(replicate) => Ok(CellPlace { replicate, ..group }),
            None => Err(unknown(
                "replicate",
                vec![format!("0 to {}", self.study.replicates - 1)],
            )),
        }
    }

    /// Names are joined to a cell's name: names with that join inside may make one name of two cells.
    pub(super) fn cells_told_apart(&self) -> Result<(), PlanError> {
        let mut names = BTreeSet::new();
        for pair in 0..self.pairs.len() {
            for case in 0..self.cases(self.pairs[pair]).len() {
                let name = self.cell_name(CellPlace {
                    pair,
                    replicate: 0,
                    case,
                });
                if let Some(name) = names.replace(name) {
                    return Err(PlanError::OneNameForTwo { name });
                }
            }
        }
        Ok(())
    }
}

/// A cell that a study has not.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.text())]
pub struct UnknownCell {
    name: String,
    what: &'static str,
    known: Vec<String>,
}

impl UnknownCell {
    fn text(&self) -> String {
        let name = &self.name;
        match self.what {
            "replicate" => format!("no cell `{name}`: its replicate must be {}", self.known.join("")),
            "group" => {
                let near = nearest(name, self.known.iter().map(String::as_str));
                let near = near.map_or_else(String::new, |near| format!("; the nearest is `{near}`"));
                format!("this study has no cell `{name}`{near}")
            }
            _ => format!(
                "`{name}` is no cell; expected SCENARIO / STRATEGY / CASE / REPLICATE, as results name it"
            ),
        }
    }
}
