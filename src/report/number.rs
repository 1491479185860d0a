//! Numbers as a reader sees them.

/// A number with so many decimals, thousands separated; what rounds to zero
/// has no sign.
///
/// ```
/// use loopwright::report::fixed;
/// assert_eq!(fixed(24366.7175, 2), "24,366.72");
/// assert_eq!(fixed(-0.0001, 2), "0.00");
/// ```
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    let digits = format!("{:.decimals$}", value.abs());
    let (whole, fraction) = digits.split_once('.').unwrap_or((&digits, ""));
    let mut text = String::new();
    if value < 0.0 && digits.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) {
        text.push('-');
    }
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    if !fraction.is_empty() {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

/// A fraction of 1 in per cent with one decimal: "93.4 %".
pub fn share(value: f64) -> String {
    format!("{} %", fixed(value * 100.0, 1))
}

/// A count and its noun: "1 flight", "4 flights".
pub fn counted(number: usize, noun: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{} {noun}{plural}", fixed(number as f64, 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_thousands_and_zero() {
        assert_eq!(fixed(0.0, 0), "0");
        assert_eq!(fixed(-0.4, 0), "0");
        assert_eq!(fixed(-1234567.891, 1), "-1,234,567.9");
        assert_eq!(fixed(999.999, 2), "1,000.00");
        assert_eq!(fixed(100.0, 0), "100");
    }

    #[test]
    fn shares_and_counts() {
        assert_eq!(share(1.0218), "102.2 %");
        assert_eq!(counted(1, "flight"), "1 flight");
        assert_eq!(counted(1200, "check"), "1,200 checks");
    }
}
