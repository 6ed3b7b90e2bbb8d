//! What a log of the real tank said of the model.

/// Factors on what the model computes from dimensions and an offset of the room, as `tepid fit` finds them; 1 and 0 where nobody fitted anything.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Real losses over computed ones, > 0: every path of every tank, evaporation included.
    pub losses_frac: f64,
    /// Real heat capacity over the computed one, > 0: water with its panes, not rock and heater bodies.
    pub capacity_frac: f64,
    /// How much warmer the air around the tanks is than the room's thermometer reads, K. The scenario's room has it in it; a log's room has not.
    pub room_offset_k: f64,
}

impl Default for Fitted {
    fn default() -> Self {
        Self {
            losses_frac: 1.0,
            capacity_frac: 1.0,
            room_offset_k: 0.0,
        }
    }
}
