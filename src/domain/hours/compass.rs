//! The eight points of the compass a wind may come from.

/// The points, from north through east.
pub const POINTS: [&str; 8] = ["n", "ne", "e", "se", "s", "sw", "w", "nw"];

/// Degrees that one point spans.
const SPAN_DEG: f64 = 45.0;

/// The point a direction lies nearest to, as its place in [`POINTS`]; `None` for no number.
pub fn point_of(direction_deg: f64) -> Option<usize> {
    direction_deg
        .is_finite()
        .then(|| ((direction_deg / SPAN_DEG).round().rem_euclid(8.0)) as usize % POINTS.len())
}

/// A set of points: bit 0 is north. Names that are none are passed over.
pub fn set_of<S: AsRef<str>>(names: &[S]) -> u8 {
    names
        .iter()
        .filter_map(|n| {
            let name = n.as_ref().trim().to_lowercase();
            POINTS.iter().position(|p| *p == name)
        })
        .fold(0, |set, point| set | 1 << point)
}

/// Does a set hold the point a direction lies nearest to?
pub fn holds(set: u8, direction_deg: f64) -> bool {
    point_of(direction_deg).is_some_and(|point| set & (1 << point) != 0)
}

/// A direction as its point, in capitals: `SW`.
pub fn words(direction_deg: f64) -> String {
    point_of(direction_deg)
        .and_then(|p| POINTS.get(p))
        .map_or_else(String::new, |p| p.to_uppercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_direction_belongs_to_its_nearest_point() {
        for (deg, point) in [
            (0.0, "N"),
            (22.4, "N"),
            (22.6, "NE"),
            (337.4, "NW"),
            (337.6, "N"),
            (360.0, "N"),
            (225.0, "SW"),
        ] {
            assert_eq!(words(deg), point, "{deg}");
        }
        let set = set_of(&["SW", "w", "nonsense"]);
        assert!(holds(set, 225.0) && holds(set, 270.0));
        assert!(!holds(set, 180.0) && !holds(set, f64::NAN));
    }
}
