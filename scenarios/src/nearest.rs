//! The nearest valid name to a misspelt one.

/// The candidate that `found` is most likely meant to be; `None` if all are far off.
#[must_use]
pub fn nearest<'a>(found: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = plain(found);
    // Past this no candidate is near, and the distance would take long.
    const LONGEST: usize = 80;
    if wanted.len() > LONGEST {
        return None;
    }
    let allowed = (wanted.chars().count() / 3).max(1);
    let candidates: Vec<&str> = candidates.into_iter().collect();
    let plainly = || candidates.iter().map(|candidate| (plain(candidate), *candidate));
    // Of "onof" the nearest is "on-off": a missing separator is no letter too few.
    let joined = |text: &str| text.replace(' ', "");
    let whole = closest(&wanted, allowed, plainly()).or_else(|| {
        let candidates = plainly().map(|(text, candidate)| (joined(&text), candidate));
        closest(&joined(&wanted), allowed, candidates)
    });
    // Of "hight" the nearest is "water_height": one of its words. Short words are near too many.
    const SHORTEST: usize = 5;
    let words = candidates.iter().flat_map(|candidate| {
        let words: Vec<String> = plain(candidate).split(' ').map(str::to_owned).collect();
        words.into_iter().map(move |word| (word, *candidate))
    });
    // Of "power outage" it is "outage": a word is too many.
    let of_its_words = || {
        let long = wanted.split(' ').filter(|word| word.chars().count() >= SHORTEST);
        let mut found = long.filter_map(|word| closest(word, 1, plainly()));
        found.next()
    };
    whole
        .or_else(|| (wanted.chars().count() >= SHORTEST).then(|| closest(&wanted, 1, words))?)
        .or_else(of_its_words)
}

/// The candidate whose text is nearest, if it is no further than allowed.
fn closest<'a>(
    wanted: &str,
    allowed: usize,
    candidates: impl Iterator<Item = (String, &'a str)>,
) -> Option<&'a str> {
    candidates
        .map(|(text, candidate)| (strsim::osa_distance(wanted, &text), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Without case and with one kind of separator.
fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace(['-', '_'], " ")
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_missing_separator_or_a_word_too_many_still_finds_the_name() {
        let strategies = ["on-off", "pi", "proportional", "staggered-pair"];
        assert_eq!(nearest("onof", strategies), Some("on-off"));
        let faults = ["none", "outage", "leak", "circuit tripped", "one heater dead"];
        assert_eq!(nearest("power outage", faults), Some("outage"));
        assert_eq!(nearest("power", faults), None);
        assert_eq!(nearest("a flood in the cellar", faults), None);
    }
}
