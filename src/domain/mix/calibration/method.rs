//! From what was caught, used and timed to what goes on the sprayer's record.

use super::{
    NozzleCheck, airblast_l_per_min, l_per_ha_from_area, l_per_ha_from_boom, l_per_min, nozzles,
    speed_m_per_s,
};

/// A measured course, walked or driven while spraying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// How long it is, m.
    pub length_m: f64,
    /// How long it took, s.
    pub seconds: f64,
    /// The width sprayed: of all nozzles together, or from row to row, m.
    pub width_m: f64,
}

/// How a sprayer was measured.
#[derive(Debug, Clone, PartialEq)]
pub enum Method {
    /// What each nozzle or the gun gave in a time.
    Catch {
        /// Caught, one a nozzle, L.
        caught_l: Vec<f64>,
        /// In so many seconds.
        seconds: f64,
        /// What a new nozzle gives, L/min.
        nominal_l_per_min: Option<f64>,
        /// At which pace it is used.
        course: Option<Course>,
    },
    /// What a measured plot took.
    Plot {
        /// Spray used, L.
        used_l: f64,
        /// Length of the plot, m.
        length_m: f64,
        /// Width of the plot, m.
        width_m: f64,
    },
    /// What it took to fill the tank again after spraying known ground.
    Refill {
        /// Filled up, L.
        used_l: f64,
        /// The ground, ha.
        area_ha: f64,
    },
    /// The air-blast equation: output of both sides, pace, row spacing.
    Airblast {
        /// Sprayed out standing still, L.
        used_l: f64,
        /// In so many minutes.
        minutes: f64,
        /// At which pace it is used; its width is the row spacing.
        course: Course,
        /// What is wanted on the ground, L/ha.
        wanted_l_per_ha: Option<f64>,
    },
}

/// What a measurement comes to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// Output of the whole sprayer, L/min.
    pub l_per_min: Option<f64>,
    /// Spray on the ground, L/ha.
    pub l_per_ha: Option<f64>,
    /// The output wanted for what is wanted on the ground, L/min.
    pub wanted_l_per_min: Option<f64>,
    /// Each nozzle against its nominal output.
    pub checks: Vec<NozzleCheck>,
}

impl Method {
    /// What it comes to; `None` where a figure is nothing or worse.
    pub fn work_out(&self) -> Option<Outcome> {
        match self {
            Self::Catch {
                caught_l,
                seconds,
                nominal_l_per_min,
                course,
            } => {
                let each: Vec<f64> = caught_l
                    .iter()
                    .map(|l| l_per_min(*l, *seconds))
                    .collect::<Option<_>>()?;
                let total: f64 = each.iter().sum();
                (total > 0.0).then(|| Outcome {
                    l_per_min: Some(total),
                    l_per_ha: course.and_then(|c| c.l_per_ha(total)),
                    wanted_l_per_min: None,
                    checks: nominal_l_per_min.map_or_else(Vec::new, |n| nozzles(&each, n)),
                })
            }
            Self::Plot {
                used_l,
                length_m,
                width_m,
            } => Outcome::on_ground(l_per_ha_from_area(*used_l, length_m * width_m)),
            Self::Refill { used_l, area_ha } => {
                Outcome::on_ground(l_per_ha_from_area(*used_l, area_ha * 10_000.0))
            }
            Self::Airblast {
                used_l,
                minutes,
                course,
                wanted_l_per_ha,
            } => {
                let output = l_per_min(*used_l, minutes * 60.0)?;
                let speed = speed_m_per_s(course.length_m, course.seconds)?;
                Some(Outcome {
                    l_per_min: Some(output),
                    l_per_ha: Some(course.l_per_ha(output)?),
                    wanted_l_per_min: wanted_l_per_ha
                        .and_then(|l| airblast_l_per_min(l, speed, course.width_m)),
                    checks: Vec::new(),
                })
            }
        }
    }
}

impl Course {
    fn l_per_ha(self, l_per_min: f64) -> Option<f64> {
        let speed = speed_m_per_s(self.length_m, self.seconds)?;
        l_per_ha_from_boom(l_per_min, speed, self.width_m)
    }
}

