//! How often the tank is filled.

/// Full tanks and the last part tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tanks {
    /// What the tank holds, L.
    pub tank_l: f64,
    /// Times it is filled to the full.
    pub full: u32,
    /// The last, part tank, L; zero where the full ones do.
    pub last_l: f64,
}

impl Tanks {
    /// Times it is filled at all.
    pub fn count(&self) -> u32 {
        self.full + u32::from(self.last_l > 0.0)
    }
}

/// Splits a spray volume into tanks. Less than a thousandth of a tank left
/// over is no tank: it is within what anyone can read on a tank.
pub fn plan(total_l: f64, tank_l: f64) -> Option<Tanks> {
    if !(total_l.is_finite() && tank_l.is_finite() && total_l > 0.0 && tank_l > 0.0) {
        return None;
    }
    let times = total_l / tank_l;
    if times > 1e6 {
        return None;
    }
    let nearest = times.round();
    let full = if (times - nearest).abs() < 1e-3 && nearest >= 1.0 {
        nearest
    } else {
        times.floor()
    };
    let last_l = (total_l - full * tank_l).max(0.0);
    let last_l = if last_l < tank_l * 1e-3 && full >= 1.0 {
        0.0
    } else {
        last_l
    };
    Some(Tanks {
        tank_l,
        full: full as u32,
        last_l,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_part_and_single_tanks() {
        let t = plan(100.0, 25.0).unwrap();
        assert_eq!((t.full, t.last_l, t.count()), (4, 0.0, 4));
        let t = plan(60.0, 25.0).unwrap();
        assert_eq!((t.full, t.last_l, t.count()), (2, 10.0, 3));
        let t = plan(3.0, 25.0).unwrap();
        assert_eq!((t.full, t.last_l, t.count()), (0, 3.0, 1));
        let t = plan(0.001, 25.0).unwrap();
        assert_eq!(t.count(), 1);
        assert!(plan(0.0, 25.0).is_none());
        assert!(plan(f64::NAN, 25.0).is_none());
        assert!(plan(1e9, 1e-9).is_none());
    }
}
