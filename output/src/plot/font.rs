//! The font that comes with the program.

use std::sync::OnceLock;

use plotters::style::{FontStyle, register_font};

use super::PlotError;

/// Name under which the font is registered, and the family an SVG viewer is asked for.
pub const FAMILY: &str = "sans-serif";

/// Registers the font once; must come before any drawing, because text is measured with it in either format.
///
/// # Errors
/// [`PlotError::Font`] if it cannot be read.
pub fn ensure_registered() -> Result<(), PlotError> {
    static REGISTERED: OnceLock<bool> = OnceLock::new();
    let registered = *REGISTERED.get_or_init(|| {
        register_font(FAMILY, FontStyle::Normal, dejavu::sans::regular()).is_ok()
            && register_font(FAMILY, FontStyle::Bold, dejavu::sans::bold()).is_ok()
    });
    if registered { Ok(()) } else { Err(PlotError::Font) }
}
