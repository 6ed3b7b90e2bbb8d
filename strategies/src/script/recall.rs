//! Decisions that need no second calculation.
//!
//! What a script answers follows from its arguments and from what it remembers, and from nothing else. Where it then left its memory as it
//! was, the same arguments give the same answer again, to the last bit. Readings come in steps, so that they often are the same.

use rhai::Dynamic;

/// How many decisions are kept: a reading seldom wanders among more steps of its probe while the memory stays as it is.
const KEPT: usize = 4;
/// After so many decisions in a row that changed the memory, the script is one that counts the time, and keeping copies for it is in vain.
const IN_VAIN: usize = 100;

/// The last decisions that left the memory as it is now.
#[derive(Debug, Default)]
pub(super) struct Recall {
    kept: Vec<Kept>,
    oldest: usize,
    changed_in_a_row: usize,
}

#[derive(Debug)]
struct Kept {
    arguments: Vec<Dynamic>,
    returned: Dynamic,
}

impl Recall {
    /// What `decide` returned for these arguments.
    pub(super) fn find(&self, arguments: &[Dynamic]) -> Option<Dynamic> {
        let same_as = |kept: &&Kept| kept.arguments.iter().zip(arguments).all(|(a, b)| same(a, b));
        self.kept.iter().find(same_as).map(|kept| kept.returned.clone())
    }

    /// Keeps a decision that left the memory as it was.
    pub(super) fn keep(&mut self, arguments: Vec<Dynamic>, returned: Dynamic) {
        let kept = Kept { arguments, returned };
        self.changed_in_a_row = 0;
        if self.kept.len() < KEPT {
            self.kept.push(kept);
        } else {
            self.kept[self.oldest] = kept;
            self.oldest = (self.oldest + 1) % KEPT;
        }
    }

    /// The memory changed: nothing that was decided before need hold.
    pub(super) fn forget(&mut self) {
        self.kept.clear();
        self.oldest = 0;
        self.changed_in_a_row += 1;
    }

    /// Whether it is any use to go on keeping decisions.
    pub(super) fn is_in_vain(&self) -> bool {
        self.changed_in_a_row >= IN_VAIN
    }
}

/// Whether a script could not tell one from the other. Of kinds that a script's memory seldom holds, it says no.
pub(super) fn same(one: &Dynamic, other: &Dynamic) -> bool {
    if let (Ok(one), Ok(other)) = (one.as_float(), other.as_float()) {
        return one.to_bits() == other.to_bits();
    }
    if let (Ok(one), Ok(other)) = (one.as_bool(), other.as_bool()) {
        return one == other;
    }
    if let (Ok(one), Ok(other)) = (one.as_int(), other.as_int()) {
        return one == other;
    }
    if let (Ok(one), Ok(other)) = (one.as_immutable_string_ref(), other.as_immutable_string_ref()) {
        return *one == *other;
    }
    if let (Ok(one), Ok(other)) = (one.as_map_ref(), other.as_map_ref()) {
        return one.len() == other.len()
            && one
                .iter()
                .zip(other.iter())
                .all(|((key, one), (other_key, other))| key == other_key && same(one, other));
    }
    if let (Ok(one), Ok(other)) = (one.as_array_ref(), other.as_array_ref()) {
        return one.len() == other.len() && one.iter().zip(other.iter()).all(|(one, other)| same(one, other));
    }
    one.is_unit() && other.is_unit()
}

#[cfg(test)]
mod tests {
    use rhai::{Array, Map};

    use super::*;

    fn map(field: impl Into<Dynamic>) -> Dynamic {
        Dynamic::from(Map::from([("x".into(), field.into())]))
    }

    #[test]
    fn a_script_tells_minus_zero_from_zero_and_a_number_from_nothing() {
        assert!(same(&map(0.5), &map(0.5)));
        assert!(!same(&map(0.0), &map(-0.0)));
        assert!(!same(&map(0.5), &map(Dynamic::UNIT)));
        assert!(!same(&1_i64.into(), &1.0.into()));
        assert!(!same(&map("on"), &map("off")));
        assert!(!same(&Array::from([true.into()]).into(), &Array::new().into()));
    }

    #[test]
    fn the_oldest_decision_makes_room() {
        let mut recall = Recall::default();
        for reading in 0..=KEPT as i64 {
            recall.keep(vec![reading.into()], (reading > 2).into());
        }
        assert!(recall.find(&[0_i64.into()]).is_none());
        let answer = |reading: i64| {
            recall
                .find(&[reading.into()])
                .and_then(|found| found.as_bool().ok())
        };
        assert_eq!(answer(1), Some(false));
        assert_eq!(answer(KEPT as i64), Some(true));
    }
}
