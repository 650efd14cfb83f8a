//! Why the program could not run: every fault with its line.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use compat_core::Files;
use compat_core::text::{Fault, clean_line};

use crate::input::Trouble;

/// The trouble as text.
pub fn show(trouble: &Trouble) -> String {
    match trouble {
        Trouble::Faults { files, faults } => {
            let mut out: String = faults
                .0
                .iter()
                .map(|fault| show_fault(files, fault))
                .collect();
            let count = faults.0.len();
            out.push_str(&format!(
                "compat: {count} {}; nothing was done\n",
                if count == 1 { "fault" } else { "faults" }
            ));
            out
        }
        other => format!("compat: {other}\n"),
    }
}

fn show_fault(files: &Files, fault: &Fault) -> String {
    let mut label = String::new();
    if let Some(nearest) = &fault.nearest {
        label = format!("nearest: `{}`", clean_line(nearest));
    }
    if let Some(hint) = &fault.hint {
        label = if label.is_empty() {
            clean_line(hint)
        } else {
            format!("{label}; {}", clean_line(hint))
        };
    }
    let message = clean_line(&fault.message);
    let Some(line) = files.line(fault.place) else {
        let label = if label.is_empty() {
            label
        } else {
            format!("; {label}")
        };
        return format!("error: {}: {message}{label}\n\n", files.show(fault.place));
    };
    let (shown, start, end) = marked(line, fault);
    let path = clean_line(files.name(fault.place.file));
    let mut annotation = AnnotationKind::Primary.span(start..end);
    if !label.is_empty() {
        annotation = annotation.label(label);
    }
    let number = usize::try_from(fault.place.at.line).unwrap_or(1);
    // A line is not always shown as it stands in the file, which is where the fault is.
    let stands = format!("{path}:{number}:{}", fault.place.at.column);
    let before = shown.get(..start).unwrap_or("").chars().count();
    let counted = format!("{path}:{number}:{}", before + 1);
    let snippet = Snippet::source(shown)
        .line_start(number)
        .path(path)
        .annotation(annotation);
    let report = [Level::ERROR.primary_title(message).element(snippet)];
    let report = Renderer::styled().render(&report);
    report.replacen(&counted, &stands, 1) + "\n\n"
}

/// The line made safe to print, and where in it the fault begins and ends.
fn marked(line: &str, fault: &Fault) -> (String, usize, usize) {
    let column = usize::try_from(fault.place.at.column)
        .unwrap_or(1)
        .saturating_sub(1);
    let from = line
        .char_indices()
        .nth(column)
        .map_or(line.len(), |(at, _)| at);
    let length = usize::try_from(fault.place.at.length).unwrap_or(1);
    let mut to = (from + length).min(line.len());
    while to < line.len() && !line.is_char_boundary(to) {
        to += 1;
    }
    // What a tab divides is told apart by a blank.
    let safe = |text: Option<&str>| clean_line(&text.unwrap_or("").replace('\t', " "));
    let before = safe(line.get(..from));
    let marked = safe(line.get(from..to));
    let after = safe(line.get(to..));
    // A very long line is cut to what is near the fault.
    let cut = |text: &str, most: usize| -> String { text.chars().take(most).collect() };
    let before = if before.chars().count() > 200 {
        format!(
            "…{}",
            before
                .chars()
                .rev()
                .take(60)
                .collect::<Vec<_>>()
                .into_iter()
                .rev()
                .collect::<String>()
        )
    } else {
        before
    };
    let marked = if marked.chars().count() > 200 {
        cut(&marked, 200)
    } else {
        marked
    };
    let after = cut(&after, 200);
    let start = before.len();
    let end = start + marked.len();
    (format!("{before}{marked}{after}"), start, end)
}
