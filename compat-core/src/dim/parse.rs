//! What a mechanic writes, read exactly.
//!
//! `31.6`, `31,6 mm`, `1-1/8 in`, `1 1/8"`, `30.88 ± 0.02`, `30.75 .. 31.05`, `30.9 or 31.6`,
//! `at least 34`, `?`, and `27.2, measured 27.16 .. 27.30` for what is marked and what is so.

use super::{Quantity, Span};

/// Why a text could not be read as a dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// What is wrong, in words.
    pub message: String,
}

impl Unreadable {
    fn new(message: impl Into<String>) -> Self {
        Unreadable {
            message: message.into(),
        }
    }
}

/// What is stated and what is measured, each with its cases; `None` for what is not said.
pub type Said = (Option<Vec<Span>>, Option<Vec<Span>>);

/// The largest number read, in the small unit: 100 m of length and as much of the others.
const LARGEST: i64 = 100_000_000_000;

/// Reads a dimension as written, of a given quantity.
pub fn read(quantity: Quantity, text: &str) -> Result<Said, Unreadable> {
    let mut said: Said = (None, None);
    for side in sides(text) {
        let (measured, body) = side;
        let slot = if measured { &mut said.1 } else { &mut said.0 };
        if slot.is_some() {
            return Err(Unreadable::new("the same thing is said twice"));
        }
        *slot = cases(quantity, body)?;
    }
    Ok(said)
}

/// Splits `27.0, measured 27.2` into its sides; each is (is it measured, its text).
pub(crate) fn sides(text: &str) -> Vec<(bool, &str)> {
    let text = text.trim();
    let part = |text: &'_ str| -> (usize, usize) {
        let trimmed = text.trim_matches([' ', ',', ';']);
        let start = text.len() - text.trim_start_matches([' ', ',', ';']).len();
        (start, start + trimmed.len())
    };
    let mut marks: Vec<(usize, usize, bool)> = Vec::new();
    for (word, measured) in [("measured ", true), ("stated ", false)] {
        marks.extend(
            text.match_indices(word)
                .map(|(at, _)| (at, at + word.len(), measured)),
        );
    }
    marks.sort_unstable();
    let mut sides = Vec::new();
    let mut from = 0;
    let mut measured = false;
    for (at, after, next) in marks.into_iter().chain([(text.len(), text.len(), false)]) {
        let body = text.get(from..at).unwrap_or("");
        let (start, end) = part(body);
        if start < end || (from == 0 && at == text.len()) {
            sides.push((measured, body.get(start..end).unwrap_or("")));
        }
        from = after;
        measured = next;
    }
    sides
}

/// The most cases read of one dimension; more are never told apart when a joint is judged.
const MOST_CASES: usize = 256;

fn cases(quantity: Quantity, text: &str) -> Result<Option<Vec<Span>>, Unreadable> {
    if text == "?" || text.is_empty() {
        return Ok(None);
    }
    let mut spans = Vec::new();
    for case in text.split(" or ") {
        let span = read_span(quantity, case)?;
        if spans.len() >= MOST_CASES {
            return Err(Unreadable::new("more cases than can be told apart"));
        }
        if !spans.contains(&span) {
            spans.push(span);
        }
    }
    Ok(Some(spans))
}

/// Reads one case: a number, a number with a tolerance, a range, or one bound.
pub fn read_span(quantity: Quantity, text: &str) -> Result<Span, Unreadable> {
    let text = text.trim();
    if let Some(rest) = text
        .strip_prefix("at least ")
        .or_else(|| text.strip_prefix("≥"))
    {
        return Ok(Span::at_least(number(quantity, rest, None)?.0));
    }
    if let Some(rest) = text
        .strip_prefix("at most ")
        .or_else(|| text.strip_prefix("≤"))
    {
        return Ok(Span::at_most(number(quantity, rest, None)?.0));
    }
    // Most texts are a number with its unit, and hold none of the signs that are looked for.
    let holds = |sign: u8| text.bytes().any(|byte| byte == sign || !byte.is_ascii());
    let signs: &[&str] = if holds(b'+') {
        &["±", "+-", "+/-"]
    } else {
        &[]
    };
    for sign in signs {
        if let Some((middle, slack)) = text.split_once(*sign) {
            let unit = number(quantity, slack, None)?.1;
            let (value, own) = number(quantity, middle, unit)?;
            let (slack, _) = number(quantity, slack, own)?;
            if slack < 0 {
                return Err(Unreadable::new("a tolerance is not less than nothing"));
            }
            return Ok(Span::between(
                value.saturating_sub(slack),
                value.saturating_add(slack),
            ));
        }
    }
    let dots = text.as_bytes().windows(2).any(|two| two == b"..");
    let ranges: &[&str] = match dots || holds(b't') {
        true => &["..", "…", " to ", "–"],
        false => &[],
    };
    for between in ranges {
        if let Some((low, high)) = text.split_once(*between) {
            let unit = number(quantity, high, None)?.1;
            let (low, _) = number(quantity, low, unit)?;
            let (high, _) = number(quantity, high, None)?;
            if low > high {
                return Err(Unreadable::new(
                    "the range runs from the larger to the smaller",
                ));
            }
            return Ok(Span { low, high });
        }
    }
    Ok(Span::exactly(number(quantity, text, None)?.0))
}

