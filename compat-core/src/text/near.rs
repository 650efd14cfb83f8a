//! The nearest valid name to a mistyped one.

/// The candidate most like `word`, if any is alike enough to be worth naming.
///
/// ```
/// use compat_core::text::nearest;
/// assert_eq!(nearest("diamter", ["drop", "diameter"]), Some("diameter"));
/// assert_eq!(nearest("xyz", ["drop", "diameter"]), None);
/// ```
///
/// Two letters of which one is another are no slip, and another number is another size: `UG` is not near
/// `HG`, nor `QR 126` near `QR 100`.
pub fn nearest<'n>(word: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let word = word.to_lowercase();
    // A very long word is no slip of the keyboard, and comparing it would take long.
    if word.len() > 64 {
        return None;
    }
    let letters = word.chars().count();
    let mut best: Option<(usize, &str)> = None;
    for name in names {
        let lower = name.to_lowercase();
        if other_numbers(&word, &lower) {
            continue;
        }
        // A word that is part of a longer name (`bore` in `seat_tube_bore`) is near it.
        let inside = word.len() >= 3 && lower.split(['_', ' ', '-']).any(|piece| piece == word);
        // As many letters as one has more must be put in.
        let more = lower.chars().count().abs_diff(letters);
        if !inside && best.is_some_and(|(least, _)| more >= least) {
            continue;
        }
        let mut distance = strsim::damerau_levenshtein(&word, &lower);
        if inside {
            distance = distance.min(2);
        }
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, name));
        }
    }
    let (distance, name) = best?;
    if distance > 0 && word.chars().count().max(name.chars().count()) < 3 {
        return None;
    }
    let allowed = (word.chars().count().max(name.chars().count()) / 3).max(1);
    (distance
        <= allowed.max(if distance == 2 && name.len() > word.len() {
            2
        } else {
            0
        }))
    .then_some(name)
}

/// True where both have figures and not the same ones.
fn other_numbers(a: &str, b: &str) -> bool {
    let figures = |text: &str| text.chars().any(|c| c.is_ascii_digit());
    let of = |c: &char| c.is_ascii_digit();
    figures(a) && figures(b) && !a.chars().filter(of).eq(b.chars().filter(of))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_number_is_another_size() {
        assert_eq!(nearest("QR 126", ["QR 100", "QR 130"]), None);
        assert_eq!(nearest("HG 9", ["HG 7", "HG"]), None);
        assert_eq!(nearest("m12x15", ["M12x1.0", "M12x1.5"]), Some("M12x1.5"));
    }

    #[test]
    fn one_of_two_letters_is_no_slip() {
        assert_eq!(nearest("UG", ["HG", "MS"]), None);
        assert_eq!(nearest("PM", ["FM"]), None);
        assert_eq!(nearest("tubuler", ["tube", "tubular"]), Some("tubular"));
    }
}
