//! Lines: wrapped to the terminal where there is one. In a pipe or a file prose is wrapped to a page
//! of its own width; a line that says which thing comes out how stays whole there, so that a search
//! finds verdict, parts and code together.

use std::io::IsTerminal;

use anstyle::{AnsiColor, Color, Style};
use unicode_width::UnicodeWidthStr;

/// The width of prose where there is no terminal.
const PAGE: usize = 100;

/// The width of the terminal; nothing where the answer goes to a pipe or a file.
pub fn width() -> Option<usize> {
    if !std::io::stdout().is_terminal() {
        return None;
    }
    terminal_size::terminal_size().map(|(width, _)| usize::from(width.0).clamp(40, 120))
}

/// Prose with a hanging indent.
pub fn line(indent: usize, hang: usize, text: &str) -> String {
    wrap(indent, hang, text, Some(width().unwrap_or(PAGE)))
}

/// A line that others look for: which joint, part or question it is and how it comes out.
pub fn entry(indent: usize, hang: usize, text: &str) -> String {
    wrap(indent, hang, text, width())
}

/// Wraps a text at blanks.
pub fn wrap(indent: usize, hang: usize, text: &str, width: Option<usize>) -> String {
    let mut out = " ".repeat(indent);
    let mut used = indent;
    let mut first = true;
    for word in text.split(' ') {
        let length = visible(word);
        let room = width.is_none_or(|width| used + 1 + length <= width);
        if first {
            used += length;
        } else if room {
            out.push(' ');
            used += 1 + length;
        } else {
            out.push('\n');
            out.push_str(&" ".repeat(hang));
            used = hang + length;
        }
        out.push_str(word);
        first = false;
    }
    out.push('\n');
    out
}

/// The width a word takes on the screen, its colour not counted.
fn visible(word: &str) -> usize {
    anstream::adapter::strip_str(word).to_string().width()
}

/// A verdict. The words carry it; bold and colour only help, and the colours are of a set made to
/// be told apart by people who see few (Okabe and Ito, 2008), in the nearest of 256.
pub fn verdict(words: &str) -> String {
    let color = match words {
        "does not fit" => Color::Ansi256(anstyle::Ansi256Color(166)),
        "measure first" => Color::Ansi256(anstyle::Ansi256Color(74)),
        "fits with" => Color::Ansi256(anstyle::Ansi256Color(178)),
        _ => Color::Ansi256(anstyle::Ansi256Color(36)),
    };
    paint(words, Style::new().bold().fg_color(Some(color)))
}

/// A heading.
pub fn heading(text: &str) -> String {
    paint(text, Style::new().bold())
}

/// What matters less.
pub fn dim(text: &str) -> String {
    paint(
        text,
        Style::new().fg_color(Some(Color::Ansi(AnsiColor::BrightBlack))),
    )
}

/// Each word by itself, so that a line can be broken between them.
fn paint(text: &str, style: Style) -> String {
    text.split(' ')
        .map(|word| format!("{style}{word}{style:#}"))
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_wrapped_at_blanks_and_hang() {
        let text = wrap(0, 4, "one two three four", Some(9));
        assert_eq!(text, "one two\n    three\n    four\n");
        assert_eq!(
            wrap(2, 4, "one two three four", None),
            "  one two three four\n"
        );
    }
}