impl Outcome {
    fn on_ground(l_per_ha: Option<f64>) -> Option<Self> {
        l_per_ha.map(|l| Self {
            l_per_ha: Some(l),
            ..Self::default()
        })
    }

    /// The nozzles to be replaced, by number.
    pub fn worn(&self) -> impl Iterator<Item = &NozzleCheck> {
        self.checks.iter().filter(|c| c.replace)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const L_PER_GAL: f64 = 3.785_411_784;
    const M_PER_FT: f64 = 0.3048;
    const L_PER_HA_OF_GPA: f64 = L_PER_GAL / 0.404_685_642_24;

    // The 1/128-acre course: fluid ounces caught equal gallons an acre. 340 sq ft
    // are 1/128 acre by definition of acre and foot (43 560 / 128).
    #[test]
    fn a_plot_of_a_128th_acre_gives_ounces_as_gallons_an_acre() {
        let out = Method::Plot {
            used_l: 20.0 / 128.0 * L_PER_GAL,
            length_m: 43_560.0 / 128.0 / 20.0 * M_PER_FT,
            width_m: 20.0 * M_PER_FT,
        }
        .work_out()
        .unwrap();
        assert_relative_eq!(
            out.l_per_ha.unwrap(),
            20.0 * L_PER_HA_OF_GPA,
            max_relative = 1e-9
        );
        assert_eq!(out.l_per_min, None);
    }

    #[test]
    fn refilling_and_catching_agree_with_the_equations() {
        let out = Method::Refill {
            used_l: 50.0,
            area_ha: 0.1,
        }
        .work_out()
        .unwrap();
        assert_relative_eq!(out.l_per_ha.unwrap(), 500.0);
        // Four nozzles, one of them a quarter over a nominal 1 L/min.
        let out = Method::Catch {
            caught_l: vec![0.5, 0.5, 0.5, 0.625],
            seconds: 30.0,
            nominal_l_per_min: Some(1.0),
            course: Some(Course {
                length_m: 100.0,
                seconds: 100.0,
                width_m: 2.0,
            }),
        }
        .work_out()
        .unwrap();
        assert_relative_eq!(out.l_per_min.unwrap(), 4.25);
        // 4.25 L/min over 60 m by 2 m a minute.
        assert_relative_eq!(out.l_per_ha.unwrap(), 4.25 / 120.0 * 10_000.0);
        let worn: Vec<usize> = out.worn().map(|c| c.number).collect();
        assert_eq!(worn, [4]);
    }

    // gal/min = gal/acre x mph x row ft / 495 for one side and both rows: the
    // printed air-blast equation (its constant follows from the units).
    #[test]
    fn the_air_blast_equation_says_what_output_is_wanted() {
        let (gpa, mph, row_ft) = (100.0, 2.0, 20.0);
        let seconds = 100.0 * M_PER_FT / (mph * 0.447_04);
        let out = Method::Airblast {
            used_l: 8.0 * L_PER_GAL,
            minutes: 1.0,
            course: Course {
                length_m: 100.0 * M_PER_FT,
                seconds,
                width_m: row_ft * M_PER_FT,
            },
            wanted_l_per_ha: Some(gpa * L_PER_HA_OF_GPA),
        }
        .work_out()
        .unwrap();
        let wanted = gpa * mph * row_ft / 495.0 * L_PER_GAL;
        assert_relative_eq!(out.wanted_l_per_min.unwrap(), wanted, max_relative = 1e-9);
        assert_relative_eq!(
            out.l_per_ha.unwrap(),
            gpa * L_PER_HA_OF_GPA * 8.0 * L_PER_GAL / wanted,
            max_relative = 1e-9
        );
    }

    #[test]
    fn nothing_caught_or_no_time_comes_to_nothing() {
        for seconds in [0.0, -1.0, f64::NAN] {
            let none = Method::Catch {
                caught_l: vec![1.0],
                seconds,
                nominal_l_per_min: None,
                course: None,
            };
            assert_eq!(none.work_out(), None);
        }
        let none = Method::Refill {
            used_l: 5.0,
            area_ha: 0.0,
        };
        assert_eq!(none.work_out(), None);
    }
}
