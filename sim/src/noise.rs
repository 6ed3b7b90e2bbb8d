//! Random numbers as functions of what they are for.
//!
//! # Equation
//! A [`Stream`] is named by (seed, replicate, component, purpose); its i-th number is the i-th output of SplitMix64 started at the
//! name's hash. No number depends on how many were drawn before it, so weather and noise stay the same bits when a strategy looks more
//! often, a tick is split or a probe is added. Normal deviates by inversion.
//!
//! # Units
//! Uniform: in (0, 1). Normal: standard deviation 1.
//!
//! # Source
//! SplitMix64: G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom number generators, OOPSLA 2014, constants as in the
//! public reference code's many copies, checked below against published outputs. Normal quantile: M. J. Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988)
//! 477–484, coefficients as in `CPython` 3.11's `statistics`, checked below against erfc. Names are hashed by FNV-1a (64 bits,
//! draft-eastlake-fnv).
//!
//! # Valid for
//! Simulation. Not for secrets.
//!
//! # Left out
//! Deviates beyond ±8.2 standard deviations (one in 2⁵³).
//!
//! # Checked by
//! The tests below.

use std::sync::LazyLock;

/// A stream of random numbers, addressed by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stream {
    key: u64,
}

/// What the state of `SplitMix64` grows by: 2⁶⁴ over the golden ratio, made odd. Source: see the page.
const GOLDEN_GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;

impl Stream {
    /// The stream of a component and purpose in a replicate of a seed.
    #[must_use]
    pub fn new(seed: u64, replicate: u64, component: &str, purpose: &str) -> Self {
        let mut key = mix(seed.wrapping_add(GOLDEN_GAMMA));
        key = mix(key ^ replicate.wrapping_add(GOLDEN_GAMMA));
        key = mix(key ^ fnv1a(component));
        key = mix(key ^ fnv1a(purpose));
        Self { key }
    }

    /// The number at an index, all 64 bits random.
    #[inline]
    #[must_use]
    pub fn bits(self, index: i64) -> u64 {
        mix(self
            .key
            .wrapping_add(GOLDEN_GAMMA.wrapping_mul((index as u64).wrapping_add(1))))
    }

