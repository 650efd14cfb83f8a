//! An audit as text: a line of stock a line, best first.

use compat_core::explain::count;
use compat_core::report::{AuditLine, AuditReport};

use super::layout::{dim, entry, heading, line, verdict};

/// The report.
pub fn show(report: &AuditReport) -> String {
    let bike = if report.bike.is_empty() {
        "bike"
    } else {
        &report.bike
    };
    let mut out = line(
        0,
        2,
        &heading(&format!(
            "{bike}: {}",
            count(report.lines.len(), "line of stock", "lines of stock")
        )),
    );
    let mut last = "";
    for stock in &report.lines {
        let best = stock.slots.first().map_or("no slot", |slot| slot.verdict);
        if best != last {
            out.push_str(&format!("\n{}\n", verdict(best)));
            last = best;
        }
        out.push_str(&show_line(stock));
    }
    out
}

fn show_line(stock: &AuditLine) -> String {
    let name = if stock.name.is_empty() {
        stock.kind.replace('_', " ")
    } else {
        stock.name.to_string()
    };
    let mut where_from = Vec::new();
    if stock.quantity != 1 {
        where_from.push(format!("{} of them", stock.quantity));
    }
    if !stock.place.is_empty() {
        where_from.push(stock.place.to_string());
    }
    let where_from = if where_from.is_empty() {
        String::new()
    } else {
        format!(" ({})", where_from.join(", "))
    };
    let mut out = String::new();
    for (index, slot) in stock.slots.iter().enumerate() {
        let head = format!("{} {name}{where_from}", stock.id);
        let code = if slot.code.is_empty() {
            String::new()
        } else {
            format!(" {}", dim(&format!("[{}]", slot.code)))
        };
        let words = if index == 0 {
            String::new()
        } else {
            format!("{}: ", slot.verdict)
        };
        let text = format!(
            "{head} → {}: {words}{}{code}",
            slot.slot.replace('_', " "),
            slot.reason
        );
        out.push_str(&entry(2, 6, &text));
    }
    if stock.slots.is_empty() {
        out.push_str(&entry(
            2,
            6,
            &format!("{} {name}{where_from}: goes to no slot by itself", stock.id),
        ));
    }
    out
}
