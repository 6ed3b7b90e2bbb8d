//! The supply of one water system of several: it does as the supply of all says.

use super::Supply;
use crate::scenario::Load;

impl Supply {
    /// Takes over what each load gets from the supply of all water systems; true if that is a change. `of_whole` are the loads of this
    /// system as those of the whole, in order. From then on it decides nothing by itself.
    pub(in crate::run) fn follow(&mut self, whole: &Self, of_whole: &[Load]) -> bool {
        self.follows = true;
        let mut changed = self.grid_on != whole.grid_on || self.of_nominal_frac != whole.of_nominal_frac;
        self.grid_on = whole.grid_on;
        self.of_nominal_frac = whole.of_nominal_frac;
        for (line, of_whole) in self.lines.iter_mut().zip(&whole.lines) {
            changed |= line.off == of_whole.is_on();
            line.off = !of_whole.is_on();
        }
        for (slot, load) in of_whole.iter().enumerate() {
            let from = whole.slot(*load);
            changed |=
                self.powered[slot] != whole.powered[from] || self.on_backup[slot] != whole.on_backup[from];
            self.powered[slot] = whole.powered[from];
            self.on_backup[slot] = whole.on_backup[from];
        }
        changed
    }

    /// What a load draws now, W.
    pub(in crate::run) fn drawn_w(&self, load: Load) -> f64 {
        self.drawn_w[self.slot(load)]
    }
}
