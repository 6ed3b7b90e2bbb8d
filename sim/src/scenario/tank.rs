//! A body of water and its walls.

use crate::noise::Stream;

/// One water body: display, sump, barrel, one tank of a rack.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// Name, unique among tanks.
    pub name: String,
    /// Inner length, m.
    pub length_m: f64,
    /// Inner width (front to back), m.
    pub width_m: f64,
    /// Inner height, m.
    pub height_m: f64,
    /// Height of the water, m, at most `height_m`.
    pub water_height_m: f64,
    /// The panes.
    pub pane: Pane,
    /// What covers the water.
    pub cover: Cover,
    /// Rock and sand in it, kg; takes up 1 L per 2 kg.
    pub rock_kg: f64,
    /// Air of a cabinet around it, if it stands in one.
    pub cabinet: Option<CabinetAir>,
    /// Whether livestock is in it: only such tanks are scored.
    pub livestock: bool,
    /// Agitation of the surface: factor on evaporation into still air, 1 = undisturbed.
    pub agitation: f64,
    /// How much warmer the surfaces it radiates to are than the air, K.
    pub surroundings_offset_k: f64,
    /// The dimensions were assumed from a stated volume.
    pub proportions_assumed: bool,
}

impl Tank {
    /// Water surface area, m².
    #[must_use]
    pub fn surface_m2(&self) -> f64 {
        self.length_m * self.width_m
    }

    /// Volume of water, m³: footprint × water height less what the rock takes up.
    #[must_use]
    pub fn water_volume_m3(&self) -> f64 {
        self.surface_m2() * self.water_height_m - self.rock_m3()
    }

    /// One of several copies: longer or shorter by at most a share of its length, by its name alone.
    #[must_use]
    pub fn differing(mut self, spread_frac: f64) -> Self {
        let draw = Stream::new(0, 0, &self.name, "length of a copy").uniform(0);
        self.length_m *= 1.0 + spread_frac * (2.0 * draw - 1.0);
        self
    }

    /// What the rock takes up, m³.
    #[must_use]
    pub fn rock_m3(&self) -> f64 {
        self.rock_kg / ROCK_DENSITY_KG_PER_M3
    }
}

/// Density of porous reef rock with its water-filled pores counted as rock, kg/m³. From memory; DIN EN 12524 in `ht` 1.2.0 has
/// limestone from 1600 (extra soft) over 2000 (semi-hard) to 2600.
/// Valid for dead or living reef rock of limestone; lava and wood are lighter.
pub const ROCK_DENSITY_KG_PER_M3: f64 = 2000.0;

/// Specific heat of carbonate rock, J/(kg K). ASHRAE's table of building materials (limestone) as `ht` 1.2.0 has it (source).
/// Valid for dry rock at room temperature; limestones of 630 to 920 are printed elsewhere.
pub const ROCK_SPECIFIC_HEAT_J_PER_KG_K: f64 = 840.0;

/// Film between rock and water, W/(K kg), per kg of rock: 50 W/K at 30 kg. An assumption, no source: rock follows its water in 504 s.
/// Valid for changes that take hours; what faster ones meet is in `docs/well-mixed.md`.
pub const ROCK_FILM_W_PER_K_KG: f64 = 50.0 / 30.0;

/// The panes of a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Pane {
    /// Material.
    pub material: PaneMaterial,
    /// Thickness, m.
    pub thickness_m: f64,
    /// Extra thermal resistance outside the sides (foam, wrap), m² K/W.
    pub extra_sides_m2_k_per_w: f64,
    /// Extra thermal resistance under the bottom (stand, foam), m² K/W; above 0 it stands instead of the outer film.
    pub extra_bottom_m2_k_per_w: f64,
    /// Share of the side area that meets the air, 0..=1; the rest is adiabatic (a back pane against a wall).
    pub free_sides_frac: f64,
    /// Share of the bottom that loses heat, 0..=1.
    pub free_bottom_frac: f64,
}

/// What panes are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaneMaterial {
    /// Soda-lime glass.
    Glass,
    /// Acrylic.
    Acrylic,
}

/// What covers the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cover {
    /// Nothing.
    Open,
    /// A net against jumpers.
    Mesh,
    /// A lid with a small gap.
    Lid {
        /// Thickness of the lid, m.
        thickness_m: f64,
        /// Blanket on it, m² K/W.
        extra_m2_k_per_w: f64,
    },
}

/// Air of a cabinet, relative to the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CabinetAir {
    /// Warmer than the room by, K.
    pub warmer_k: f64,
    /// Relative humidity above the room's, as a fraction (0.2 = 20 points).
    pub more_humid_frac: f64,
}

/// The published correlation for evaporation into still air.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Evaporation {
    /// Shah 2014, C = 35: undisturbed water from 0.07 m² on.
    Shah,
    /// The pool form of the ASHRAE Handbook. The activity factor holds what stirs the surface, so a tank's agitation stays 1.
    AshraePool {
        /// Activity factor, unitless: 0.5 quiet, 1 a public pool in use.
        activity: f64,
    },
    /// VDI 2089, pool not in use.
    Vdi2089,
}
