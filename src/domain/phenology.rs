//! What temperatures do to buds, and from there to the date of a stage with its uncertainty.
//!
//! Every sum works either on daily extremes ([`degree_days`]) or on hourly temperatures
//! ([`chill`], [`heat`]) through the one [`hourly_sum::HourlySum`] interface.
//!
//! # How a date is estimated
//!
//! 1. **Curves.** Each dormant year ([`dormant_year`]) is turned into chill portions and heat by
//!    eleven curves a day ([`drivers`]); every model of the library ([`models`]: thermal time,
//!    chill then heat, overlap) makes of it one curve `H(t)` of development.
//! 2. **Requirements.** A stage comes when `H(t) = F`. For recorded days `tᵢ` the best `F` is, to
//!    first order, the mean of `H(tᵢ)` weighted by `1/paceᵢ²` (pace: how fast the curve climbs
//!    around `tᵢ`), with Huber's weights against a wrong date ([`calibrate`]). Other series of the
//!    kind count as one to one and a half years more. Means over several series are weighted by
//!    `1/pace`, so that they are means in days: a plain mean of heat is biased by up to 8 d where
//!    cultivars bloom far apart. What a spring was off for the other trees of a place is taken
//!    from a tree's few dates before its `F` is found.
//! 3. **Shares.** The answer is `Σ w_m t_m` over the models and the calendar mean, the shares `w`
//!    minimising the squared error on years left out ([`stacking`]), own years against the pool's
//!    by `n/(n + 40)`. The errors that tell the spread are judged by shares found on other springs
//!    only ([`stacked`]).
//! 4. **Leftovers.** What the mixture misses from year to year is a Gaussian process over years
//!    (offset, slow change, slope, trend, noise; [`drift`]); it corrects the mean and gives the
//!    spread. That a series does not follow the models at all is held possible from the start and
//!    weighed by its own errors: such a series is led back to its calendar. At a place never seen
//!    the offset carries what places differ by. The whole is as wide as the errors of records held
//!    against the others of their series ask for: P10–P90, as whole days, holds four in five.
//! 5. **Weather to come.** Every past year completes this one after the last known day, weighted
//!    by a half-life of 15 years and moved by what the warmth of its own last month told of its
//!    end; a forecast is blended in and trusted less from the fifth day on ([`climatology`]). A
//!    spread of Student's t (6 degrees of freedom) around each possible day,
//!    summed, is the distribution ([`distribution`]).
//! 6. **Looks at the buds** condition it by Bayes' rule ([`estimate`]).
//! 7. **Stages without records** hang on a later one by a distance in days ([`ladder`]); this is
//!    how bud swell is placed, and it is called derived wherever it is shown.
//!
//! # Sources
//!
//! Chill portions: Fishman, Erez & Couvillon 1987 (J. Theor. Biol. 124:473–483, 126:309–321);
//! heat: Anderson, Richardson & Kesner 1986 (Acta Hortic. 184:71–78); hourly curve: Linvill 1990
//! (`HortScience` 25:14–16); overlap: Luedeling et al. 2021 (Agric. For. Meteorol. 307:108491),
//! Chuine 2000 (J. Theor. Biol. 207:337–347); swelling: Miranda, Santesteban & Royo 2013 (Agric.
//! For. Meteorol. 178–179:129–139). Others are named where they are used.
//!
//! Dates fitted and measured on: E. Luedeling, L. Caspersen and others 2024, bonndata,
//! doi 10.60507/FK2/MZIELI (three sites), and the phenological and daily observations of the Korea
//! Meteorological Administration (twelve stations). They are not part of the project; the fitted
//! figures it carries are [`fitted`].
//!
//! # What limits it
//!
//! - Until about the middle of February hardly anything beats the mean date: the weather to come is
//!   unknown. Even a perfect model misses by 8.6, 7.0, 4.9 and 2.9 d at 28, 14, 7 and 3 days ahead
//!   (computed on one mid-European site).
//! - Almond in a warm winter (one site, 25 springs): all cultivars of a spring err together, by up
//!   to 19 d, and no model of the library explains it; the estimate is 1 to 5 % better than the
//!   calendar, no more.
//! - Bud burst is judged by eye: its distance from bloom scatters by 5–9 d, heat explains none of
//!   it. Ranges narrower than a week either side are not to be expected.
//! - Springs far warmer than all that were fitted come earlier than answered (fitted before 2000,
//!   answered from 2000 on: 3 d late on average, Japanese apricot 9 d, whose range then holds 60 to
//!   75 %). With own dates the range widens with the years since the last of them, by a trend of up
//!   to 0.1 d a year; for a place without dates it does not.
//! - At Korean stations never seen, degree days with base and start day tuned on the other stations
//!   are nearly as good: the estimate is 1 % better for bud burst, 3 % for first and 7 % for full
//!   bloom, and its range is known and holds. What is left is the stations' own: they are off by 1
//!   to 4 d for years on end, in all species alike, and neither the warmth of their winters (|r| ≤
//!   0.4) nor their latitude tells which way.
//! - From a single other place in another climate an answer may be 9–12 d off (sweet cherry, both
//!   ways); its range is wide and holds 45–75 %.
//!
//! What was tried and left: heat shares for deriving stages (see [`ladder`]); taking all of what a
//! spring was off from the errors that neighbouring springs correct by (apple worsens by 0.2 d:
//! the place's own slow change is lost; six tenths are taken); counting series by `1/pace²`
//! between places (bias stays); giving the calendar whatever part of the mixture springs without a
//! say in it do not bear out (almond with 20 own years gains 0.1 d, all dates together lose 0.1 d);
//! letting a series' own errors set the width of its range (own errors come out too small: holds
//! 75 %); a slope of at least 0.1 for every series (all lose 0.02 d); other ridges for places never
//! seen (1 to 100 d²: the same within 1 %).
//!
//! # Figures
//!
//! Made by `cargo run --release --example phenology_tables -- tables FOLDER`, with the data above
//! in `FOLDER`; the carried fits by the same with `fit`. Drawn years are the same in every run.
//! Settings were chosen by leaving out years on the same two sets, so the leave-one-year-out
//! figures are slightly kind; the splits below share their settings but not their dates.
#![doc = include_str!("phenology/figures.md")]

pub mod calibrate;
pub mod chill;
pub mod climatology;
pub mod degree_days;
pub mod distribution;
pub mod dormant_year;
pub mod drift;
pub mod drivers;
pub mod estimate;
pub mod fitted;
pub mod heat;
pub mod hindcast;
pub mod hourly_sum;
pub mod ladder;
pub mod models;
pub mod normals;
pub mod rates;
pub mod requirements;
pub mod species;
pub mod spread;
pub mod stacked;
pub mod stacking;
pub mod stage;
