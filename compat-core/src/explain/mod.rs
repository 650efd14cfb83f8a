//! From claims to sentences: the words of the catalogue with the readings put in.
//!
//! Knows nothing of joints, catalogue or colours.

/// Fills `{name}` in a text of the catalogue; a name nobody knows stays as it is, so that a test
/// can find it.
///
/// ```
/// let text = compat_core::explain::fill("a {size} post", |name| (name == "size").then(|| "31.6 mm".into()));
/// assert_eq!(text, "a 31.6 mm post");
/// ```
pub fn fill(template: &str, value: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(template.len() * 2);
    let mut rest = template;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((name, after)) = after.split_once('}') else {
            out.push('{');
            rest = after;
            continue;
        };
        match value(name) {
            Some(value) => out.push_str(&value),
            None => {
                out.push('{');
                out.push_str(name);
                out.push('}');
            }
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

/// The names in braces of a text.
pub fn names(template: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = template;
    while let Some((_, after)) = rest.split_once('{') {
        let Some((name, after)) = after.split_once('}') else {
            break;
        };
        found.push(name);
        rest = after;
    }
    found
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [front @ .., last] => format!("{} and {last}", front.join(", ")),
    }
}

/// `1 joint`, `3 joints`.
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
