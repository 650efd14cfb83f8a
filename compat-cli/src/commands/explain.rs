//! `compat explain`

use compat_core::Catalog;
use compat_core::catalog::Dimension;
use compat_core::dim::{Quantity, show_span};
use compat_core::explain::list;
use compat_core::joints::{FAMILIES, family_named};
use compat_core::text::{clean_line, nearest};
use compat_core::verdict::FactId;

use crate::args::{Explain, Format, Shared};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, catalog};
use crate::render::json;
use crate::render::layout::{dim, heading, line, verdict};

/// Finds what the topic means and tells it.
pub fn run(wanted: &Explain, shared: &Shared) -> Result<Answer, Trouble> {
    let catalog = catalog(shared.catalog.as_deref())?;
    let page = match &wanted.topic {
        None => overview(catalog),
        Some(topic) => explain(catalog, topic).ok_or_else(|| unknown(catalog, topic))?,
    };
    let text = match shared.format {
        Format::Json => json(&page),
        Format::Text => page.iter().map(show).collect(),
    };
    Ok(Answer {
        text,
        aside: String::new(),
        exit: Exit::Fits,
    })
}

/// A line of an explanation.
#[derive(serde::Serialize)]
struct Told {
    #[serde(skip)]
    indent: usize,
    /// What it is about, if it begins with a label.
    label: String,
    /// What is said.
    text: String,
}

fn told(indent: usize, label: &str, text: impl Into<String>) -> Told {
    Told {
        indent,
        label: label.to_owned(),
        text: text.into(),
    }
}

fn show(told: &Told) -> String {
    let label = match (told.label.as_str(), told.indent) {
        ("", _) => String::new(),
        (label, 0) => format!("{}: ", heading(label)),
        (label, _) => format!("{label}: "),
    };
    if told.text.is_empty() && told.label.is_empty() {
        return "\n".to_owned();
    }
    line(
        told.indent,
        told.indent + 4,
        &format!("{label}{}", told.text),
    )
}

fn overview(catalog: &Catalog) -> Vec<Told> {
    let mut page = vec![told(
        0,
        "families",
        "what can be judged; `compat explain FAMILY` tells one",
    )];
    for (index, family) in FAMILIES.iter().enumerate() {
        page.push(told(2, family.name, catalog.book(index).title.clone()));
    }
    page.push(told(
        0,
        "kinds of part",
        "`compat explain KIND` lists the dimensions of one",
    ));
    let kinds: Vec<String> = catalog
        .kinds()
        .iter()
        .map(|kind| kind.name.to_string())
        .collect();
    page.push(told(2, "", list(&kinds)));
    page.push(told(
        0,
        "lists of names",
        "`compat explain LIST` gives the names and what else they are called",
    ));
    let lists: Vec<String> = catalog
        .lists()
        .iter()
        .map(|list| list.name.to_string())
        .collect();
    page.push(told(2, "", list(&lists)));
    page
}

fn explain(catalog: &Catalog, topic: &str) -> Option<Vec<Told>> {
    if let Some(family) = family_named(topic) {
        return Some(family_page(catalog, family));
    }
    if let Some((family, code)) = topic.split_once('/') {
        let family = family_named(family)?;
        let number = FAMILIES
            .get(family)?
            .codes
            .iter()
            .position(|known| *known == code)?;
        return Some(code_page(catalog, family, number));
    }
    if let Some((slot, name)) = topic.split_once('.') {
        let kind = catalog
            .slot_named(slot)
            .and_then(|slot| catalog.slots().get(slot))
            .map(|slot| slot.kind);
        let kind = kind.or_else(|| catalog.kind_named(slot))?;
        let body = catalog.body(kind);
        return body
            .dimension(name)
            .and_then(|number| body.dimensions.get(number))
            .map(|dimension| dimension_page(catalog, dimension));
    }
    let slot = catalog
        .slot_named(topic)
        .and_then(|slot| catalog.slots().get(slot))
        .map(|slot| slot.kind);
    if let Some(kind) = slot.or_else(|| catalog.kind_named(topic)) {
        return Some(kind_page(catalog, kind));
    }
    catalog
        .list_named(topic)
        .map(|list| list_page(catalog, list))
}

