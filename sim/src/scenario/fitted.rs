//! What a log of the real tank said of the model.

/// Factors on what the model computes from dimensions, as `tepid fit` finds them; 1 where nobody fitted anything.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Real losses over computed ones, > 0: every path of every tank, evaporation included.
    pub losses_frac: f64,
    /// Real heat capacity over the computed one, > 0: water with its panes, not rock and heater bodies.
    pub capacity_frac: f64,
}

impl Default for Fitted {
    fn default() -> Self {
        Self {
            losses_frac: 1.0,
            capacity_frac: 1.0,
        }
    }
}
