//! A figure as text, rounded to a number of decimals and without zeros at its end: what makes a course quick to write.

/// Longest text: the digits of the largest whole number, a sign, a point. Exact.
const LONGEST: usize = 24;

/// Beyond this a double does not tell neighbouring whole numbers apart. Exact: 2⁵³.
const WHOLE_UP_TO: f64 = 9_007_199_254_740_992.0;

/// Room for the text of one figure.
#[derive(Debug, Clone, Default)]
pub(super) struct Figure {
    digits: [u8; LONGEST],
}

impl Figure {
    /// "25.1234", "-0.5", "300"; `None`: no number, or too large to be written digit by digit.
    pub(super) fn text(&mut self, value: f64, decimals: usize) -> Option<&[u8]> {
        let scale = (0..decimals).fold(1.0, |scale, _| scale * 10.0);
        let scaled = (value * scale).round();
        if !scaled.is_finite() || scaled.abs() >= WHOLE_UP_TO {
            return None;
        }
        let mut left = scaled.abs() as u64;
        let mut first = LONGEST;
        let mut put = |digit: u8| {
            first -= 1;
            self.digits[first] = digit;
        };
        let mut decimals_left = decimals;
        while decimals_left > 0 && left.is_multiple_of(10) {
            left /= 10;
            decimals_left -= 1;
        }
        if decimals_left > 0 {
            for _ in 0..decimals_left {
                put(b'0' + (left % 10) as u8);
                left /= 10;
            }
            put(b'.');
        }
        loop {
            put(b'0' + (left % 10) as u8);
            left /= 10;
            if left == 0 {
                break;
            }
        }
        if scaled < 0.0 {
            put(b'-');
        }
        Some(&self.digits[first..])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(value: f64, decimals: usize) -> String {
        let mut figure = Figure::default();
        let text = figure.text(value, decimals).expect("a number");
        String::from_utf8(text.to_vec()).expect("digits")
    }

    #[test]
    fn figures_are_written_as_people_write_them() {
        let written = [
            (25.0, 4),
            (25.123_46, 4),
            (-0.5, 4),
            (-0.000_01, 4),
            (0.000_1, 4),
            (1200.0, 4),
            (2.512_345_678, 7),
        ];
        assert_eq!(
            written.map(|(value, decimals)| text(value, decimals)),
            ["25", "25.1235", "-0.5", "0", "0.0001", "1200", "2.5123457"]
        );
    }

    #[test]
    fn what_is_no_number_has_no_digits() {
        for value in [f64::NAN, f64::INFINITY, 1e16] {
            assert_eq!(Figure::default().text(value, 4), None, "{value}");
        }
    }

    #[test]
    fn a_figure_reads_back_as_what_was_rounded() {
        // Multiples of an irrational step leave no run of digits out.
        for step in -20_000_i32..20_000 {
            let value = f64::from(step) * std::f64::consts::SQRT_2 / 16.0;
            let rounded = (value * 1e4).round() / 1e4;
            assert_eq!(text(value, 4).parse::<f64>(), Ok(rounded), "{value}");
        }
    }
}