    /// Uniform in (0, 1), ends excluded.
    #[inline]
    #[must_use]
    pub fn uniform(self, index: i64) -> f64 {
        ((self.bits(index) >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
    }

    /// Standard normal.
    #[inline]
    #[must_use]
    pub fn normal(self, index: i64) -> f64 {
        normal_quantile(self.uniform(index))
    }

    /// Two numbers between which [`Self::normal`] of that index lies, most of the time close to each other: all that somebody needs who
    /// looks at it in steps, and far cheaper.
    #[inline]
    #[must_use]
    pub fn normal_within(self, index: i64) -> (f64, f64) {
        let bin = (self.bits(index) >> (64 - BIN_BITS)) as usize;
        (BIN_EDGES[bin], BIN_EDGES[bin + 1])
    }
}

/// Bits that choose the bin of a deviate looked at in steps. A choice: 1024 bins.
const BIN_BITS: u32 = 10;
/// Bins of equal probability. Exact: as many as the bits can choose.
const BINS: usize = 1 << BIN_BITS;

/// Quantiles at the edges of bins of equal probability. The outermost lie beyond every deviate.
static BIN_EDGES: LazyLock<[f64; BINS + 1]> = LazyLock::new(|| {
    std::array::from_fn(|edge| match edge {
        0 => -BEYOND_ALL,
        BINS => BEYOND_ALL,
        _ => normal_quantile(edge as f64 / BINS as f64),
    })
});

/// Larger than any deviate, unitless. A choice: the quantile of 1 − 2⁻⁵³ is 8.21.
pub const BEYOND_ALL: f64 = 8.3;

/// The output function of SplitMix64; its multipliers and shifts: see the page.
#[inline]
fn mix(state: u64) -> u64 {
    let mut z = state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// FNV-1a, 64 bits: offset basis and prime, see the page.
fn fnv1a(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// Ratio of two polynomials of degree 7, coefficients by rising power. Summed in pairs (Estrin), since one long chain of Horner's would
/// make every noisy probe wait for it at every decision.
#[inline]
fn ratio(numerator: &[f64; 8], denominator: &[f64; 8], x: f64) -> f64 {
    let (x2, x4) = (x * x, (x * x) * (x * x));
    let sum = |c: &[f64; 8]| {
        let low = (c[0] + c[1] * x) + (c[2] + c[3] * x) * x2;
        let high = (c[4] + c[5] * x) + (c[6] + c[7] * x) * x2;
        low + high * x4
    };
    sum(numerator) / sum(denominator)
}

/// The standard normal deviate below which a share `p` in (0, 1) lies (AS 241, PPND16; relative accuracy about 1e-16).
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    /// AS 241, unitless: numerator near the middle. Source: see the page.
    const A: [f64; 8] = [
        3.387_132_872_796_366_5,
        133.141_667_891_784_38,
        1_971.590_950_306_551_3,
        13_731.693_765_509_46,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ];
    /// AS 241, unitless: denominator near the middle. Source: see the page.
    const B: [f64; 8] = [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ];
    /// AS 241, unitless: numerator of the tails. Source: see the page.
    const C: [f64; 8] = [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        0.241_780_725_177_450_6,
        0.022_723_844_989_269_184,
        7.745_450_142_783_414e-4,
    ];
    /// AS 241, unitless: denominator of the tails. Source: see the page.
    const D: [f64; 8] = [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        0.689_767_334_985_1,
        0.148_103_976_427_480_08,
        0.015_198_666_563_616_457,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ];
    /// AS 241, unitless: numerator of the far tails. Source: see the page.
    const E: [f64; 8] = [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        0.296_560_571_828_504_87,
        0.026_532_189_526_576_124,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ];
    /// AS 241, unitless: denominator of the far tails. Source: see the page.
    const F: [f64; 8] = [
        1.0,
        0.599_832_206_555_888,
        0.136_929_880_922_735_8,
        0.014_875_361_290_850_615,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_7e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ];
    /// AS 241, unitless: half the share that counts as the middle. Source: see the page.
    const MIDDLE: f64 = 0.425;
    /// AS 241, unitless: [`MIDDLE`] squared, exact.
    const MIDDLE_SQUARED: f64 = 0.180_625;
    /// AS 241, unitless: √(−ln p) where the far tails begin. Source: see the page.
    const FAR: f64 = 5.0;
    /// AS 241, unitless: √(−ln p) that the tails' polynomials are centred on. Source: see the page.
    const TAIL_CENTRE: f64 = 1.6;
    let q = p - 0.5;
    if q.abs() <= MIDDLE {
        return q * ratio(&A, &B, MIDDLE_SQUARED - q * q);
    }
    let r = (-libm::log(if q < 0.0 { p } else { 1.0 - p })).sqrt();
    let size = if r <= FAR {
        ratio(&C, &D, r - TAIL_CENTRE)
    } else {
        ratio(&E, &F, r - FAR)
    };
    if q < 0.0 { -size } else { size }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_gives_the_published_outputs() {
        // First outputs of SplitMix64 from state 1234567, as many public ports of its reference C code test for.
        let from_state = |n: u64| mix(1_234_567_u64.wrapping_add(GOLDEN_GAMMA.wrapping_mul(n)));
        assert_eq!(from_state(1), 6_457_827_717_110_365_317);
        assert_eq!(from_state(2), 3_203_168_211_198_807_973);
        assert_eq!(from_state(3), 9_817_491_932_198_370_423);
    }

    #[test]
    fn the_normal_quantile_inverts_the_normal_distribution() {
        // Outside: libm's erfc, 1/2 erfc(-z/sqrt 2) = p.
        for p in [
            1e-12,
            1e-6,
            0.001,
            0.01,
            0.074,
            0.076,
            0.2,
            0.5,
            0.7,
            0.93,
            0.999,
            1.0 - 1e-9,
        ] {
            let z = normal_quantile(p);
            let back = 0.5 * libm::erfc(-z / std::f64::consts::SQRT_2);
            approx::assert_relative_eq!(back, p, max_relative = 2e-13);
        }
    }

    #[test]
    fn deviates_have_mean_zero_and_variance_one() {
        let stream = Stream::new(7, 0, "probe", "noise");
        let count = 200_000_i64;
        let (mut sum, mut squares, mut product) = (0.0, 0.0, 0.0);
        for i in 0..count {
            let z = stream.normal(i);
            sum += z;
            squares += z * z;
            product += z * stream.normal(i + 1);
        }
        let n = count as f64;
        // Four standard errors each.
        assert!((sum / n).abs() < 4.0 / n.sqrt());
        assert!((squares / n - 1.0).abs() < 4.0 * (2.0 / n).sqrt());
        assert!((product / n).abs() < 4.0 / n.sqrt());
    }

    #[test]
    fn a_deviate_lies_within_the_bounds_of_its_bin() {
        let stream = Stream::new(7, 0, "probe", "noise");
        let mut wide = 0_u32;
        for i in 0..100_000_i64 {
            let (low, high) = stream.normal_within(i);
            let z = stream.normal(i);
            assert!((low..=high).contains(&z), "{i}: {z} in {low}..{high}");
            wide += u32::from(high - low > 0.01);
        }
        // Bins of a thousandth are wider than 0.01 where the density is below 0.0977, beyond 1.68 standard deviations: 9.3 % of all.
        assert!(wide.abs_diff(9_300) < 400, "{wide}");
    }

    #[test]
    fn streams_of_other_components_are_other_streams() {
        let a = Stream::new(7, 0, "main", "noise");
        for b in [
            Stream::new(8, 0, "main", "noise"),
            Stream::new(7, 1, "main", "noise"),
            Stream::new(7, 0, "spare", "noise"),
            Stream::new(7, 0, "main", "drift"),
        ] {
            assert_ne!(a.bits(0), b.bits(0));
            let n = 100_000_i64;
            let product: f64 = (0..n).map(|i| a.normal(i) * b.normal(i)).sum();
            assert!((product / n as f64).abs() < 4.0 / (n as f64).sqrt());
        }
    }
}
