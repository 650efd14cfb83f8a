//! Quantities as text, the same way everywhere.

use super::{Cases, Label, Quantity, Span};

/// One value with its unit: `30.9 mm`, `42`, `0.5°`.
pub fn show_value(quantity: Quantity, value: i64) -> String {
    let (size, unit) = quantity.usual();
    let number = decimal(rounded(quantity, value), size);
    match unit {
        "" => number,
        "°" => format!("{number}°"),
        _ => format!("{number} {unit}"),
    }
}

/// Ratios come of published figures of two digits; more than three places would be a pretence. A
/// pressure in pounds comes to no round number of bar; a gauge shows two places.
fn rounded(quantity: Quantity, value: i64) -> i64 {
    let to = |step: i64| {
        let half = value.saturating_add(step / 2);
        half.div_euclid(step).saturating_mul(step)
    };
    match quantity {
        Quantity::Ratio => to(1_000),
        Quantity::Pressure => to(10_000_000),
        _ => value,
    }
}

fn decimal(value: i64, size: i64) -> String {
    let sign = if value < 0 { "−" } else { "" };
    let value = value.unsigned_abs();
    let size = size.unsigned_abs().max(1);
    let (whole, rest) = (value / size, value % size);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    // Sizes that are not powers of ten are never the usual unit, so these digits are exact.
    let digits = size.to_string().len() - 1;
    let fraction = format!("{rest:0digits$}");
    format!("{sign}{whole}.{}", fraction.trim_end_matches('0'))
}

/// A span: `31.6 mm`, `30.75 to 31.05 mm`, `at least 34`.
pub fn show_span(quantity: Quantity, span: Span) -> String {
    match (span.low, span.high) {
        (Span::LEAST, Span::MOST) => "any".to_owned(),
        (Span::LEAST, high) => format!("at most {}", show_value(quantity, high)),
        (low, Span::MOST) => format!("at least {}", show_value(quantity, low)),
        (low, high) if low == high => show_value(quantity, low),
        (low, high) => {
            let (size, unit) = quantity.usual();
            let unit = if unit.is_empty() || unit == "°" {
                unit.to_owned()
            } else {
                format!(" {unit}")
            };
            format!(
                "{} to {}{unit}",
                decimal(rounded(quantity, low), size),
                decimal(rounded(quantity, high), size)
            )
        }
    }
}

/// Cases joined by "or"; `name` gives the text of a name.
pub fn show_cases(quantity: Quantity, cases: &Cases, name: impl Fn(Label) -> String) -> String {
    let shown: Vec<String> = match cases {
        Cases::Numbers(spans) => spans
            .iter()
            .map(|span| show_span(quantity, *span))
            .collect(),
        Cases::Names(labels) => labels.iter().map(|label| name(*label)).collect(),
    };
    shown.join(" or ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pounds_are_shown_as_bar_to_two_places() {
        let span = crate::dim::read_span(Quantity::Pressure, "72.5 psi").unwrap();
        assert_eq!(show_span(Quantity::Pressure, span), "5 bar");
        let span = crate::dim::read_span(Quantity::Pressure, "80 psi").unwrap();
        assert_eq!(show_span(Quantity::Pressure, span), "5.52 bar");
    }

    #[test]
    fn values_are_shown_in_their_usual_unit() {
        assert_eq!(show_value(Quantity::Length, 30_900_000), "30.9 mm");
        assert_eq!(show_value(Quantity::Length, -700_000), "−0.7 mm");
        assert_eq!(show_value(Quantity::Length, 28_575_000), "28.575 mm");
        assert_eq!(show_value(Quantity::Count, 42), "42");
        assert_eq!(show_value(Quantity::Angle, 500_000), "0.5°");
        assert_eq!(show_value(Quantity::Ratio, 1_700_000), "1.7");
    }

    #[test]
    fn spans_say_which_end_is_open() {
        let mm = |a: i64, b: i64| Span {
            low: a * 1_000_000,
            high: b * 1_000_000,
        };
        assert_eq!(show_span(Quantity::Length, mm(3, 5)), "3 to 5 mm");
        assert_eq!(
            show_span(Quantity::Count, Span::at_least(34)),
            "at least 34"
        );
        assert_eq!(show_span(Quantity::Count, Span::at_most(34)), "at most 34");
    }
}