/// Reads a number with an optional unit; gives it in the small unit, and the unit's size if one
/// was written. `unit` is the size meant where none is written.
fn number(
    quantity: Quantity,
    text: &str,
    unit: Option<i64>,
) -> Result<(i64, Option<i64>), Unreadable> {
    let text = text.trim();
    let split = text
        .char_indices()
        .find(|(_, c)| {
            !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '-' | '−' | '+' | ' '))
        })
        .map_or(text.len(), |(at, _)| at);
    let (digits, name) = text.split_at(split);
    if quantity == Quantity::Length && THREADS.contains(&name.trim()) {
        return Ok((pitch(digits.trim())?, None));
    }
    let written = if name.trim().is_empty() {
        None
    } else {
        Some(unit_size(quantity, name.trim())?)
    };
    // Nobody writes millimetres as `1-1/8`: a bare fraction of a length is one of an inch.
    let inches = quantity == Quantity::Length && digits.contains('/');
    let written = written.or(unit.is_none().then_some(INCH).filter(|_| inches));
    let size = written.or(unit).unwrap_or(quantity.usual().0);
    let (top, bottom) = fraction(digits.trim())?;
    let top = top.checked_mul(i128::from(size)).ok_or_else(too_large)?;
    if top % bottom != 0 {
        return Err(Unreadable::new(if quantity == Quantity::Count {
            "a count is a whole number"
        } else {
            "finer than can be held exactly"
        }));
    }
    let value = i64::try_from(top / bottom).map_err(|_| too_large())?;
    if value.abs() > LARGEST {
        return Err(too_large());
    }
    Ok((value, written))
}

/// An inch, in nanometres.
const INCH: i64 = 25_400_000;

/// What stands behind a number of threads to the inch.
const THREADS: &[&str] = &["tpi", "TPI", "threads per inch"];

/// The pitch of so many threads to the inch, to the nearest nanometre.
fn pitch(text: &str) -> Result<i64, Unreadable> {
    let (top, bottom) = fraction(text)?;
    if top <= 0 {
        return Err(Unreadable::new("an inch has more threads than none"));
    }
    let nanometres = (i128::from(INCH) * bottom * 2 + top) / (top * 2);
    i64::try_from(nanometres).map_err(|_| too_large())
}

fn too_large() -> Unreadable {
    Unreadable::new("too large to be a dimension of a bicycle part")
}

fn unit_size(quantity: Quantity, name: &str) -> Result<i64, Unreadable> {
    let units = quantity.units();
    let found = units.iter().find(|unit| {
        unit.names
            .iter()
            .any(|known| *known == name || known.eq_ignore_ascii_case(name) && name.len() > 1)
    });
    found.map(|unit| unit.size).ok_or_else(|| {
        let known: Vec<&str> = units
            .iter()
            .filter_map(|unit| unit.names.iter().find(|name| !name.is_empty()))
            .copied()
            .collect();
        let kind = quantity.word();
        Unreadable::new(match known.as_slice() {
            [] => format!("`{name}` is no unit of a {kind}, which has none"),
            _ => format!(
                "`{name}` is no unit of a {kind}; known are {}",
                known.join(", ")
            ),
        })
    })
}

