//! Labels that must not cover each other.

/// Places as near to the wanted ones as may be with at least `apart` between any two, between `from` and `to`; where there is not room for all,
/// they stand closer. In the order of `wanted`.
pub(crate) fn spread_apart(wanted: &[f64], apart: f64, from: f64, to: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let apart = apart.min((to - from) / order.len().saturating_sub(1).max(1) as f64);
    let mut places = vec![from; wanted.len()];
    let mut least = from;
    for &one in &order {
        places[one] = wanted[one].max(least);
        least = places[one] + apart;
    }
    let mut most = to;
    for &one in order.iter().rev() {
        places[one] = places[one].min(most);
        most = places[one] - apart;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_their_places_where_they_can_and_never_stand_closer_than_asked() {
        assert_eq!(spread_apart(&[50.0, 10.0], 12.0, 0.0, 100.0), [50.0, 10.0]);
        assert_eq!(
            spread_apart(&[50.0, 51.0, 52.0], 12.0, 0.0, 100.0),
            [50.0, 62.0, 74.0]
        );
        assert_eq!(spread_apart(&[98.0, 99.0], 12.0, 0.0, 100.0), [88.0, 100.0]);
    }

    #[test]
    fn too_many_labels_share_the_room_there_is() {
        let places = spread_apart(&[5.0; 11], 12.0, 0.0, 100.0);
        assert!(places.windows(2).all(|pair| pair[1] - pair[0] >= 10.0 - 1e-9));
        assert!(places.iter().all(|place| (0.0..=100.0).contains(place)));
    }
}
