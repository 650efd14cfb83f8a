//! `compat new`: pages to begin with, made from the catalogue, so that they never lag behind it.

use compat_core::Catalog;
use compat_core::bike::STOCK_COLUMNS;
use compat_core::catalog::{Body, Labour, List, RESERVED, Slot};
use compat_core::dim::{Quantity, show_money};
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
        Page::Wishes => wishes(catalog),
        Page::Labour => labour(catalog),
        Page::SchemaBike => schema(catalog, Schema::Bike),
        Page::SchemaSwap => schema(catalog, Schema::Swap),
        Page::SchemaWishes => schema(catalog, Schema::Wishes),
        Page::SchemaLabour => labour_schema(catalog),
    }
}

fn bike(catalog: &Catalog) -> String {
    let mut out = String::from(
        "#:schema ./bike.schema.json\n\
         # A bike: the parts fitted, slot by slot, each with the little that is known.\n\
         # Take the # off a line and write what you know; leave the rest. Values may be\n\
         #   \"31.6\"  \"31.6 mm\"  \"1-1/8\"  \"30.88 ± 0.02\"  \"30.75 .. 31.05\"  \"30.9 or 31.6\"  \"?\"\n\
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

fn names_of(list: &List) -> String {
    let names: Vec<&str> = list.names.iter().map(|name| name.name.as_str()).collect();
    names.join(", ")
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
    for (name, _) in body.notations() {
        out.push_str(&format!(
            "# {name} = \"\"    # as {}\n",
            body.some_forms(name)
        ));
    }
    for dimension in &body.dimensions {
        let write = match dimension.list.and_then(|list| catalog.lists().get(list)) {
            Some(list) => format!("; one of {}", names_of(list)),
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
         # line of stock (then give the list with --stock). Take the # off what you need.\n\
         # A part of the same make, model and size as the one that is fitted: same_as_fitted = true\n\n\
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

fn wishes(catalog: &Catalog) -> String {
    let mut out = String::from(
        "#:schema ./wishes.schema.json\n\
         # What a plan must come to: slot by slot what is wanted of the part that is there in the end,\n\
         # whether it is there now, lies in the bin or is bought. Take the # off what you need.\n\
         #   \"at least 46\"  \"at most 30\"  \"150 .. 170\"  \"30.9 or 31.6\"  12\n\
         # (`compat new schema-wishes wishes.schema.json` writes the schema named above.)\n\n\
         title = \"\"\n\
         # budget = 300                    # the most it may cost, parts and work\n\
         # keep = [\"rear_hub\"]             # these stay as they are\n\
         # change = [\"chain\"]              # these get another part, whatever it is\n\
         # remove = [\"front_derailleur\"]   # these come off\n\
         # may_go = [\"front_derailleur\"]   # these may come off, where that helps\n",
    );
    let changes = |slot: &&Slot| !slot.fixed && !slot.no_part;
    for slot in catalog.slots().iter().filter(changes) {
        out.push_str(&format!("\n# [{}]\n", slot.name));
        let body = catalog.body(slot.kind);
        for (name, _) in body.notations() {
            out.push_str(&format!(
                "# {name} = \"?\"    # as {}\n",
                body.some_forms(name)
            ));
        }
        for dimension in &body.dimensions {
            let names = dimension.list.and_then(|list| catalog.lists().get(list));
            let write = match names {
                Some(list) => format!("; one of {}", names_of(list)),
                None => unit(dimension.quantity),
            };
            let (name, title) = (&dimension.name, &dimension.title);
            out.push_str(&format!("# {name} = \"?\"    # {title}{write}\n"));
        }
    }
    out
}

fn labour(catalog: &Catalog) -> String {
    let usual = Labour::usual(catalog);
    let mut out = format!(
        "#:schema ./labour.schema.json\n\
         # What the work costs in this shop. What stands behind a # is taken where nothing else is\n\
         # said; take the # off and write your own.\n\
         # (`compat new schema-labour labour.schema.json` writes the schema named above.)\n\n\
         # hour = {}      # an hour at the bench\n\
         # adaptor = {}   # a shim or another adaptor that no list has a price for\n\
         # other = {}         # minutes for a part that is not named below\n\n\
         [minutes]\n",
        show_money(usual.hour()),
        show_money(usual.adaptor),
        usual.other(),
    );
    let changes = |(_, slot): &(usize, &Slot)| !slot.fixed && !slot.no_part;
    for (number, slot) in catalog.slots().iter().enumerate().filter(changes) {
        out.push_str(&format!("# {} = {}\n", slot.name, usual.minutes(number)));
    }
    out
}

fn labour_schema(catalog: &Catalog) -> String {
    let money = json!({ "type": ["string", "number"], "minimum": 0 });
    let minutes = json!({ "type": "integer", "minimum": 0, "maximum": 10000 });
    let slots = catalog.slots().iter();
    let slots: Map<String, Value> = slots
        .filter(|slot| !slot.fixed && !slot.no_part)
        .map(|slot| (slot.name.to_string(), minutes.clone()))
        .collect();
    let text = json!({ "type": "string" });
    crate::render::json(&json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "what the work costs",
        "type": "object",
        "properties": {
            "note": text,
            "grade": text,
            "hour": money,
            "adaptor": money,
            "other": minutes,
            "minutes": { "type": "object", "properties": slots, "additionalProperties": false },
        },
        "additionalProperties": false,
    }))
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
            if !columns.iter().any(|known| name == known) {
                columns.push(name.to_string());
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

/// The pages a schema is of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Schema {
    Bike,
    Swap,
    Wishes,
}

/// A JSON Schema in words that editors of TOML know: those of draft 7 that draft 4 has too.
fn schema(catalog: &Catalog, of: Schema) -> String {
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
    let lists: &[&str] = match of {
        Schema::Bike => &[],
        Schema::Swap => &["remove", "keep"],
        Schema::Wishes => &["keep", "change", "remove", "may_go"],
    };
    if of == Schema::Wishes {
        let budget = json!({ "type": ["string", "number"], "minimum": 0 });
        properties.insert("budget".to_owned(), budget);
    }
    {
        for name in lists {
            properties.insert(
                (*name).to_owned(),
                json!({ "type": "array", "items": { "type": "string", "enum": slots } }),
            );
        }
    }
    for slot in catalog
        .slots()
        .iter()
        .filter(|slot| of == Schema::Bike || !slot.fixed)
    {
        let part = part_schema(catalog, catalog.body(slot.kind), of);
        let value = if of == Schema::Swap {
            json!({ "anyOf": [part, { "type": "string", "description": "the id of a line of stock" }] })
        } else {
            part
        };
        properties.insert(slot.name.to_string(), value);
    }
    let schema = json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": match of {
            Schema::Bike => "a bike",
            Schema::Swap => "a swap set",
            Schema::Wishes => "wishes for a plan",
        },
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    crate::render::json(&schema)
}

fn part_schema(catalog: &Catalog, body: &Body, of: Schema) -> Value {
    let mut properties = Map::new();
    // What is wanted of a part is its dimensions.
    let about = RESERVED
        .iter()
        .filter(|name| of != Schema::Wishes || **name == "note");
    for name in about {
        properties.insert((*name).to_owned(), json!({ "type": "string" }));
    }
    if of == Schema::Swap {
        let about = "of the same make, model and size as the part that is fitted";
        properties.insert(
            "same_as_fitted".to_owned(),
            json!({ "type": "boolean", "description": about }),
        );
    }
    if !body.complaints.is_empty() && of != Schema::Wishes {
        let words = body.complaint_words();
        let one = json!({ "type": "string", "enum": words });
        properties.insert(
            "complaint".to_owned(),
            json!({ "anyOf": [one, { "type": "array", "items": one }] }),
        );
    }
    for (name, _) in body.notations() {
        let about = format!("as {}", body.some_forms(name));
        properties.insert(
            name.to_owned(),
            json!({ "type": ["string", "number"], "description": about }),
        );
    }
    for dimension in &body.dimensions {
        let names = dimension.list.and_then(|list| catalog.lists().get(list));
        let about = match names {
            Some(list) => format!("{}; one of {}", dimension.title, names_of(list)),
            None => format!("{}; {}", dimension.title, dimension.how),
        };
        let text = json!({ "type": if dimension.quantity == Quantity::Name { json!(["string"]) } else { json!(["string", "number"]) } });
        let both = json!({ "type": "object", "properties": { "stated": text, "measured": text }, "additionalProperties": false });
        properties.insert(
            dimension.name.to_string(),
            json!({ "description": about, "anyOf": [text, both] }),
        );
    }
    json!({ "type": "object", "properties": properties, "additionalProperties": false })
}
