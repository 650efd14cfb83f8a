//! `compat tables`

use std::collections::BTreeSet;

use comfy_table::{ColumnConstraint, ContentArrangement, Table};
use compat_core::Catalog;
use compat_core::dim::{Cases, show_cases, show_span};
use compat_core::joints::{FAMILIES, Says, family_named};
use compat_core::text::{Phrase, clean_line, nearest};
use compat_core::verdict::{FactId, Field, Grade};
use serde::Serialize;

use crate::args::{Format, Shared, Tables};
use crate::exit::Exit;
use crate::input::{Answer, Trouble, catalog};
use crate::render::{json, layout};

/// A table with its title.
#[derive(Serialize)]
struct Shown {
    title: String,
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// Shows the overview or the tables of one family.
pub fn run(wanted: &Tables, shared: &Shared) -> Result<Answer, Trouble> {
    let catalog = catalog(shared.catalog.as_deref())?;
    let tables = match &wanted.family {
        None => vec![overview(catalog)],
        Some(name) => match family_named(name) {
            Some(family) => family_tables(catalog, family),
            None => {
                let near = nearest(name, FAMILIES.iter().map(|family| family.name));
                let near = near
                    .map(|near| format!("; nearest: `{near}`"))
                    .unwrap_or_default();
                return Err(Trouble::Usage(format!(
                    "`{}` is no family{near}; `compat tables` lists them",
                    clean_line(name)
                )));
            }
        },
    };
    let text = match shared.format {
        Format::Json => json(&tables),
        Format::Text => tables.iter().map(show).collect::<Vec<_>>().join("\n"),
    };
    Ok(Answer {
        text,
        aside: String::new(),
        exit: Exit::Fits,
    })
}

fn show(shown: &Shown) -> String {
    let mut table = Table::new();
    table
        .load_style(comfy_table::presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic);
    // Through a pipe the table is as wide as an ordinary terminal.
    table.set_width(u16::try_from(layout::width().unwrap_or(80)).unwrap_or(80));
    table.set_header(shown.columns.clone());
    for row in &shown.rows {
        table.add_row(row.clone());
    }
    if let Some(first) = table.column_mut(0) {
        // A name that is broken over two lines cannot be searched for.
        let names = shown.rows.iter().filter_map(|row| row.first());
        if names.map(String::len).max().unwrap_or(0) < 26 {
            first.set_constraint(ColumnConstraint::ContentWidth);
        }
    }
    let lines: Vec<String> = table
        .to_string()
        .lines()
        .map(|line| line.trim_end().to_owned())
        .collect();
    format!(
        "{}\n{}\n",
        layout::line(0, 2, &layout::heading(&shown.title)).trim_end(),
        lines.join("\n")
    )
}

/// Who says so, short: grade and publishers; the publications are listed below the tables.
fn source(catalog: &Catalog, id: FactId) -> String {
    let Some(fact) = catalog.fact(id) else {
        return String::new();
    };
    let mut who: Vec<&str> = fact
        .sources
        .iter()
        .filter_map(|key| catalog.source(key))
        .map(|source| source.publisher.as_str())
        .collect();
    who.dedup();
    let note = fact
        .note
        .as_ref()
        .map(|note| format!("; {note}"))
        .unwrap_or_default();
    match who.as_slice() {
        [] => format!("{}{note}", fact.grade.word()),
        _ => format!("{}: {}{note}", fact.grade.word(), who.join(", ")),
    }
}

/// The publications a family cites.
fn publications(catalog: &Catalog, index: usize) -> Shown {
    let facts = catalog
        .book(index)
        .facts
        .iter()
        .chain(&catalog.prose(index).facts);
    let mut keys: Vec<&str> = facts
        .flat_map(|fact| fact.sources.iter().map(Phrase::as_str))
        .collect();
    keys.sort();
    keys.dedup();
    let row = |key: &&str| {
        let source = catalog.source(key)?;
        Some(vec![
            source.publisher.to_string(),
            source.title.to_string(),
            source.address.to_string(),
        ])
    };
    Shown {
        title: "publications".to_owned(),
        columns: ["publisher", "title", "address"]
            .map(str::to_owned)
            .to_vec(),
        rows: keys.iter().filter_map(row).collect(),
    }
}

fn overview(catalog: &Catalog) -> Shown {
    let columns = [
        "family",
        "rows",
        "sizes",
        "sources",
        "published",
        "practice",
        "memory",
    ];
    let counted = FAMILIES.iter().enumerate().map(|(index, family)| {
        let (book, prose) = (catalog.book(index), catalog.prose(index));
        let sheet = &book.sheet;
        let pairs: usize = sheet.tables.iter().map(|table| table.rows.len()).sum();
        let bands: usize = sheet.bands.iter().map(|table| table.rows.len()).sum();
        let rows = book.limits.len() + pairs + bands + book.implied.len() + book.adaptors.len();
        let facts = || book.facts.iter().chain(&prose.facts);
        let keys: BTreeSet<&str> = facts()
            .flat_map(|fact| fact.sources.iter().map(Phrase::as_str))
            .collect();
        let graded = |grades: &[Grade]| facts().filter(|fact| grades.contains(&fact.grade)).count();
        let counts = [
            rows,
            prose.sizes.len(),
            keys.len(),
            graded(&[Grade::Standard, Grade::Published]),
            graded(&[Grade::Practice]),
            graded(&[Grade::Memory]),
        ];
        (family.name, keys, counts)
    });
    let counted: Vec<_> = counted.collect();
    let all: BTreeSet<&str> = counted
        .iter()
        .flat_map(|(_, keys, _)| keys)
        .copied()
        .collect();
    let sum = |column: usize| {
        counted
            .iter()
            .filter_map(|(.., counts)| counts.get(column))
            .sum()
    };
    let total = [sum(0), sum(1), all.len(), sum(3), sum(4), sum(5)];
    let row = |name: &str, counts: &[usize; 6]| -> Vec<String> {
        std::iter::once(name.to_owned())
            .chain(counts.iter().map(usize::to_string))
            .collect()
    };
    let rows = counted.iter().map(|(name, _, counts)| row(name, counts));
    let rows = rows.chain([row("all", &total)]);
    let title = "families: what each compares with, and how good its figures are (what is only computed is not counted)";
    Shown {
        title: title.to_owned(),
        columns: columns.map(str::to_owned).to_vec(),
        rows: rows.collect(),
    }
}

fn family_tables(catalog: &Catalog, index: usize) -> Vec<Shown> {
    let book = catalog.book(index);
    let mut tables = Vec::new();
    let mut add = |title: String, columns: &[&str], rows: Vec<Vec<String>>| {
        if !rows.is_empty() {
            tables.push(Shown {
                title,
                columns: columns.iter().map(|name| (*name).to_owned()).collect(),
                rows,
            });
        }
    };
    let limits = book.limits.iter().map(|limit| {
        vec![
            limit.name.to_string(),
            show_span(limit.quantity, limit.row.span),
            source(catalog, limit.row.fact),
        ]
    });
    add(
        format!("{}: limits", book.title),
        &["limit", "value", "who says so"],
        limits.collect(),
    );
    let names = FAMILIES
        .get(index)
        .map_or(&[] as &[&str], |family| family.tables);
    for (table, name) in book.sheet.tables.iter().zip(names) {
        let labels = |labels: &[compat_core::dim::Label]| {
            labels
                .iter()
                .map(|label| catalog.label_title(*label))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let row = |a: String, b: String, says: &Says, fact: FactId| {
            vec![a, b, says_words(says), source(catalog, fact)]
        };
        let mut rows: Vec<_> = table
            .rows
            .iter()
            .map(|pair| row(labels(&pair.a), labels(&pair.b), &pair.says, pair.fact))
            .collect();
        rows.push(row(
            "anything else".to_owned(),
            String::new(),
            &table.otherwise,
            table.fact,
        ));
        add(
            format!("{}: {name}", book.title),
            &["this", "with", "verdict", "who says so"],
            rows,
        );
    }
    let implied = book.implied.iter().map(|row| {
        let when: Vec<String> = row
            .when
            .iter()
            .map(|(field, cases)| shown(catalog, index, *field, cases))
            .collect();
        let gives: Vec<String> = row
            .gives
            .iter()
            .map(|(field, cases)| shown(catalog, index, *field, cases))
            .collect();
        vec![when.join(", "), gives.join(", "), source(catalog, row.fact)]
    });
    add(
        format!("{}: what names tell", book.title),
        &["where this stands", "it tells", "who says so"],
        implied.collect(),
    );
    let sizes = catalog.prose(index).sizes.iter().map(|size| {
        let fields: Vec<String> = size
            .fields
            .iter()
            .map(|(field, cases)| shown(catalog, index, *field, cases))
            .collect();
        vec![
            size.title.clone(),
            fields.join(", "),
            source(catalog, size.fact),
        ]
    });
    add(
        format!("{}: sizes", book.title),
        &["size", "dimensions", "who says so"],
        sizes.collect(),
    );
    let adaptors = book.adaptors.iter().map(|adaptor| {
        vec![
            adaptor.part.name.clone().unwrap_or_default(),
            source(catalog, adaptor.fact),
        ]
    });
    add(
        format!("{}: adaptors", book.title),
        &["adaptor", "who says so"],
        adaptors.collect(),
    );
    tables.push(publications(catalog, index));
    tables
}

fn shown(catalog: &Catalog, family: usize, field: Field, cases: &Cases) -> String {
    let Some(definition) = FAMILIES.get(family) else {
        return String::new();
    };
    let end = definition
        .ends
        .get(usize::from(field.end))
        .map_or("", |end| end.name);
    let Some(known) = definition.field(field) else {
        return String::new();
    };
    format!(
        "{end} {} {}",
        known.name,
        show_cases(known.quantity, cases, |label| catalog.label_title(label))
    )
}

fn says_words(says: &Says) -> String {
    match says {
        Says::Fits => "fits".to_owned(),
        Says::With(things) => format!("fits with {}", things.join(" and ")),
        Says::Ask => "measure first".to_owned(),
        Says::Not(ground) => format!("does not fit: {}", ground.words()),
    }
}
