//! A protection in the box that fails is no protection.

use super::{alone, matrix, only, only_these, point, row};
use crate::faults::boxes::guarded;
use crate::support::scenario_of;
use tepid_output::cautions::Caution;
use tepid_output::records::{EditKind, RoomKind, StoppedBy};

const SET: &str = "one box failed";
const WELDED: &str = "all contacts in box controller welded";

#[test]
fn a_cut_out_in_the_box_of_its_relay_is_no_protection_against_that_box_and_one_of_its_own_is() {
    let shared = matrix(&only_these(scenario_of(&guarded("controller")), &[SET]), false);
    let found = point(&shared, WELDED);
    assert_eq!(found.tried[found.smallest.unwrap()].edits, [EditKind::CutOut]);
    // The cut-out that is there already helps nothing; one more, in a box of its own, does.
    assert!(alone(found, EditKind::CutOut).removes);
    let warmest = row(&only(&shared).faults, WELDED, RoomKind::Warmest);
    assert!(
        !matches!(warmest.stopped_by, Some(StoppedBy::Contacts { .. })),
        "{:?}",
        warmest.stopped_by
    );
    for caution in [Caution::StuckHeater, Caution::MainsNearWater] {
        assert!(warmest.outcome.cautions.contains(&caution), "{caution:?}");
    }
    // In a box of its own it makes each box one of a single contact: nothing is left that could fail together.
    let apart = matrix(&only_these(scenario_of(&guarded("cut-out")), &[SET]), false);
    assert!(only(&apart).faults.iter().all(|row| row.outcome.set != SET));
    assert!(only(&apart).single_points.is_empty());
}
