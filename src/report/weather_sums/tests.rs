use super::*;

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn degree_days(method: Method, cutoff: Cutoff, upper: Option<f64>) -> SumsRequest {
    SumsRequest {
        sum: Sum::DegreeDays {
            base: Temperature::from_fahrenheit(43.0),
            method,
            cutoff,
            upper: upper.map(Temperature::from_fahrenheit),
        },
        from: None,
        to: None,
        latitude_deg: None,
    }
}

fn hourly(sum: Sum, latitude_deg: Option<f64>) -> SumsRequest {
    SumsRequest {
        sum,
        from: None,
        to: None,
        latitude_deg,
    }
}

/// Days in °F, as (minimum, maximum).
fn days_f(first: &str, days: &[(f64, f64)]) -> DailySeries {
    let celsius = |f: f64| ((f - 32.0) / 1.8) as f32;
    let mut series = DailySeries::empty(date(first));
    series
        .extend(
            days.iter()
                .map(|&(low, high)| (celsius(low), celsius(high))),
        )
        .unwrap();
    series
}

fn constant(days: usize, temp_c: f32) -> DailySeries {
    DailySeries::new(date("2024-01-01"), vec![temp_c; days], vec![temp_c; days]).unwrap()
}

/// 30 to 70 °F over base 43 °F by single sine is 10.2603: numerical integration with 200 000
/// midpoints.
#[test]
fn degree_days_in_the_unit_of_the_base() {
    let series = days_f(
        "2024-03-01",
        &[(30.0, 70.0), (f64::NAN, 50.0), (30.0, 70.0)],
    );
    let table = weather_sums(
        &series,
        &degree_days(Method::SingleSine, Cutoff::None, None),
    )
    .unwrap();
    assert_eq!(
        table.json(),
        "{\"base\":\"43F\",\"days\":[\
         {\"date\":\"2024-03-01\",\"dd\":10.26,\"dd_total\":10.26},\
         {\"date\":\"2024-03-02\",\"dd\":null,\"dd_total\":10.26},\
         {\"date\":\"2024-03-03\",\"dd\":10.26,\"dd_total\":20.52}]}"
    );
    assert_eq!(
        table.text(),
        "Degree days above 43F, single sine\n\n\
         date              day      total\n\
         2024-03-01      10.26      10.26\n\
         2024-03-02    missing      10.26\n\
         2024-03-03      10.26      20.52\n\n\
         1 days are missing and not in the total, which is therefore too low.\n"
    );
}

#[test]
fn the_heading_names_the_cutoff() {
    let series = days_f("2024-03-01", &[(45.0, 95.0)]);
    let request = degree_days(Method::SingleSine, Cutoff::Horizontal, Some(88.0));
    let table = weather_sums(&series, &request).unwrap();
    assert!(
        table
            .text()
            .starts_with("Degree days above 43F, single sine, horizontal cut-off at 88F\n")
    );
}

/// Constant temperatures: 24 h at 6 °C are 24 chill hours, 24 Utah units, 36 linear and 11.196
/// curved degree hours; 100 h bring 2.9349 portions (computed tables, see the oracle tests).
#[test]
fn hourly_sums_by_key() {
    for (sum, json) in [
        (
            Sum::ChillHours,
            "\"chill_hours\":24.0,\"chill_hours_total\":48.0}]}",
        ),
        (Sum::Utah, "\"utah\":24.0,\"utah_total\":48.0}]}"),
        (
            Sum::GdhLinear,
            "\"gdh_linear\":36.0,\"gdh_linear_total\":72.0}]}",
        ),
        (Sum::Gdh, "\"gdh\":11.2,\"gdh_total\":22.39}]}"),
    ] {
        let table = weather_sums(&constant(2, 6.0), &hourly(sum, Some(43.0))).unwrap();
        assert!(table.json().ends_with(json), "{}", table.json());
        assert!(
            table
                .json()
                .starts_with("{\"days\":[{\"date\":\"2024-01-01\""),
            "{}",
            table.json()
        );
    }
    // From 100 h (2.934917 portions, intermediate 0.638661) the intermediate passes 1 at hour 113
    // with 1.01797, of which 0.95996 become the fourth portion; the fifth is not due by 120 h.
    let table = weather_sums(&constant(5, 6.0), &hourly(Sum::Portions, Some(43.0))).unwrap();
    let last = table.days().last().unwrap().total;
    assert!((last - 3.9121).abs() < 0.0005, "{last}");
}

/// A class border is met exactly: 2.4 °C counts half a Utah unit, not a whole one.
#[test]
fn class_borders_survive_storage() {
    let table = weather_sums(&constant(1, 2.4), &hourly(Sum::Utah, Some(43.0))).unwrap();
    assert_eq!(table.days()[0].total, 12.0);
}

#[test]
fn from_and_to_cut_the_days_but_neighbours_still_shape_the_nights() {
    let series = days_f(
        "2024-03-01",
        &[(30.0, 60.0), (35.0, 70.0), (50.0, 70.0), (20.0, 40.0)],
    );
    let all = weather_sums(&series, &hourly(Sum::GdhLinear, Some(43.0))).unwrap();
    let cut = SumsRequest {
        from: Some(date("2024-03-02")),
        to: Some(date("2024-03-03")),
        ..hourly(Sum::GdhLinear, Some(43.0))
    };
    let part = weather_sums(&series, &cut).unwrap();
    let values = |table: &SumsTable| {
        table
            .days()
            .iter()
            .map(|d| d.value.unwrap())
            .collect::<Vec<_>>()
    };
    assert_eq!(values(&part), values(&all)[1..3]);
    assert_eq!(part.days()[0].total, part.days()[0].value.unwrap());
}

#[test]
fn what_cannot_be_summed_is_explained() {
    let series = constant(3, 6.0);
    assert_eq!(
        weather_sums(&series, &hourly(Sum::Utah, None)),
        Err(SumsError::NoLatitude)
    );
    assert_eq!(
        weather_sums(&series, &hourly(Sum::Utah, Some(95.0))),
        Err(SumsError::Latitude(95.0))
    );
    assert!(weather_sums(&series, &hourly(Sum::Utah, Some(f64::NAN))).is_err());
    let between = |from, to| SumsRequest {
        from: Some(date(from)),
        to: Some(date(to)),
        ..hourly(Sum::Utah, Some(43.0))
    };
    assert!(matches!(
        weather_sums(&series, &between("2024-01-02", "2024-01-01")),
        Err(SumsError::Reversed { .. })
    ));
    let outside = weather_sums(&series, &between("2025-01-02", "2025-01-03")).unwrap_err();
    assert!(
        outside
            .to_string()
            .ends_with("the file covers 2024-01-01 to 2024-01-03")
    );
    let empty = DailySeries::empty(date("2024-01-01"));
    assert_eq!(
        weather_sums(&empty, &between("2024-01-01", "2024-01-01")),
        Err(SumsError::Empty)
    );
    let request = degree_days(Method::SingleSine, Cutoff::Horizontal, Some(40.0));
    assert!(matches!(
        weather_sums(&series, &request),
        Err(SumsError::DegreeDays(_))
    ));
}