fn unknown(catalog: &Catalog, topic: &str) -> Trouble {
    let mut names: Vec<String> = FAMILIES
        .iter()
        .map(|family| family.name.to_owned())
        .collect();
    for family in FAMILIES {
        names.extend(
            family
                .codes
                .iter()
                .map(|code| format!("{}/{code}", family.name)),
        );
    }
    for slot in catalog.slots() {
        names.push(slot.name.to_string());
        names.extend(
            catalog
                .body(slot.kind)
                .dimensions
                .iter()
                .map(|dimension| format!("{}.{}", slot.name, dimension.name)),
        );
    }
    names.extend(catalog.kinds().iter().map(|kind| kind.name.to_string()));
    names.extend(catalog.lists().iter().map(|list| list.name.to_string()));
    let near = nearest(topic, names.iter().map(String::as_str))
        .map(|near| format!("; nearest: `{near}`"))
        .unwrap_or_default();
    Trouble::Usage(format!(
        "nothing is called `{}`{near}; `compat explain` lists what there is",
        clean_line(topic)
    ))
}

/// Publications and grade of a fact.
pub fn source(catalog: &Catalog, id: FactId) -> String {
    let Some(fact) = catalog.fact(id) else {
        return String::new();
    };
    let titles: Vec<String> = fact
        .sources
        .iter()
        .filter_map(|key| catalog.source(key))
        .map(|source| {
            format!(
                "{} ({}, {})",
                source.title, source.publisher, source.address
            )
        })
        .collect();
    let who = if titles.is_empty() {
        String::new()
    } else {
        format!("{}; ", titles.join("; "))
    };
    let note = fact
        .note
        .as_ref()
        .map(|note| format!("; {note}"))
        .unwrap_or_default();
    format!("{who}{}{note}", fact.grade.word())
}

fn family_page(catalog: &Catalog, index: usize) -> Vec<Told> {
    let (book, prose) = (catalog.book(index), catalog.prose(index));
    let family = FAMILIES.get(index);
    let mut page = vec![
        told(0, &book.title, prose.about.clone()),
        told(0, "measuring", prose.measure.clone()),
    ];
    page.push(told(0, "joints", ""));
    for joint in catalog.joints(index) {
        let ends: Vec<String> = joint
            .ends
            .iter()
            .flatten()
            .map(|end| {
                format!(
                    "{} ({})",
                    catalog
                        .slots()
                        .get(end.slot)
                        .map_or("", |slot| slot.name.as_str()),
                    end.end
                )
            })
            .collect();
        let slot = |slot: &usize| catalog.slots().get(*slot).map(|slot| slot.name.to_string());
        let empty: Vec<String> = joint.empty.iter().filter_map(slot).collect();
        let without = if empty.is_empty() {
            String::new()
        } else {
            format!(", where there is no part in {}", list(&empty))
        };
        page.push(told(2, &joint.title, list(&ends) + &without));
    }
    page.push(told(0, "ends", ""));
    for end in family.map_or(&[] as &[_], |family| family.ends) {
        let fields: Vec<String> = end
            .fields
            .iter()
            .map(|field| format!("{} ({})", field.name, field.quantity.word()))
            .collect();
        page.push(told(2, end.name, list(&fields)));
    }
    if !book.limits.is_empty() {
        page.push(told(0, "limits", ""));
    }
    for limit in &book.limits {
        page.push(told(
            2,
            &limit.name,
            format!(
                "{}; {}",
                show_span(limit.quantity, limit.row.span),
                source(catalog, limit.row.fact)
            ),
        ));
    }
    page.push(told(0, "codes", ""));
    for number in 0..book.codes.len() {
        page.extend(code_lines(catalog, index, number, 2));
    }
    if !book.adaptors.is_empty() {
        page.push(told(
            0,
            "adaptors",
            format!("at most {} between two ends", book.most_adaptors),
        ));
    }
    for adaptor in &book.adaptors {
        page.push(told(
            2,
            adaptor.part.name.as_deref().unwrap_or("adaptor"),
            source(catalog, adaptor.fact),
        ));
    }
    if !prose.examples.is_empty() {
        page.push(told(0, "examples", "each is run as a test"));
    }
    for example in &prose.examples {
        page.push(told(
            2,
            &example.title,
            format!(
                "{}; shows {}",
                verdict(&example.verdict),
                example.shows.join(", ")
            ),
        ));
    }
    for compat_core::catalog::Caution {
        say: caution, fact, ..
    } in &book.cautions
    {
        page.push(told(
            0,
            "caution",
            format!(
                "{caution} {}",
                dim(&format!("[{}]", source(catalog, *fact)))
            ),
        ));
    }
    page
}

