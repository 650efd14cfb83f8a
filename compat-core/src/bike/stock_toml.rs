//! The parts bin as TOML: one `[[part]]` after the other.

use super::condition::odd_condition;
use super::ids::twice;
use super::makes::Maker;
use super::stock::{Line, STOCK_COLUMNS, Stock, sound_price};
use super::taken::kind_number;
use crate::catalog::{Catalog, PartReader};
use crate::text::{Fault, FaultKind, Faults, Files, Is, Key, Node, Place, Texts};

/// Reads stock as TOML: one `[[part]]` after the other.
pub(super) fn read(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: &[u8],
    priced: bool,
) -> Result<Stock, Faults> {
    let mut texts = Texts::new(files);
    let read = texts.toml(name, bytes);
    let mut faults = texts.faults;
    let mut stock = Stock::default();
    let Some((file, root)) = read else {
        return faults.or(stock);
    };
    stock.file = file;
    let mut maker = Maker::new(catalog, file);
    for (key, node) in root.rows() {
        let parts = match (&node.is, &*key.name) {
            (Is::List(items), "part") => items.as_slice(),
            _ => {
                let place = Place { file, at: key.at };
                let message = format!(
                    "`{}` means nothing here; parts stand under `[[part]]`",
                    key.name
                );
                faults.push(
                    Fault::new(place, FaultKind::UnknownName, &key.name, message)
                        .near(Some("part")),
                );
                continue;
            }
        };
        for item in parts {
            part(catalog, &mut maker, &mut stock, item, priced, &mut faults);
        }
    }
    stock.makes = maker.makes;
    twice(&stock, &mut faults);
    faults.or(stock)
}

fn part(
    catalog: &Catalog,
    maker: &mut Maker<'_>,
    stock: &mut Stock,
    item: &Node,
    priced: bool,
    faults: &mut Faults,
) {
    let here = Place {
        file: stock.file,
        at: item.at,
    };
    let (own, rest): (Vec<_>, Vec<_>) = item
        .rows()
        .iter()
        .partition(|(key, _)| STOCK_COLUMNS.contains(&&*key.name));
    let text = |name: &str| {
        own.iter()
            .find(|(key, _)| key.name == name)
            .and_then(|(_, node)| node.as_written())
            .unwrap_or_default()
    };
    if !matches!(item.is, Is::Table(_)) {
        faults.push(Fault::new(
            here,
            FaultKind::WrongKind,
            "",
            format!("{} where a part should stand", item.kind()),
        ));
        return;
    }
    for (key, node) in own.iter().filter(|(_, node)| node.as_written().is_none()) {
        let file = stock.file;
        let message = format!("{} where text or a number should stand", node.kind());
        let fault = Fault::new(
            Place { file, at: node.at },
            FaultKind::WrongKind,
            &key.name,
            message,
        );
        faults.push(fault);
    }
    let place = own
        .iter()
        .find(|(key, _)| key.name == "kind")
        .map_or(here, |(_, node)| Place {
            file: stock.file,
            at: node.at,
        });
    let Some(kind) = kind_number(catalog, &text("kind"), place, faults) else {
        return;
    };
    let rows: Vec<(&Key, &Node)> = rest.into_iter().map(|(key, node)| (key, node)).collect();
    let made = PartReader::new(catalog, kind, here).table(stock.file, &rows, faults);
    let part = PartReader::conditioned(catalog, made, &text("condition"), place, faults);
    stock.warn(odd_condition(&text("condition"), place));
    let count = text("quantity");
    let quantity = if count.is_empty() {
        Some(1)
    } else {
        count.parse().ok()
    };
    if quantity.is_none() {
        faults.push(Fault::new(
            here,
            FaultKind::BadValue,
            &count,
            format!("`{count}` is no quantity"),
        ));
    }
    let file = stock.file;
    let at = || {
        let cell = own.iter().find(|(key, _)| key.name == "price");
        let at = cell.map_or(item.at, |(_, node)| node.at);
        Place { file, at }
    };
    let amount = match priced {
        true => sound_price(&text("price"), at, faults),
        false => None,
    };
    let id = text("id");
    let id = if id.is_empty() {
        format!("line {}", here.at.line)
    } else {
        id
    };
    let line = Line {
        id: stock.keep(&id),
        name: stock.keep(&text("name")),
        quantity: quantity.unwrap_or(0),
        counted: !count.is_empty(),
        price: stock.keep(&text("price")),
        amount,
        place: stock.keep(&text("place")),
        condition: stock.keep(&text("condition")),
        line: here.at.line,
        make: maker.put(part),
    };
    stock.lines.push(line);
}
