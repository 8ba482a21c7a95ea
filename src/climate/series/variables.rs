//! The figures of a measured climate, declared once: what each is called in the file, its unit, how it is
//! packed and where it comes from.

use super::measure::Measured;
use crate::climate::gridded::Quantity;

/// How a figure stands in the file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Declared {
    pub(super) name: &'static str,
    pub(super) long_name: &'static str,
    /// None where the CF conventions have none for it.
    pub(super) standard_name: Option<&'static str>,
    pub(super) units: &'static str,
    pub(super) cell_methods: Option<&'static str>,
    pub(super) scale: f64,
    pub(super) offset: f64,
}

/// A figure by month and node.
pub(super) struct Figure {
    pub(super) declared: Declared,
    pub(super) of: fn(&Measured) -> f32,
    /// Whether it is known only where the series is daily or finer.
    pub(super) needs_days: bool,
}

/// Of a mean wind: to 2 mm/s, as far as 65 m/s.
const WIND_SCALE: f64 = 0.002;
/// Of a variance: as far as 650 (m/s)^2.
const VARIANCE_SCALE: f64 = 0.02;
const SHARE_SCALE: f64 = 1e-4;

const MEAN: Option<&str> = Some("time: mean within years time: mean over years");

const fn declared(
    name: &'static str,
    long_name: &'static str,
    standard_name: Option<&'static str>,
    units: &'static str,
    cell_methods: Option<&'static str>,
    scale: f64,
) -> Declared {
    Declared {
        name,
        long_name,
        standard_name,
        units,
        cell_methods,
        scale,
        offset: 0.0,
    }
}

/// The name of the variance of u in a climate this program measured; [`V_VARIANCE`] that of v.
pub(in crate::climate) const U_VARIANCE: &str = "u_variance";
/// The name of the variance of v.
pub(in crate::climate) const V_VARIANCE: &str = "v_variance";

/// The name of a year's departure of u in a climate this program measured; [`V_ANOMALY`] that of v.
pub(in crate::climate) const U_ANOMALY: &str = "u_anomaly";
/// The name of a year's departure of v.
pub(in crate::climate) const V_ANOMALY: &str = "v_anomaly";

/// How the file says that a figure is such a variance.
pub(in crate::climate) const VARIANCE_METHOD: &str = "time: variance";

/// The winds' figures, in the file's order.
pub(super) const FIGURES: [Figure; 13] = [
    Figure {
        declared: declared(
            "u",
            "mean wind toward the east at 10 m",
            Some("eastward_wind"),
            "m s-1",
            MEAN,
            WIND_SCALE,
        ),
        of: |node| node.u_ms,
        needs_days: false,
    },
    Figure {
        declared: declared(
            "v",
            "mean wind toward the north at 10 m",
            Some("northward_wind"),
            "m s-1",
            MEAN,
            WIND_SCALE,
        ),
        of: |node| node.v_ms,
        needs_days: false,
    },
    Figure {
        declared: declared(
            "speed",
            "mean scalar wind speed at 10 m",
            Some("wind_speed"),
            "m s-1",
            MEAN,
            WIND_SCALE,
        ),
        of: |node| node.speed_ms,
        needs_days: false,
    },
    Figure {
        declared: declared(
            U_VARIANCE,
            "variance of u about the month's mean of all years",
            None,
            "m2 s-2",
            Some(VARIANCE_METHOD),
            VARIANCE_SCALE,
        ),
        of: |node| node.u_variance,
        needs_days: true,
    },
    Figure {
        declared: declared(
            V_VARIANCE,
            "variance of v about the month's mean of all years",
            None,
            "m2 s-2",
            Some(VARIANCE_METHOD),
            VARIANCE_SCALE,
        ),
        of: |node| node.v_variance,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "uv_covariance",
            "covariance of u and v about the month's means of all years",
            None,
            "m2 s-2",
            None,
            VARIANCE_SCALE,
        ),
        of: |node| node.uv_covariance,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "gale_share",
            "share of steps with 34 knots or more",
            None,
            "1",
            None,
            SHARE_SCALE,
        ),
        of: |node| node.gale_share,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "calm_share",
            "share of steps below 1 knot",
            None,
            "1",
            None,
            SHARE_SCALE,
        ),
        of: |node| node.calm_share,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "slow_share",
            "share of the variance within months of years in a slow part of 400 hours",
            None,
            "1",
            None,
            SHARE_SCALE,
        ),
        of: |node| node.slow_share,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "fast_hours",
            "time constant of the fast part of the wind's memory",
            None,
            "hours",
            None,
            0.1,
        ),
        of: |node| node.fast_hours,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "single_hours",
            "time constant of the wind's memory if it has one part only",
            None,
            "hours",
            None,
            0.1,
        ),
        of: |node| node.single_hours,
        needs_days: true,
    },
    Figure {
        declared: declared(
            "u_year_variance",
            "variance of the month's mean u from year to year",
            None,
            "m2 s-2",
            None,
            VARIANCE_SCALE / 10.0,
        ),
        of: |node| node.u_year_variance,
        needs_days: false,
    },
    Figure {
        declared: declared(
            "v_year_variance",
            "variance of the month's mean v from year to year",
            None,
            "m2 s-2",
            None,
            VARIANCE_SCALE / 10.0,
        ),
        of: |node| node.v_year_variance,
        needs_days: false,
    },
];

/// Each year's month less the mean of all years: of u, v and speed.
pub(super) const ANOMALIES: [Declared; 3] = [
    declared(
        U_ANOMALY,
        "mean u of the month in the year less u",
        None,
        "m s-1",
        None,
        WIND_SCALE,
    ),
    declared(
        V_ANOMALY,
        "mean v of the month in the year less v",
        None,
        "m s-1",
        None,
        WIND_SCALE,
    ),
    declared(
        "speed_anomaly",
        "mean speed of the month in the year less speed",
        None,
        "m s-1",
        None,
        WIND_SCALE,
    ),
];

/// The correlation of daily means, by lag.
pub(super) const LAG_CORRELATION: Declared = declared(
    "lag_correlation",
    "correlation of daily mean winds some days apart in one month, both components together, about that month's own mean",
    None,
    "1",
    None,
    SHARE_SCALE,
);

/// How a quantity besides the winds' components and speed stands in the file.
pub(super) fn declared_mean(quantity: Quantity) -> Option<Declared> {
    let figure = |name, long_name, units, scale| {
        declared(
            name,
            long_name,
            Some(quantity.standard_name()),
            units,
            MEAN,
            scale,
        )
    };
    Some(match quantity {
        Quantity::Gust => figure("gust", "mean of gusts at 10 m", "m s-1", WIND_SCALE),
        Quantity::AirTemperature => figure("air", "mean air temperature", "degC", 0.01),
        Quantity::Pressure => Declared {
            offset: 100_000.0,
            ..figure("pressure", "mean air pressure at sea level", "Pa", 1.0)
        },
        Quantity::EastwardCurrent => figure(
            "current_east",
            "mean surface current toward the east",
            "knots",
            0.001,
        ),
        Quantity::NorthwardCurrent => figure(
            "current_north",
            "mean surface current toward the north",
            "knots",
            0.001,
        ),
        Quantity::WaveHeight => figure("wave_height", "mean significant wave height", "m", 0.001),
        Quantity::EastwardWind
        | Quantity::NorthwardWind
        | Quantity::WindSpeed
        | Quantity::WindVariance => return None,
    })
}
