//! `compat new bike --like KIND`: a page with what such a bike has and nothing taken as known, in the
//! order in which one gets at it.

use compat_core::Catalog;
use compat_core::catalog::{Access, Body, Dimension, Like};
use compat_core::dim::Quantity;
use compat_core::text::nearest;

use crate::input::Trouble;

/// The order of the page, and what stands over each part of it: nothing is taken off before
/// everything was read that can be had without.
const ORDER: &[(Access, &str)] = &[
    (Access::Assembled, "On the assembled bike"),
    (Access::Asked, "From papers, markings and people"),
    (Access::WheelOut, "With a wheel out"),
    (Access::PartOff, "With the part off the bike"),
    (Access::Stripped, "With the bike stripped"),
];

/// The page for a kind of bike.
pub fn page(catalog: &Catalog, wanted: &str) -> Result<String, Trouble> {
    let likes = catalog.likes();
    match likes.iter().find(|like| like.name == wanted) {
        Some(like) => Ok(write(catalog, like)),
        None => Err(unknown(&likes, wanted)),
    }
}

fn unknown(likes: &[Like], wanted: &str) -> Trouble {
    let names: Vec<&str> = likes.iter().map(|like| like.name.as_str()).collect();
    let near = nearest(wanted, names.iter().copied());
    let near = near.map_or(String::new(), |near| format!("; nearest: `{near}`"));
    let wanted = compat_core::text::clean_line(wanted);
    Trouble::Usage(format!(
        "`{wanted}` is no kind of bike to begin with; there are {}{near}",
        names.join(", ")
    ))
}

fn write(catalog: &Catalog, like: &Like) -> String {
    let mut out = format!(
        "#:schema ./bike.schema.json\n\
         # A bike like this: {}. Nothing is taken as known:\n\
         # take the # off a line and write what you know; leave the rest. Values may be\n\
         #   \"31.6\"  \"31.6 mm\"  \"1-1/8\"  \"30.88 ± 0.02\"  \"30.75 .. 31.05\"  \"30.9 or 31.6\"  \"?\"\n\
         #   \"27.2, measured 27.16\" where the marking and the calliper differ.\n\
         # A line about a part says that the part is fitted, even if its value is \"?\".\n\
         # What a swap set decides is told by `compat measure`; the rest can stay as it is.\n\
         # Other parts and dimensions: `compat new bike`.\n\n\
         # title = \"\"\n",
        like.title
    );
    out.push_str("\n# --- First\n");
    for (slot, name) in &like.start {
        let Some((place, body)) = place(catalog, *slot) else {
            continue;
        };
        match body
            .dimension(name)
            .and_then(|number| body.dimensions.get(number))
        {
            Some(dimension) => line(catalog, place, dimension, &mut out),
            None => notation(place, body, name, &mut out),
        }
    }
    for (access, title) in ORDER {
        let mut part = String::new();
        if *access == Access::Assembled {
            part.push_str(&marks(catalog, like));
        }
        for slot in &like.parts {
            let Some((place, body)) = place(catalog, *slot) else {
                continue;
            };
            for number in like.dimensions(catalog, *slot) {
                let first = |dimension: &Dimension| {
                    let mut start = like.start.iter();
                    start.any(|(there, name)| there == slot && *name == dimension.name)
                };
                let dimension = body.dimensions.get(number);
                let dimension = dimension.filter(|found| found.access == *access && !first(found));
                if let Some(dimension) = dimension {
                    line(catalog, place, dimension, &mut part);
                }
            }
        }
        if !part.is_empty() {
            out.push_str(&format!("\n# --- {title}\n{part}"));
        }
    }
    out
}

fn place(catalog: &Catalog, slot: usize) -> Option<(&str, &Body)> {
    let slot = catalog.slots().get(slot)?;
    Some((&slot.name, catalog.body(slot.kind)))
}

/// What stands on the parts: trade notation that says several dimensions at once; and complaints.
fn marks(catalog: &Catalog, like: &Like) -> String {
    let mut out = String::new();
    for slot in &like.parts {
        let Some((place, body)) = place(catalog, *slot) else {
            continue;
        };
        for (name, _) in body.notations() {
            let mut start = like.start.iter();
            if !start.any(|(there, known)| there == slot && known == name) {
                notation(place, body, name, &mut out);
            }
        }
        if !body.complaints.is_empty() {
            let words = body.complaint_words().join(", ");
            out.push_str(&format!(
                "# {place}.complaint = \"\"    # where it does: {words}\n"
            ));
        }
    }
    out
}

/// A notation with what is written most.
fn notation(place: &str, body: &Body, name: &str, out: &mut String) {
    let forms = body.some_forms(name);
    out.push_str(&format!(
        "# {place}.{name} = \"?\"    # as marked: {forms}\n"
    ));
}

fn line(catalog: &Catalog, place: &str, dimension: &Dimension, out: &mut String) {
    let list = dimension.list.and_then(|list| catalog.lists().get(list));
    let unit = match (list, dimension.quantity) {
        (Some(list), _) => format!("; names: compat explain {}", list.name),
        (None, Quantity::Name) => String::new(),
        (None, quantity) => match quantity.usual_unit() {
            "" => String::new(),
            unit => format!(" in {unit}"),
        },
    };
    out.push_str(&format!(
        "# {place}.{} = \"?\"    # {}{unit}; {} ({})\n",
        dimension.name, dimension.title, dimension.how, dimension.tool
    ));
}