fn code_lines(catalog: &Catalog, family: usize, number: usize, indent: usize) -> Vec<Told> {
    let Some(code) = catalog.book(family).codes.get(number) else {
        return Vec::new();
    };
    let ground = code
        .ground
        .map_or("a figure that is told", |ground| ground.words());
    let says = if code.fails.is_empty() {
        &code.holds
    } else {
        &code.fails
    };
    let mut lines = vec![told(indent, &code.name, format!("{ground}; {says}"))];
    if !code.advice.is_empty() {
        lines.push(told(indent + 2, "do", code.advice.clone()));
    }
    lines
}

fn code_page(catalog: &Catalog, family: usize, number: usize) -> Vec<Told> {
    let mut page = code_lines(catalog, family, number, 0);
    let name = FAMILIES
        .get(family)
        .and_then(|family| family.codes.get(number))
        .copied()
        .unwrap_or_default();
    for example in catalog
        .prose(family)
        .examples
        .iter()
        .filter(|example| example.shows.iter().any(|shown| shown == name))
    {
        page.push(told(
            2,
            "example",
            format!("{}: {}", example.title, verdict(&example.verdict)),
        ));
    }
    page
}

fn dimension_page(catalog: &Catalog, dimension: &Dimension) -> Vec<Told> {
    let mut page = vec![told(0, &dimension.name, dimension.title.clone())];
    page.push(told(2, "how", dimension.how.clone()));
    page.push(told(2, "with", dimension.tool.clone()));
    page.push(told(2, "where", dimension.access.words()));
    match dimension.list.and_then(|list| catalog.lists().get(list)) {
        Some(list) => {
            for name in list.names.iter() {
                let aliases = if name.aliases.is_empty() {
                    String::new()
                } else {
                    format!("; also {}", name.aliases.join(", "))
                };
                page.push(told(4, &name.name, format!("{}{aliases}", name.title)));
            }
        }
        None => page.push(told(
            2,
            "usual",
            show_span(dimension.quantity, dimension.range),
        )),
    }
    page
}

fn kind_page(catalog: &Catalog, kind: usize) -> Vec<Told> {
    let body = catalog.body(kind);
    let slots: Vec<String> = catalog
        .slots()
        .iter()
        .filter(|slot| slot.kind == kind)
        .map(|slot| slot.name.to_string())
        .collect();
    let mut page = vec![told(
        0,
        &body.title,
        if slots.is_empty() {
            "goes between other parts".to_owned()
        } else {
            format!("goes in {}", list(&slots))
        },
    )];
    for (number, dimension) in body.dimensions.iter().enumerate() {
        let what = match dimension.list.and_then(|list| catalog.lists().get(list)) {
            Some(list) => format!("a name of `{}`", list.name),
            None if dimension.quantity == Quantity::Count => "a count".to_owned(),
            None => format!("a {}", dimension.quantity.word()),
        };
        let forms = body.forms(&dimension.name);
        let what = match forms.is_empty() {
            true => what,
            false => format!("{what}, or as {}", forms.join(" or ")),
        };
        let what = match body.called(number).as_slice() {
            [] => what,
            called => format!("{what}, also {}", called.join(", ")),
        };
        page.push(told(
            2,
            &dimension.name,
            format!("{}, {what}; {}", dimension.title, dimension.how),
        ));
    }
    for (name, forms) in body.notations() {
        page.push(told(2, name, format!("shorthand: {}", forms.join(" or "))));
    }
    for complaint in &body.complaints {
        page.push(told(
            2,
            &format!("complaint \"{}\"", complaint.word),
            complaint.ask.clone(),
        ));
    }
    page
}

fn list_page(catalog: &Catalog, list: usize) -> Vec<Told> {
    let Some(names) = catalog.lists().get(list) else {
        return Vec::new();
    };
    let mut page = vec![told(
        0,
        &names.name,
        "a list of names; an alias that several share is read as either of them",
    )];
    for name in names.names.iter() {
        let aliases = if name.aliases.is_empty() {
            String::new()
        } else {
            format!("; also {}", name.aliases.join(", "))
        };
        page.push(told(2, &name.name, format!("{}{aliases}", name.title)));
    }
    page
}
