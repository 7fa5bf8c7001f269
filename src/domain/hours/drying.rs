//! How long a film of spray takes to dry, as a range.

use super::air::{Depth, Evaporation};
use crate::domain::climate::hourly_series::HourlySeries;

/// How long from a moment until a film is dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drying {
    /// The thinnest film under the sky that dries most, hours; `None` if it does not dry in the
    /// hours known.
    pub soonest_h: Option<f64>,
    /// The likely film, hours.
    pub likely_h: Option<f64>,
    /// The thickest film under the sky that dries least, hours.
    pub latest_h: Option<f64>,
    /// What ended the look ahead before the thickest film was dry.
    pub stopped: Option<Stopped>,
}

/// What keeps a film from drying.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// It rains on it in this hour.
    Rain(usize),
    /// Wind, humidity or rain is not known from this hour on.
    Unknown(usize),
}

/// Longest look ahead, hours.
const HORIZON_H: usize = 72;
/// Rain that counts as rain, mm: the smallest step of a US gauge is 0.01 in, 0.254 mm, which
/// archives write as 0.25.
pub const WETTING_MM: f64 = 0.25;

/// Drying from the beginning of an hour, of films of the depths given.
pub fn drying(
    hours: &HourlySeries,
    evaporation: &[Evaporation],
    film: Depth,
    from: usize,
) -> Drying {
    let (mut soonest, mut likely, mut latest) = (None, None, None);
    let (mut most, mut middle, mut least) = (0.0_f64, 0.0_f64, 0.0_f64);
    let mut stopped = None;
    for step in 0..HORIZON_H {
        let i = from + step;
        let known = hours.rain_mm(i).zip(evaporation.get(i));
        let Some((rain, hour)) =
            known.filter(|(rain, evaporation)| rain.is_finite() && evaporation.is_known())
        else {
            stopped = Some(Stopped::Unknown(i));
            break;
        };
        if rain >= WETTING_MM {
            stopped = Some(Stopped::Rain(i));
            break;
        }
        for (sum, mm, depth, done) in [
            (&mut most, hour.most_mm, film.least_mm, &mut soonest),
            (&mut middle, hour.likely_mm, film.likely_mm, &mut likely),
            (&mut least, hour.least_mm, film.most_mm, &mut latest),
        ] {
            let before = *sum;
            *sum += mm.max(0.0);
            if done.is_none() && *sum >= depth {
                let share = if *sum > before {
                    (depth - before) / (*sum - before)
                } else {
                    0.0
                };
                *done = Some(step as f64 + share);
            }
        }
        if latest.is_some() {
            break;
        }
    }
    if latest.is_none() && stopped.is_none() {
        stopped = Some(Stopped::Unknown(from + HORIZON_H));
    }
    Drying {
        soonest_h: soonest,
        likely_h: likely,
        latest_h: latest,
        stopped,
    }
}

impl Drying {
    /// The range in plain words.
    pub fn words(&self) -> String {
        let hours = |h: f64| {
            if h < 1.0 {
                "under 1 h".to_owned()
            } else {
                format!("{h:.0} h")
            }
        };
        match (self.soonest_h, self.likely_h, self.latest_h) {
            (_, _, Some(c)) if c < 1.0 => "dry in under 1 h".to_owned(),
            (_, Some(b), Some(c)) if b < 1.0 => {
                format!("dry in under 1 h, at most {}", hours(c))
            }
            (Some(a), Some(b), Some(c)) => {
                format!("dry in about {} ({} to {})", hours(b), hours(a), hours(c))
            }
            (Some(a), _, None) => format!("dry in {} at the soonest; {}", hours(a), self.why_not()),
            _ => format!("does not dry: {}", self.why_not()),
        }
    }

    fn why_not(&self) -> &'static str {
        match self.stopped {
            Some(Stopped::Rain(_)) => "a thick film is rained on first",
            _ => "a thick film is not seen to dry in the hours known",
        }
    }
}

/// What must be said wherever "until dry" lets people back in.
pub const LOOK_FIRST: &str = "An estimate from the weather, not a look at the trees: before anyone goes back in, a person must see that everything is dry.";

#[cfg(test)]
mod tests {
    use super::super::air::{Air, Settings, Site};
    use super::*;
    use crate::domain::climate::hourly_series::Hour;

    fn air(hours: Vec<Hour>) -> Air {
        let site = Site {
            latitude: 47.45,
            longitude: -122.31,
            elevation_m: 130.0,
            zone: "America/Los_Angeles".parse().unwrap(),
        };
        let first = "2015-02-10T17:00:00Z".parse().unwrap();
        Air::new(HourlySeries::new(first, hours), site, Settings::default())
    }

    fn mild(rh_pct: f64, wind_ms: f64) -> Hour {
        Hour {
            temp_c: Some(10.0),
            rh_pct: Some(rh_pct),
            wind_ms: Some(wind_ms),
            rain_mm: Some(0.0),
            ..Hour::default()
        }
    }

    #[test]
    fn dry_air_and_wind_dry_sooner_and_the_range_holds_the_likely() {
        let (dry, damp) = (
            air(vec![mild(50.0, 4.0); 48]).drying_from(0),
            air(vec![mild(85.0, 1.0); 48]).drying_from(0),
        );
        let (dry_h, damp_h) = (dry.likely_h.unwrap(), damp.likely_h.unwrap());
        assert!(dry_h < damp_h, "{dry_h} {damp_h}");
        assert!(dry.soonest_h.unwrap() <= dry_h && dry_h <= dry.latest_h.unwrap());
        assert!(dry.words().starts_with("dry in "), "{}", dry.words());
    }

    #[test]
    fn twice_the_film_takes_twice_as_long_in_steady_weather() {
        let steady = Hour {
            cloud_pct: Some(100.0),
            ..mild(70.0, 3.0)
        };
        // At night the balance is the same hour after hour.
        let night = air(vec![steady; 60]);
        let d = night.drying_from(10);
        let ratio = d.latest_h.unwrap() / d.likely_h.unwrap();
        assert!((ratio - 2.0).abs() < 1e-6, "{ratio}");
    }

    #[test]
    fn rain_and_the_end_of_the_forecast_are_said() {
        let mut hours = vec![mild(95.0, 0.5); 20];
        hours[15].rain_mm = Some(1.0);
        // Night and near-saturated air: the film still stands when the rain comes.
        assert_eq!(air(hours).drying_from(10).stopped, Some(Stopped::Rain(15)));
        let short = air(vec![mild(97.0, 0.5); 2]).drying_from(0);
        assert_eq!(
            (short.latest_h, short.stopped),
            (None, Some(Stopped::Unknown(2)))
        );
        assert!(
            short.words().contains("in the hours known"),
            "{}",
            short.words()
        );
    }
}
