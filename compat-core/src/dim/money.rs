//! Money, in hundredths of whatever the shop counts in.

/// Reads a price: `45`, `45.00`, `1 250,50`, with or without a sign or a word for the money before or
/// behind it.
///
/// # Errors
///
/// What is wrong with it, in words.
pub fn read_money(text: &str) -> Result<i64, String> {
    match plainly(text) {
        Some(hundredths) => Ok(hundredths),
        None => read_with_words(text),
    }
}

/// Reads `45`, `45.5` or `45.50`, as most are written.
fn plainly(text: &str) -> Option<i64> {
    let mut number: i64 = 0;
    let mut behind: Option<u32> = None;
    let bytes = text.as_bytes();
    if bytes.len() > 9 || !bytes.first()?.is_ascii_digit() {
        return None;
    }
    for byte in bytes {
        match byte {
            b'0'..=b'9' => {
                number = number * 10 + i64::from(byte - b'0');
                behind = behind.map(|digits| digits + 1);
            }
            b'.' | b',' if behind.is_none() => behind = Some(0),
            _ => return None,
        }
    }
    match behind {
        None => Some(number * 100),
        Some(1) => Some(number * 10),
        Some(2) => Some(number),
        _ => None,
    }
}

fn read_with_words(text: &str) -> Result<i64, String> {
    let unreadable = || format!("`{text}` is no price");
    let outside = |c: char| !(c.is_ascii_digit() || matches!(c, '-' | '−' | '.' | ','));
    let body = text.trim().trim_matches(outside);
    if body.starts_with(['-', '−']) {
        return Err(format!("`{text}`: a price is not less than nothing"));
    }
    let digits: String = body
        .chars()
        .filter(|c| !matches!(c, ' ' | '\u{a0}' | '\''))
        .collect();
    let (whole, part) = digits.rsplit_once(['.', ',']).unwrap_or((&digits, ""));
    let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || !plain(whole) || !plain(part) {
        return Err(unreadable());
    }
    let hundredths = match part.len() {
        0 => 0,
        1 => part.parse::<i64>().map_err(|_| unreadable())? * 10,
        2 => part.parse::<i64>().map_err(|_| unreadable())?,
        _ => {
            return Err(format!(
                "`{text}`: a price has at most two digits behind the point"
            ));
        }
    };
    let whole: i64 = whole.parse().map_err(|_| unreadable())?;
    if whole > 1_000_000_000 {
        return Err(format!("`{text}` is too much for a price"));
    }
    Ok(whole * 100 + hundredths)
}

/// Money as the reports write it: `45.00`.
pub fn show_money(hundredths: i64) -> String {
    let sign = if hundredths < 0 { "−" } else { "" };
    let amount = hundredths.unsigned_abs();
    format!("{sign}{}.{:02}", amount / 100, amount % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_as_shops_write_them() {
        for (text, hundredths) in [
            ("45", 4_500),
            ("45.5", 4_550),
            ("45,50", 4_550),
            (" 45.00 EUR", 4_500),
            ("€ 1 250,50", 125_050),
            ("0", 0),
        ] {
            assert_eq!(read_money(text), Ok(hundredths), "{text}");
        }
        assert_eq!(show_money(125_050), "1250.50");
        assert_eq!(show_money(-5), "−0.05");
    }

    #[test]
    fn a_plain_price_is_read_like_any_other() {
        for text in [
            "45",
            "45.5",
            "45,50",
            "0",
            "0.05",
            "007.10",
            "123456789",
            "45.",
            "4.5.1",
        ] {
            assert_eq!(read_money(text), read_with_words(text), "{text}");
        }
    }

    #[test]
    fn what_is_no_price_is_refused() {
        for text in [
            "",
            "abc",
            "-3",
            "1.234",
            "1.2.3",
            "4x5",
            "99999999999999999999",
            ".",
        ] {
            assert!(read_money(text).is_err(), "{text}");
        }
    }
}
