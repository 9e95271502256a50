//! Lines through weighed trays and the t distribution against published figures.

use crate::near;
use sowrota::trial::fit::{least_squares, median_line};
use sowrota::trial::student::{below, quantile};

/// NIST, Statistical Reference Datasets, linear regression, Norris (calibration of ozone monitors; National Institute of Standards and
/// Technology, public domain): 36 readings (x, y). Certified to 15 digits; doubles keep about 12 of them here, 9 are asked.
#[test]
fn norris() {
    let x = [
        0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
        666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1,
        887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
    ];
    let y = [
        0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
        668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3,
        888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
    ];
    let points: Vec<(f64, f64)> = x.into_iter().zip(y).collect();
    assert_eq!(points.len(), 36);
    let found = least_squares(&points).unwrap();
    near("intercept", found.line.at_zero, -0.262323073774029, 1e-9);
    near("slope", found.line.slope, 1.00211681802045, 1e-12);
    near("its error", found.error_at_zero, 0.232818234301152, 1e-10);
    near(
        "error of the slope",
        found.error_of_slope,
        0.429796848199937e-3,
        1e-13,
    );
    near("spread", found.spread, 0.884796396144373, 1e-10);
}

/// Sen, Estimates of the regression coefficient based on Kendall's tau, Journal of the American Statistical Association 63, 1968: the
/// example of seven points has the slope 4. The intercept 6 as tested in R package deming (T. Therneau). Exact but for rounding.
#[test]
fn sen() {
    let points = [
        (1.0, 9.0),
        (2.0, 15.0),
        (3.0, 19.0),
        (4.0, 20.0),
        (10.0, 45.0),
        (12.0, 55.0),
        (18.0, 78.0),
    ];
    let line = median_line(&points).unwrap();
    near("slope", line.slope, 4.0, 1e-12);
    near("intercept", line.at_zero, 6.0, 1e-12);
}

/// Quantiles of Student's t: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2, as a copy of its table restates it. Three
/// decimals are printed.
#[test]
fn students_table() {
    for (freedom, at_95, at_975, at_99) in [
        (1.0, 6.314, 12.706, 31.821),
        (2.0, 2.920, 4.303, 6.965),
        (3.0, 2.353, 3.182, 4.541),
        (4.0, 2.132, 2.776, 3.747),
        (5.0, 2.015, 2.571, 3.365),
        (10.0, 1.812, 2.228, 2.764),
        (30.0, 1.697, 2.042, 2.457),
        (100.0, 1.660, 1.984, 2.364),
    ] {
        for (share, printed) in [(0.95, at_95), (0.975, at_975), (0.99, at_99)] {
            let what = format!("t of {share} with {freedom} degrees");
            near(&what, quantile(share, freedom), printed, 0.000_51);
            near(&what, quantile(1.0 - share, freedom), -printed, 0.000_51);
        }
    }
}

/// One degree of freedom is Cauchy's distribution, 1/2 + atan(t) ÷ π; two are 1/2 + t ÷ (2 √(2 + t²)).
#[test]
fn one_and_two_degrees_in_closed_form() {
    for t in [-40.0, -3.0, -0.7, 0.0, 0.2, 1.0, 2.5, 12.0] {
        let cauchy = 0.5 + f64::atan(t) / std::f64::consts::PI;
        near("one degree", below(t, 1.0), cauchy, 1e-12);
        let two = 0.5 + t / (2.0 * (2.0 + t * t).sqrt());
        near("two degrees", below(t, 2.0), two, 1e-12);
    }
}
