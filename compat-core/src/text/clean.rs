//! Everything from outside passes here before it is printed.

use std::borrow::Cow;

/// Shows control, bidirectional and invisible characters as escapes; keeps line breaks and tabs.
///
/// ```
/// assert_eq!(compat_core::text::clean("a\u{1b}[31mb\u{202e}c\n"), "a\\u{1b}[31mb\\u{202e}c\n");
/// ```
pub fn clean(text: &str) -> String {
    escape(text, |c| matches!(c, '\n' | '\t'))
}

/// As [`clean`], for text that must stay on one line: line breaks and tabs are shown too.
pub fn clean_line(text: &str) -> String {
    safe_line(text).into_owned()
}

/// As [`clean_line`], without a copy where there is nothing to show.
pub fn safe_line(text: &str) -> Cow<'_, str> {
    if is_plain(text) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(escape(text, |_| false))
}

/// True for plain letters, digits and signs, of which none must be shown otherwise.
pub fn is_plain(text: &str) -> bool {
    is_plain_but(text, &[])
}

/// True where a text is plain but for some bytes.
pub fn is_plain_but<const N: usize>(text: &str, also: &[u8; N]) -> bool {
    // Counted in blocks, which is many times as fast as one by one.
    let plain = |byte: &u8| (b' '..=b'~').contains(byte) || also.contains(byte);
    let whole = |block: &[u8]| block.iter().filter(|byte| plain(byte)).count() == block.len();
    text.as_bytes().chunks(64).all(whole)
}

fn escape(text: &str, keep: impl Fn(char) -> bool) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if hidden(c) && !keep(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// Control characters, line and paragraph separators, direction marks, zero-width characters,
/// tags and the byte-order mark.
fn hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{00ad}' | '\u{034f}' | '\u{061c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_person_types_stays() {
        for text in [
            "27,2 mm ± 0.05",
            "1-1/8 in",
            "Sattelstütze, gekürzt",
            "M12×1.5",
            "シートポスト",
        ] {
            assert_eq!(clean_line(text), text);
        }
    }

    #[test]
    fn what_moves_the_cursor_or_the_reading_order_is_shown() {
        for c in [
            '\u{1b}', '\u{7}', '\r', '\u{9b}', '\u{202e}', '\u{2066}', '\u{200b}', '\u{2028}',
            '\u{7f}',
        ] {
            let shown = clean_line(&format!("a{c}b"));
            assert!(!shown.contains(c), "{shown}");
            assert!(shown.contains("\\u{"), "{shown}");
        }
        assert_eq!(clean_line("a\nb"), "a\\u{a}b");
        assert_eq!(clean("a\nb"), "a\nb");
    }
}
