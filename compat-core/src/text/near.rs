//! The nearest valid name to a mistyped one.

/// The candidate most like `word`, if any is alike enough to be worth naming.
///
/// ```
/// use compat_core::text::nearest;
/// assert_eq!(nearest("diamter", ["drop", "diameter"]), Some("diameter"));
/// assert_eq!(nearest("xyz", ["drop", "diameter"]), None);
/// ```
pub fn nearest<'n>(word: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let word = word.to_lowercase();
    // A very long word is no slip of the keyboard, and comparing it would take long.
    if word.len() > 64 {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for name in names {
        let lower = name.to_lowercase();
        let mut distance = strsim::damerau_levenshtein(&word, &lower);
        // A word that is part of a longer name (`bore` in `seat_tube_bore`) is near it.
        if word.len() >= 3 && lower.split(['_', ' ', '-']).any(|piece| piece == word) {
            distance = distance.min(2);
        }
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, name));
        }
    }
    let (distance, name) = best?;
    let allowed = (word.chars().count().max(name.chars().count()) / 3).max(1);
    (distance
        <= allowed.max(if distance == 2 && name.len() > word.len() {
            2
        } else {
            0
        }))
    .then_some(name)
}
