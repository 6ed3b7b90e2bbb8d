//! The nearest valid name to a misspelt one.

/// The candidate that `found` is most likely meant to be; `None` if all are far off.
pub(crate) fn nearest<'a>(found: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = plain(found);
    // Past this no candidate is near, and the distance would take long.
    const LONGEST: usize = 80;
    if wanted.len() > LONGEST {
        return None;
    }
    let allowed = (wanted.chars().count() / 3).max(1);
    let candidates: Vec<&str> = candidates.into_iter().collect();
    let whole = closest(
        &wanted,
        allowed,
        candidates.iter().map(|candidate| (plain(candidate), *candidate)),
    );
    // Of "hight" the nearest is "water_height": one of its words. Short words are near too many.
    const SHORTEST: usize = 5;
    let words = candidates.iter().flat_map(|candidate| {
        let words: Vec<String> = plain(candidate).split(' ').map(str::to_owned).collect();
        words.into_iter().map(move |word| (word, *candidate))
    });
    whole.or_else(|| (wanted.chars().count() >= SHORTEST).then(|| closest(&wanted, 1, words))?)
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
