//! `compat new`: pages to begin with, made from the catalogue, so that they never lag behind it.

use compat_core::Catalog;
use compat_core::bike::STOCK_COLUMNS;
use compat_core::catalog::{Body, RESERVED};
use compat_core::dim::Quantity;
use serde_json::{Map, Value, json};

use super::like;
use crate::args::{New, Page, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, catalog};

/// Writes a page to standard output or to a file that does not exist yet.
pub fn run(wanted: &New, shared: &Shared) -> Result<Answer, Trouble> {
    let catalog = catalog(shared.catalog.as_deref())?;
    let text = match (wanted.page, wanted.like.as_deref()) {
        (Page::Bike, Some(like)) => like::page(catalog, like)?,
        (_, Some(_)) => {
            let message = "--like begins a bike; leave it out for other pages".to_owned();
            return Err(Trouble::Usage(message));
        }
        (page, None) => plain(catalog, page),
    };
    let Some(path) = &wanted.file else {
        return Ok(Answer {
            text,
            aside: String::new(),
            exit: Exit::Fits,
        });
    };
    let write = || -> std::io::Result<()> {
        use std::io::Write;
        std::fs::OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(path)?
            .write_all(text.as_bytes())
    };
    write().map_err(|error| Trouble::File {
        doing: "write",
        path: path.clone(),
        error,
    })?;
    let aside = if shared.quiet {
        String::new()
    } else {
        format!(
            "wrote {}\n",
            compat_core::text::clean_line(&path.display().to_string())
        )
    };
    Ok(Answer {
        text: String::new(),
        aside,
        exit: Exit::Fits,
    })
}

fn plain(catalog: &Catalog, page: Page) -> String {
    match page {
        Page::Bike => bike(catalog),
        Page::Swap => swap(catalog),
        Page::Stock => stock(catalog),
        Page::SchemaBike => schema(catalog, false),
        Page::SchemaSwap => schema(catalog, true),
    }
}

fn bike(catalog: &Catalog) -> String {
    let mut out = String::from(
        "#:schema ./bike.schema.json\n\
         # A bike: the parts fitted, slot by slot, each with the little that is known.\n\
         # Take the # off a line and write what you know; leave the rest. Values may be\n\
         #   \"31.6\"  \"31.6 mm\"  \"1-1/8 in\"  \"30.88 ± 0.02\"  \"30.75 .. 31.05\"  \"30.9 or 31.6\"  \"?\"\n\
         #   \"27.2, measured 27.16\" where the marking and the calliper differ.\n\
         # A table that is there says that the part is fitted, even if nothing more is known.\n\
         # (`compat new schema-bike bike.schema.json` writes the schema named above.)\n\n\
         title = \"\"\n",
    );
    for slot in catalog.slots() {
        let body = catalog.body(slot.kind);
        let hash = if slot.always { "" } else { "# " };
        out.push_str(&format!("\n{hash}[{}]\n", slot.name));
        if !slot.fixed && slot.name != "frame" {
            out.push_str("# name = \"\"\n");
        }
        dimensions(catalog, body, &mut out);
        if !body.complaints.is_empty() {
            let words = body.complaint_words();
            out.push_str(&format!("# complaint = \"\"    # {}\n", words.join(", ")));
        }
    }
    out
}

/// The unit that is meant where none is written.
fn unit(quantity: Quantity) -> String {
    match quantity {
        Quantity::Length => " in mm".to_owned(),
        Quantity::Mass => " in kg".to_owned(),
        Quantity::Percent => " in per cent".to_owned(),
        _ => String::new(),
    }
}

fn dimensions(catalog: &Catalog, body: &Body, out: &mut String) {
    for (name, forms) in body.notations() {
        out.push_str(&format!(
            "# {name} = \"\"    # as {}
",
            forms.join(" or ")
        ));
    }
    for dimension in &body.dimensions {
        let write = match dimension.list.and_then(|list| catalog.lists().get(list)) {
            Some(list) => {
                let names: Vec<&str> = list.names.iter().map(|name| name.name.as_str()).collect();
                format!("; one of {}", names.join(", "))
            }
            None => unit(dimension.quantity),
        };
        out.push_str(&format!(
            "# {} = \"?\"    # {}{write}; {}: {}\n",
            dimension.name,
            dimension.title,
            dimension.access.words(),
            dimension.how
        ));
    }
}

