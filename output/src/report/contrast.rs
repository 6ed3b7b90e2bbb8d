//! Contrast of the page's colours, by the formulas of WCAG 2.2 ("relative luminance" and "contrast ratio" in its glossary, W3C Recommendation).

/// Least contrast of text, success criterion 1.4.3 at level AA.
const TEXT: f64 = 4.5;
/// Least contrast of what a chart needs to be understood, success criterion 1.4.11 at level AA.
const GRAPHICS: f64 = 3.0;

const STYLE: &str = include_str!("style.css");

/// What is shown on what, with the least contrast it needs.
const PAIRS: [(&str, &str, f64); 16] = [
    ("ink", "paper", TEXT),
    ("faint", "paper", TEXT),
    ("link", "paper", TEXT),
    ("water", "paper", TEXT),
    ("room", "paper", TEXT),
    ("ink", "band", TEXT),
    ("ink", "shade", TEXT),
    ("faint", "shade", TEXT),
    ("danger", "paper", GRAPHICS),
    ("danger", "band", GRAPHICS),
    ("water", "band", GRAPHICS),
    ("second", "paper", GRAPHICS),
    ("second", "band", GRAPHICS),
    ("room", "shade", GRAPHICS),
    ("hatch", "paper", GRAPHICS),
    ("ink", "hatch", GRAPHICS),
];

/// The custom properties of the blocks of the style sheet that set `--paper`: light, dark, print.
fn palettes() -> Vec<Vec<(String, [u8; 3])>> {
    let blocks = STYLE.split('{').filter(|block| block.contains("--paper:"));
    let palette = |block: &str| {
        let within = block.split('}').next().unwrap_or_default();
        let declared = within
            .split(';')
            .filter_map(|line| line.trim().strip_prefix("--"));
        declared
            .filter_map(|line| {
                let (name, colour) = line.split_once(':')?;
                let digits = colour.trim().strip_prefix('#')?;
                let channel = |at: usize| u8::from_str_radix(digits.get(at..at + 2)?, 16).ok();
                Some((name.to_owned(), [channel(0)?, channel(2)?, channel(4)?]))
            })
            .collect()
    };
    blocks.map(palette).collect()
}

fn luminance(colour: [u8; 3]) -> f64 {
    let [red, green, blue] = colour.map(|channel| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.040_45 {
            share / 12.92
        } else {
            ((share + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_formula_gives_the_ratios_that_everybody_knows() {
    assert!((contrast([255; 3], [0; 3]) - 21.0).abs() < 1e-9);
    assert!((contrast([0x77; 3], [255; 3]) - 4.48).abs() < 0.005);
}

#[test]
fn every_text_and_every_line_stands_out_in_light_in_dark_and_on_paper() {
    let palettes = palettes();
    assert_eq!(palettes.len(), 3, "light, dark, print");
    for (palette, whose) in palettes.iter().zip(["light", "dark", "print"]) {
        let colour = |name: &str| {
            let found = palette.iter().find(|(known, _)| known == name);
            found.unwrap_or_else(|| panic!("{whose} has no {name}")).1
        };
        for (front, back, least) in PAIRS {
            let ratio = contrast(colour(front), colour(back));
            assert!(
                ratio >= least,
                "{whose}: {front} on {back} has {ratio:.2} : 1, needs {least} : 1"
            );
        }
    }
}