/// Reads `1.125`, `1,125`, `9/8`, `1-1/8`, `1 1/8`, `-0.04` as a fraction.
fn fraction(text: &str) -> Result<(i128, i128), Unreadable> {
    let unreadable = || Unreadable::new(format!("`{text}` is no number"));
    let (sign, body) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    if body.is_empty() || body.len() > 24 {
        return Err(unreadable());
    }
    if let Some((front, bottom)) = body.split_once('/') {
        let (whole, top) = match front.trim().rsplit_once(['-', ' ']) {
            Some((whole, top)) => (digits(whole.trim()).ok_or_else(unreadable)?, top),
            None => (0, front),
        };
        let top = digits(top.trim()).ok_or_else(unreadable)?;
        let bottom = digits(bottom.trim()).ok_or_else(unreadable)?;
        if bottom == 0 {
            return Err(Unreadable::new("nothing can be divided by zero"));
        }
        let top = whole
            .checked_mul(bottom)
            .and_then(|part| part.checked_add(top))
            .ok_or_else(too_large)?;
        return Ok((sign * top, bottom));
    }
    let (whole, part) = body.split_once(['.', ',']).unwrap_or((body, ""));
    if whole.is_empty() && part.is_empty() {
        return Err(unreadable());
    }
    let mut top = if whole.is_empty() {
        0
    } else {
        digits(whole).ok_or_else(unreadable)?
    };
    let mut bottom: i128 = 1;
    for c in part.chars() {
        let digit = c.to_digit(10).ok_or_else(unreadable)?;
        top = top
            .checked_mul(10)
            .and_then(|top| top.checked_add(i128::from(digit)))
            .ok_or_else(too_large)?;
        bottom = bottom.checked_mul(10).ok_or_else(too_large)?;
    }
    Ok((sign * top, bottom))
}

fn digits(text: &str) -> Option<i128> {
    (!text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit()))
        .then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> Result<Span, String> {
        read_span(Quantity::Length, text).map_err(|wrong| wrong.message)
    }

    #[test]
    fn lengths_as_mechanics_write_them() {
        for (text, nanometres) in [
            ("31.6", 31_600_000),
            ("31,6 mm", 31_600_000),
            ("28.6mm", 28_600_000),
            (" 27.2 ", 27_200_000),
            ("1-1/8 in", 28_575_000),
            ("1-1/8", 28_575_000),
            ("9/16", 14_287_500),
            ("1 1/2", 38_100_000),
            ("1 1/8\"", 28_575_000),
            ("9/8 in", 28_575_000),
            ("1.065 in", 27_051_000),
            ("1/64 in", 396_875),
            ("2 cm", 20_000_000),
            (".5", 500_000),
            ("-0.04 mm", -40_000),
        ] {
            assert_eq!(mm(text), Ok(Span::exactly(nanometres)), "{text}");
        }
    }

    #[test]
    fn tolerances_ranges_and_bounds() {
        assert_eq!(
            mm("30.88 ± 0.02"),
            Ok(Span::between(30_860_000, 30_900_000))
        );
        assert_eq!(mm("1 ± 1/64 in"), Ok(Span::between(25_003_125, 25_796_875)));
        assert_eq!(
            mm("30.75 .. 31.05"),
            Ok(Span::between(30_750_000, 31_050_000))
        );
        assert_eq!(mm("1 to 2 in"), Ok(Span::between(25_400_000, 50_800_000)));
        assert_eq!(mm("1 .. 1-1/8"), Ok(Span::between(25_400_000, 28_575_000)));
        assert_eq!(mm("at least 80"), Ok(Span::at_least(80_000_000)));
    }

    #[test]
    fn stated_and_measured_are_kept_apart() {
        let (stated, measured) = read(Quantity::Length, "27.0, measured 27.16 .. 27.30").unwrap();
        assert_eq!(stated, Some(vec![Span::exactly(27_000_000)]));
        assert_eq!(measured, Some(vec![Span::between(27_160_000, 27_300_000)]));
        assert_eq!(read(Quantity::Length, "?").unwrap(), (None, None));
        let (stated, _) = read(Quantity::Length, "30,9 or 31,6").unwrap();
        assert_eq!(stated.unwrap().len(), 2);
    }

    #[test]
    fn what_is_no_dimension_is_refused() {
        for text in [
            "",
            "abc",
            "1/0 in",
            "5 Nm",
            "nan",
            "inf",
            "1e9",
            "1/3 in",
            "31.6.2",
            "--3",
            "9 to 3",
            "1/128 in",
            "99999999999999999999999999",
            "5 .. ",
            "± 3",
            "1 2",
        ] {
            assert!(mm(text).is_err(), "{text} was read as {:?}", mm(text));
        }
        assert!(read_span(Quantity::Count, "10.5").is_err());
    }
}