fn swap(catalog: &Catalog) -> String {
    let mut out = String::from(
        "#:schema ./swap.schema.json\n\
         # What is to change, slot by slot: the new part with what is known of it, or the id of a\n\
         # line of stock (then give the list with --stock). Take the # off what you need.\n\n\
         title = \"\"\n\
         # remove = [\"front_derailleur\"]\n\
         # keep = [\"crankset\"]\n",
    );
    for slot in catalog.slots().iter().filter(|slot| !slot.fixed) {
        out.push_str(&format!(
            "\n# [{}]    # or above the first table: {} = \"B001\"\n# name = \"\"\n",
            slot.name, slot.name
        ));
        dimensions(catalog, catalog.body(slot.kind), &mut out);
    }
    out
}

/// A header with the columns of the commonest kinds, and a line of each.
fn stock(catalog: &Catalog) -> String {
    let mut columns: Vec<String> = STOCK_COLUMNS.map(str::to_owned).to_vec();
    let mut kinds: Vec<&str> = Vec::new();
    for slot in catalog.slots().iter().filter(|slot| !slot.fixed) {
        let Some(kind) = catalog.kind(slot.kind) else {
            continue;
        };
        if kinds.contains(&kind.name.as_str()) {
            continue;
        }
        kinds.push(&kind.name);
        let body = catalog.body(slot.kind);
        let names = body
            .shorthands
            .iter()
            .map(|short| &short.name)
            .chain(body.dimensions.iter().map(|dimension| &dimension.name));
        for name in names {
            if !columns.contains(name) {
                columns.push(name.clone());
            }
        }
    }
    let mut out = columns.join(",") + "\n";
    for (number, kind) in kinds.iter().enumerate() {
        out.push_str(&format!(
            "{kind},B{:03},,1{}\n",
            number + 1,
            ",".repeat(columns.len() - 4)
        ));
    }
    out
}

/// A JSON Schema in words that editors of TOML know: those of draft 7 that draft 4 has too.
fn schema(catalog: &Catalog, swap: bool) -> String {
    let mut properties = Map::new();
    properties.insert("title".to_owned(), json!({ "type": "string" }));
    properties.insert("note".to_owned(), json!({ "type": "string" }));
    let looks =
        json!({ "type": "object", "additionalProperties": { "enum": ["yes", "no", true, false] } });
    properties.insert("looked".to_owned(), looks);
    let slots: Vec<&str> = catalog
        .slots()
        .iter()
        .filter(|slot| !slot.fixed)
        .map(|slot| slot.name.as_str())
        .collect();
    if swap {
        for name in ["remove", "keep"] {
            properties.insert(
                name.to_owned(),
                json!({ "type": "array", "items": { "type": "string", "enum": slots } }),
            );
        }
    }
    for slot in catalog.slots().iter().filter(|slot| !swap || !slot.fixed) {
        let part = part_schema(catalog, catalog.body(slot.kind));
        let value = if swap {
            json!({ "anyOf": [part, { "type": "string", "description": "the id of a line of stock" }] })
        } else {
            part
        };
        properties.insert(slot.name.clone(), value);
    }
    let schema = json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": if swap { "a swap set" } else { "a bike" },
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    crate::render::json(&schema)
}

fn part_schema(catalog: &Catalog, body: &Body) -> Value {
    let mut properties = Map::new();
    for name in RESERVED {
        properties.insert((*name).to_owned(), json!({ "type": "string" }));
    }
    if !body.complaints.is_empty() {
        let words = body.complaint_words();
        let one = json!({ "type": "string", "enum": words });
        properties.insert(
            "complaint".to_owned(),
            json!({ "anyOf": [one, { "type": "array", "items": one }] }),
        );
    }
    for (name, forms) in body.notations() {
        let about = format!("as {}", forms.join(" or "));
        properties.insert(
            name.to_owned(),
            json!({ "type": ["string", "number"], "description": about }),
        );
    }
    for dimension in &body.dimensions {
        let names = dimension.list.and_then(|list| catalog.lists().get(list));
        let about = match names {
            Some(list) => {
                let names: Vec<&str> = list.names.iter().map(|name| name.name.as_str()).collect();
                format!("{}; one of {}", dimension.title, names.join(", "))
            }
            None => format!("{}; {}", dimension.title, dimension.how),
        };
        let text = json!({ "type": if dimension.quantity == Quantity::Name { json!(["string"]) } else { json!(["string", "number"]) } });
        let both = json!({ "type": "object", "properties": { "stated": text, "measured": text }, "additionalProperties": false });
        properties.insert(
            dimension.name.clone(),
            json!({ "description": about, "anyOf": [text, both] }),
        );
    }
    json!({ "type": "object", "properties": properties, "additionalProperties": false })
}
