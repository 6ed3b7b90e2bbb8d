//! What is usually wanted for what lives in a tank. All values: common practice, no source.

use super::Animals;

/// Water and danger lines of what lives in a tank.
pub(super) struct Wanted {
    /// In words.
    pub kind: &'static str,
    /// Salinity as a file writes it.
    pub salinity: &'static str,
    /// Target, °C.
    pub target_c: f64,
    /// Half the width of the band, K.
    pub band_k: f64,
    /// Longest times at high temperatures: °C and the time as a file writes it.
    pub danger_hot: [(f64, &'static str); 3],
    /// The same downwards.
    pub danger_cold: [(f64, &'static str); 3],
    /// Fastest change in an hour and in a day, K.
    pub fastest_k: (f64, f64),
    /// Power of the lamp per volume, W/m³.
    pub lamp_w_per_m3: f64,
    /// Rock and sand per volume, kg/m³.
    pub rock_kg_per_m3: f64,
}

/// What is wanted for them.
pub(super) fn wanted(animals: Animals) -> Wanted {
    match animals {
        Animals::Reef => Wanted {
            kind: "tropical reef",
            salinity: "35 g/kg",
            target_c: 25.5,
            band_k: 0.5,
            danger_hot: [(28.5, "3 d"), (30.0, "12 h"), (32.0, "1 h")],
            danger_cold: [(22.0, "2 d"), (20.0, "12 h"), (18.0, "2 h")],
            fastest_k: (1.0, 2.0),
            lamp_w_per_m3: 400.0,
            rock_kg_per_m3: 100.0,
        },
        Animals::TropicalFish => Wanted {
            kind: "tropical fish",
            salinity: "0 g/kg",
            target_c: 25.0,
            band_k: 0.5,
            danger_hot: [(29.0, "3 d"), (31.0, "12 h"), (33.0, "1 h")],
            danger_cold: [(20.0, "2 d"), (18.0, "12 h"), (15.0, "2 h")],
            fastest_k: (1.5, 3.0),
            lamp_w_per_m3: 150.0,
            rock_kg_per_m3: 50.0,
        },
        Animals::CoolWaterFish => Wanted {
            kind: "cool-water fish",
            salinity: "0 g/kg",
            target_c: 20.0,
            band_k: 1.0,
            danger_hot: [(27.0, "3 d"), (29.0, "12 h"), (31.0, "1 h")],
            danger_cold: [(12.0, "2 d"), (9.0, "12 h"), (6.0, "2 h")],
            fastest_k: (1.5, 3.0),
            lamp_w_per_m3: 150.0,
            rock_kg_per_m3: 50.0,
        },
    }
}
