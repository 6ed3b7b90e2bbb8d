//! Paragraphs of at most so many columns.

/// Breaks `text` at spaces into lines of at most `width` characters; the first starts with `lead`, the others are indented
/// by as much. A word longer than a line is cut.
#[must_use]
pub fn wrapped(lead: &str, text: &str, width: usize) -> String {
    let indent = lead.chars().count();
    let room = width.saturating_sub(indent).max(1);
    let mut lines: Vec<String> = vec![String::new()];
    let mut used = 0;
    let text = glued(text);
    for word in text.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
        let mut rest: Vec<char> = word.chars().collect();
        while !rest.is_empty() {
            let gap = usize::from(used > 0);
            if used + gap + rest.len() <= room {
                push(&mut lines, gap, &rest);
                used += gap + rest.len();
                rest.clear();
            } else if used == 0 {
                let tail = rest.split_off(room);
                push(&mut lines, 0, &rest);
                rest = tail;
                lines.push(String::new());
            } else {
                lines.push(String::new());
                used = 0;
            }
        }
    }
    let mut paragraph = String::new();
    for (index, line) in lines.iter().enumerate() {
        paragraph.push_str(&if index == 0 {
            lead.to_owned()
        } else {
            " ".repeat(indent)
        });
        paragraph.push_str(line);
        paragraph.push('\n');
    }
    unglued(&paragraph)
}

/// A space at which no line breaks.
const GLUE: char = '\u{a0}';

/// Units that stay on the line of their figure.
const UNITS: [&str; 15] = [
    "°C", "°F", "K", "W", "W/K", "W/°F", "kWh", "L", "gal", "ms", "s", "min", "h", "d", "%",
];

/// The text with figures and their units glued together, and marks to what they mark.
pub(crate) fn glued(text: &str) -> String {
    let mut glued = String::with_capacity(text.len());
    for word in text.split(' ') {
        let unit = word.trim_end_matches([',', '.', ';', ':', ')']);
        let after_figure = glued.ends_with(|last: char| last.is_ascii_digit());
        if !glued.is_empty() {
            glued.push(if (after_figure && UNITS.contains(&unit)) || word == "*" {
                GLUE
            } else {
                ' '
            });
        }
        glued.push_str(word);
    }
    glued
}

/// The text with plain spaces again.
pub(crate) fn unglued(text: &str) -> String {
    text.replace(GLUE, " ")
}

fn push(lines: &mut [String], gap: usize, word: &[char]) {
    if let Some(line) = lines.last_mut() {
        line.push_str(&" ".repeat(gap));
        line.extend(word);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paragraph_breaks_at_spaces_and_hangs_below_its_lead() {
        assert_eq!(wrapped("- ", "one two three", 9), "- one two\n  three\n");
    }

    #[test]
    fn a_figure_and_its_unit_stay_together() {
        assert_eq!(
            wrapped("", "borne for 12 h, at most", 12),
            "borne for\n12 h, at\nmost\n"
        );
    }

    #[test]
    fn a_mark_stays_with_its_figure() {
        assert_eq!(wrapped("", "inside 99.9 % *", 10), "inside\n99.9 % *\n");
    }

    #[test]
    fn a_word_longer_than_the_line_is_cut() {
        assert_eq!(wrapped("", "a 12345678901 b", 5), "a\n12345\n67890\n1 b\n");
    }

    #[test]
    fn no_line_is_wider_than_asked_for() {
        let text = "°C ".repeat(40) + &"x".repeat(77);
        for width in 3..30 {
            assert!(
                wrapped("- ", &text, width)
                    .lines()
                    .all(|line| line.chars().count() <= width)
            );
        }
    }
}
