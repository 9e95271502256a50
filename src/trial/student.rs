//! Student's t distribution: how sure a mean is from a few trays. Pure functions of floats, through `libm`.

/// Terms of the continued fraction; it settles long before.
const TERMS: usize = 300;

/// Share of the t distribution with `freedom` degrees that lies below `t`; `freedom` ≥ 1.
///
/// By the incomplete beta function: for t ≥ 0 it is 1 − I(ν ÷ (ν + t²); ν/2, 1/2) ÷ 2.
pub fn below(t: f64, freedom: f64) -> f64 {
    if t.is_nan() {
        return 0.5;
    }
    let both = incomplete_beta(freedom / (freedom + t * t), freedom / 2.0, 0.5);
    if t >= 0.0 {
        1.0 - both / 2.0
    } else {
        both / 2.0
    }
}

/// The t with a share of `share` below it, `share` strictly between 0 and 1.
pub fn quantile(share: f64, freedom: f64) -> f64 {
    let (mut low, mut high) = (-1.0, 1.0);
    while below(low, freedom) > share && low > -1e12 {
        low *= 2.0;
    }
    while below(high, freedom) < share && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = (low + high) / 2.0;
        if below(middle, freedom) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

/// The regularised incomplete beta function I(x; a, b).
fn incomplete_beta(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    let front = libm::exp(
        libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b)
            + a * libm::log(x)
            + b * libm::log1p(-x),
    );
    if x < (a + 1.0) / (a + b + 2.0) {
        front * fraction(x, a, b) / a
    } else {
        1.0 - front * fraction(1.0 - x, b, a) / b
    }
}

/// Its continued fraction, from the front on, after Lentz.
fn fraction(x: f64, a: f64, b: f64) -> f64 {
    let safe = |value: f64| {
        if value.abs() < 1e-300 { 1e-300 } else { value }
    };
    let mut c = 1.0;
    let mut d = 1.0 / safe(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for term in 1..=TERMS {
        let m = term as f64;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / safe(1.0 + even * d);
        c = safe(1.0 + even / c);
        value *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / safe(1.0 + odd * d);
        c = safe(1.0 + odd / c);
        let change = d * c;
        value *= change;
        if (change - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}
