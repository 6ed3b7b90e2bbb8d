//! Colours: hues that differ in lightness too and judge nothing; no green, amber or red.

use plotters::style::RGBColor;

/// Text and frames.
pub const TEXT: RGBColor = RGBColor(34, 34, 34);
/// Less important text.
pub const FAINT_TEXT: RGBColor = RGBColor(95, 95, 95);
/// Grid lines.
pub const GRID: RGBColor = RGBColor(228, 228, 228);
/// The band the keeper wants.
pub const BAND: RGBColor = RGBColor(208, 221, 238);
/// Danger lines.
pub const DANGER: RGBColor = RGBColor(60, 60, 60);
/// A flow of heat.
pub const FLOW: RGBColor = RGBColor(241, 243, 246);
/// Hatching.
pub const HATCH: RGBColor = RGBColor(135, 141, 149);
/// The room.
pub const ROOM: RGBColor = RGBColor(140, 140, 140);
/// What was recorded.
pub const RECORDED: RGBColor = RGBColor(20, 20, 20);
/// A happening while it lasts.
pub const HAPPENING: RGBColor = RGBColor(120, 120, 140);

/// Water of the tanks, in order; they repeat beyond the last.
const WATER: [RGBColor; 5] = [
    RGBColor(0, 82, 150),
    RGBColor(130, 60, 150),
    RGBColor(0, 130, 140),
    RGBColor(120, 80, 30),
    RGBColor(70, 70, 160),
];

/// Heaters, in order; they repeat beyond the last.
const HEATERS: [RGBColor; 4] = [
    RGBColor(120, 130, 150),
    RGBColor(176, 160, 190),
    RGBColor(150, 180, 190),
    RGBColor(190, 175, 150),
];

/// Fans and chillers, in order; they repeat beyond the last.
const COOLERS: [RGBColor; 3] = [
    RGBColor(110, 165, 185),
    RGBColor(165, 195, 215),
    RGBColor(95, 140, 165),
];

/// Colour of a tank's water.
pub fn water(tank: usize) -> RGBColor {
    WATER[tank % WATER.len()]
}

/// Colour of a heater's power.
pub fn heater(heater: usize) -> RGBColor {
    HEATERS[heater % HEATERS.len()]
}

/// Colour of a fan's or chiller's power.
pub fn cooler(cooler: usize) -> RGBColor {
    COOLERS[cooler % COOLERS.len()]
}
