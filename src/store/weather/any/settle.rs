//! The climate of a place as a judge: which unit a table can be in, and whether it can be of here.

use super::forms::Degrees;
use super::taken::Taken;

/// Farther from the place's normals than this no month of it has ever been on the mean; a wrong
/// unit is.
pub const FAR_C: f64 = 8.0;
/// Days a month needs to be judged.
pub const LEAST_DAYS: u32 = 10;

/// How monthly means lie to the normals of a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lies {
    /// Months that could be judged.
    pub months: usize,
    /// Months farther from the normal than [`FAR_C`].
    pub far: usize,
    /// Mean difference, °C.
    pub mean_c: f64,
}

/// Judges monthly means against the normals.
pub fn lies(means: &[Option<(f64, u32)>; 12], normals_c: &[f64; 12]) -> Lies {
    let mut lies = Lies {
        months: 0,
        far: 0,
        mean_c: 0.0,
    };
    for (mean, normal) in means.iter().zip(normals_c) {
        if let Some((mean, _)) = mean.filter(|(_, days)| *days >= LEAST_DAYS) {
            lies.months += 1;
            lies.far += usize::from((mean - normal).abs() > FAR_C);
            lies.mean_c += mean - normal;
        }
    }
    lies.mean_c /= lies.months.max(1) as f64;
    lies
}

/// The one unit in which a table can be of the place, with words; else why nobody can tell.
pub(super) fn unit(
    tries: &[(Degrees, Taken)],
    normals_c: Option<&[f64; 12]>,
) -> Result<(Degrees, String), String> {
    let nothing = "nothing names the unit of the temperatures".to_owned();
    let Some(normals_c) = normals_c else {
        return Err(nothing);
    };
    let mut fitting = Vec::new();
    for (degrees, taken) in tries {
        // Values no air ever had rule a unit out.
        let impossible = taken.impossible as f64 > 0.02 * taken.rows.max(1) as f64;
        let judged = lies(&taken.monthly_means(), normals_c);
        if judged.months == 0 {
            return Err(format!(
                "{nothing}, and it has too few days for the climate to tell"
            ));
        }
        if !impossible && judged.far == 0 {
            fitting.push((*degrees, judged.months));
        }
    }
    match fitting.as_slice() {
        [(degrees, months)] => Ok((
            *degrees,
            format!("not named; of {months} months only this fits the climate of the place"),
        )),
        [] => Err(format!(
            "{nothing}, and in none is it near the climate of the place"
        )),
        several => {
            let list: Vec<&str> = several.iter().map(|(d, _)| d.words()).collect();
            Err(format!(
                "{nothing}; {} would both fit the climate of the place",
                list.join(" and ")
            ))
        }
    }
}
