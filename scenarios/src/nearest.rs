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
    candidates
        .into_iter()
        .map(|candidate| (strsim::osa_distance(&wanted, &plain(candidate)), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Without case and with one kind of separator.
fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace(['-', '_'], " ")
}
