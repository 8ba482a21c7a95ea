#!/usr/bin/env python3
"""Write the reference rows for reading the wind climatology and for the Rice wind.

    .venv/climate/bin/python scripts/reference/interpolation_rows.py

Reads fixtures/climate/ship-winds.nc and writes, in fixtures/reference/climate:

    interpolation.csv  the climate at places and times
    rice.csv           spread from mean vector and mean speed
    wind_shares.csv    shares of time by speed and by angle to the course

Independent of the Rust code: xarray, scipy's Bessel functions, root finder,
Rice distribution and quadrature.
"""

from pathlib import Path

import numpy as np
import scipy
import xarray
from scipy.integrate import dblquad, quad
from scipy.optimize import brentq
from scipy.special import erfc, ive
from scipy.stats import rice

ROOT = Path(__file__).resolve().parents[2]
BUILT = ROOT / "fixtures/climate/ship-winds.nc"
OUT = ROOT / "fixtures/reference/climate"
COMMAND = "scripts/reference/interpolation_rows.py"
VERSIONS = f"numpy {np.__version__}, scipy {scipy.__version__}, xarray {xarray.__version__}"
FLOOR_MS = 0.5
MONTH_DAYS = [31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
YEAR_DAYS = 365.2425


def rice_mean(m, s):
    x = m * m / (4 * s * s)
    return s * np.sqrt(np.pi / 2) * ((1 + 2 * x) * ive(0, x) + 2 * x * ive(1, x))


def spread(m, w):
    """Root of the mean speed; the floor where there is none or it is below."""
    if w <= m or rice_mean(m, FLOOR_MS) >= w:
        return FLOOR_MS
    return brentq(lambda s: rice_mean(m, s) - w, FLOOR_MS, w, xtol=1e-13, rtol=1e-14)


def write(name, header, columns, rows):
    text = "".join(f"# {line}\n" for line in header + [f"Made by {COMMAND} with {VERSIONS}."])
    text += ",".join(columns) + "\n" + "".join(",".join(row) + "\n" for row in rows)
    (OUT / name).write_text(text)
    print(f"{name}: {len(rows)} rows")


# -------------------------------------------------------------- interpolation


class Climate:
    def __init__(self):
        file = xarray.open_dataset(BUILT, decode_times=False)
        self.latitude, self.longitude = file.latitude.values, file.longitude.values
        self.u, self.v, self.w, self.t = (
            file[name].values.astype(float)
            for name in ("eastward_wind", "northward_wind", "wind_speed", "air_temperature")
        )
        self.origin = file.origin.values
        length = np.array(MONTH_DAYS)
        self.middle = np.cumsum(length) - length / 2

    def corners(self, latitude, longitude):
        """(row, column, weight) of the surrounding nodes with any weight."""
        row = np.clip(np.searchsorted(self.latitude, latitude, side="right") - 1, 0, self.latitude.size - 2)
        up = (latitude - self.latitude[row]) / 2
        east = ((longitude - self.longitude[0]) % 360) / 2
        column = int(np.floor(east)) % 180
        right = east - np.floor(east)
        return [
            (r, c % 180, wr * wc)
            for r, wr in ((row, 1 - up), (row + 1, up))
            for c, wc in ((column, 1 - right), (column + 1, right))
            if wr * wc > 0
        ]

    def month_value(self, month, corners):
        """u, v, s, air temperature, share of replaced nodes; None for a gap."""
        have = [(r, c, w) for r, c, w in corners if np.isfinite(self.u[month, r, c])]
        if not have:
            return None
        total = sum(w for *_, w in have)
        u, v, s, replaced = (
            sum(w * f(r, c) for r, c, w in have) / total
            for f in (
                lambda r, c: self.u[month, r, c],
                lambda r, c: self.v[month, r, c],
                lambda r, c: spread(np.hypot(self.u[month, r, c], self.v[month, r, c]), self.w[month, r, c]),
                lambda r, c: float(self.origin[month, r, c] != 1),
            )
        )
        warm = [(r, c, w) for r, c, w in have if np.isfinite(self.t[month, r, c])]
        t = sum(w * self.t[month, r, c] for r, c, w in warm) / sum(w for *_, w in warm) if warm else np.nan
        return np.array([u, v, s, t, replaced])

    def at(self, latitude, longitude, day):
        after = int(np.searchsorted(self.middle, day, side="right"))
        first, second = (after - 1) % 12, after % 12
        gap = (self.middle[second] - self.middle[first]) % YEAR_DAYS
        part = ((day - self.middle[first]) % YEAR_DAYS) / gap
        corners = self.corners(latitude, longitude)
        values = [self.month_value(month, corners) for month in (first, second)]
        if any(value is None for value in values):
            return None
        return (1 - part) * values[0] + part * values[1]


def interpolation():
    climate = Climate()
    draw = np.random.default_rng(20)
    asked = []

    def add(latitude, longitude, day):
        asked.append(
            (round(float(latitude), 4), round(float(longitude), 4), round(float(day) % YEAR_DAYS, 4))
        )

    def year():
        return draw.uniform(0, YEAR_DAYS)

    for _ in range(90):  # anywhere, land included: sine of latitude even
        add(np.degrees(np.arcsin(draw.uniform(-0.9, 0.94))), draw.uniform(-180, 180), year())
    for east in (179.0, 180.0, -180.0, 179.9999, -179.9999, 181.5, -179.0):  # antimeridian
        for latitude in (-41.3, -12.7, 3.2, 36.8):
            add(latitude, east, year())
    for east in (0.0, -0.5, 0.9999, 359.3, 360.0, 1.0):  # Greenwich
        for latitude in (-33.4, -5.1, 1.6):
            add(latitude, east, year())
    for east in (-0.7, 359.0, 0.0, 1.0, 0.4):  # where the file's columns begin and end
        for latitude in (-38.2, -55.1, 55.4):
            add(latitude, east, year())
    for day in (
        0.0,
        0.0001,
        7.75,
        15.4999,
        15.5,
        349.7424,
        349.7425,
        357.0,
        365.2424,
    ):  # the turn of the year, middles of months
        for latitude, east in ((-20.3, 80.7), (50.2, -30.4), (-39.6, 61.2)):
            add(latitude, east, day)
    for month in range(12):  # exact nodes in the middle of a month and elsewhere
        add(-39, 61 + 2 * month, climate.middle[month])
        add(-21, 61 + 2 * month, year())
    coast = (
        (-31.9, 115.6),
        (-32.0, 113.2),
        (-29.9, 31.1),
        (-29.9, 31.6),
        (-34.4, 18.3),
        (-25.4, 44.2),
        (-20.1, 57.6),
        (49.9, -5.3),
        (36.0, -5.6),
        (28.2, -15.4),
        (13.1, -59.6),
        (-8.1, -34.8),
        (37.8, -122.7),
        (21.3, -157.9),
        (-36.7, 174.9),
        (-17.6, -149.5),
        (9.0, -79.6),
        (-42.9, 147.5),
        (60.3, 5.0),
        (-54.9, -67.0),
        (12.8, 45.0),
    )
    for latitude, east in coast:
        add(latitude, east, year())
        add(latitude, east, year())
    for latitude, east in (
        (-26.0, 24.0),
        (47.3, 8.5),
        (-24.2, 134.1),
        (40.0, -100.0),
        (62.0, 100.0),
        (-80.0, 0.0),
        (75.2, -41.0),
        (-10.0, -55.0),
    ):
        add(latitude, east, year())  # land
    for latitude, east, day in (
        (-58.3, 20.0, 200.0),
        (58.0, -85.0, 40.0),
        (57.4, -86.2, 330.0),
        (68.2, -170.1, 45.0),
        (-66.0, 30.0, 240.0),
        (74.0, 20.0, 20.0),
    ):
        add(latitude, east, day)  # cold seas, some with a month missing
    for latitude, east, day in (
        (44.6, 47.3, 100.0),
        (46.1, 48.2, 110.0),
        (47.0, 46.2, 40.0),
        (43.0, 52.8, 60.0),
        (37.0, 54.6, 160.0),
    ):
        add(latitude, east, day)  # the Caspian: winds, some without air temperature

    rows = []
    for latitude, longitude, day in asked:
        value = climate.at(latitude, longitude, day)
        place = [f"{latitude:.4f}", f"{longitude:.4f}", f"{day:.4f}"]
        if value is None:
            rows.append(place + [""] * 5 + ["gap"])
        else:
            rows.append(place + ["" if np.isnan(x) else f"{x:.9f}" for x in value] + ["ok"])
    write(
        "interpolation.csv",
        [
            "The climate of fixtures/climate/ship-winds.nc at places and times.",
            "Spread s solved at each node and month from unpacked u, v and W (root by brentq; 0.5 m/s where W <= hypot(u, v) or the root",
            "is less); bilinear in (u, v, s) over the four nodes around, longitude cyclic; nodes without data drop out and the other",
            "weights are scaled to sum to 1 (air temperature over the nodes that have one; empty if none in either month); then linear",
            "in time between the middles of the calendar months of a year of 365.2425 days (February 28.2425), cyclic.",
            "day_of_year: 0 is 1 January 00:00. replaced_share: weight of nodes whose origin is not 'observed', over space and time.",
            "status: ok, or gap where no node of any weight has data in one of the two months. Latitudes all within the grid's, 89 S to 89 N.",
            "Units: degrees, days, m/s, degrees Celsius. Accuracy: 1e-8 in every column (root to 1e-12, printed to 1e-9).",
        ],
        "latitude_deg longitude_deg day_of_year u_ms v_ms s_ms air_temperature_c replaced_share status".split(),
        rows,
    )
    kinds = [row[-1] for row in rows]
    print(
        f"  ok {kinds.count('ok')}, gap {kinds.count('gap')}, no temperature {sum(r[-1] == 'ok' and r[6] == '' for r in rows)}, "
        f"part replaced {sum(r[-1] == 'ok' and 0 < float(r[7]) < 1 for r in rows)}"
    )


# ----------------------------------------------------------------------- Rice


def rice_rows():
    rows, worst = [], 0.0
    for m in (0, 0.05, 0.3, 1, 2.5, 4, 6, 7.5, 9, 12, 16, 22, 30, 40):
        for s in (0.5, 0.75, 1.1, 1.7, 2.4, 3.3, 4.6, 6.2, 8, 10.5, 15):
            w = rice_mean(m, s)
            numeric = quad(
                lambda r: r * rice.pdf(r, m / s, scale=s),
                max(0, m - 12 * s),
                m + 12 * s,
                points=[m],
                epsabs=1e-12,
                epsrel=1e-12,
                limit=400,
            )[0]
            worst = max(worst, abs(numeric - w) / w)
            rows.append([repr(float(m)), repr(float(w)), repr(float(s)), "root"])
    for m, w in (
        (0, 0.0),
        (0, 0.4),
        (3, 2.9),
        (3, 3.0),
        (3, 3.02),
        (8, 8.0),
        (8, 8.001),
        (15, 14.2),
        (0.2, 0.6),
    ):
        rows.append([repr(float(m)), repr(float(w)), "0.5", "floor"])
        assert spread(m, w) == FLOOR_MS
    assert worst < 1e-10
    write(
        "rice.csv",
        [
            "Spread s per wind component from the length m of the mean wind vector and the mean speed W (Rice distribution).",
            "kind root: W is the closed-form mean for this s (scipy.special.ive), full double precision. kind floor: W <= m, or the root",
            "lies below 0.5 m/s, and s is 0.5 m/s by the model's rule.",
            f"The closed form was checked against quadrature of scipy.stats.rice.pdf; largest relative difference {worst:.0e}.",
            "Units: m/s. Accuracy: W to 1e-14 relative; s to be found from W within 1e-9 m/s (worst conditioned at m = 40, s = 0.5).",
        ],
        ["m_ms", "w_ms", "s_ms", "kind"],
        rows,
    )


# --------------------------------------------------------------------- shares


def ray_density(angle, m, s, threshold):
    """Density of the wind's angle off its mean, speeds of `threshold` or more only."""
    along, across = m * np.cos(angle), m * np.sin(angle)
    tail = s * s * np.exp(-((threshold - along) ** 2) / (2 * s * s))
    tail += along * s * np.sqrt(np.pi / 2) * erfc((threshold - along) / (np.sqrt(2) * s))
    return np.exp(-across * across / (2 * s * s)) / (2 * np.pi * s * s) * tail


def share_within(m, s, off, half, threshold):
    low, high = np.radians(off - half), np.radians(off + half)
    marks = [x for x in (-2 * np.pi, -np.pi, 0.0, np.pi, 2 * np.pi) if low < x < high]
    edges = [low, *marks, high]
    return sum(
        quad(ray_density, a, b, args=(m, s, threshold), epsabs=1e-13, epsrel=1e-12, limit=400)[0]
        for a, b in zip(edges, edges[1:])
    )


def shares_by_dense(m, s, off, half, threshold):
    def density(r, angle):
        return r / (2 * np.pi * s * s) * np.exp(-(r * r + m * m - 2 * r * m * np.cos(angle)) / (2 * s * s))

    return dblquad(
        density,
        np.radians(off - half),
        np.radians(off + half),
        threshold,
        m + threshold + 14 * s,
        epsabs=1e-10,
        epsrel=1e-10,
    )[0]


def share_rows():
    rows, worst = [], 0.0
    knot = 1852 / 3600
    winds = (
        (0, 2.5),
        (1.2, 4.0),
        (4.0, 6.2),
        (6.0, 5.8),
        (7.0, 2.0),
        (6.5, 3.2),
        (9.5, 6.5),
        (12.0, 3.0),
        (3.0, 0.5),
        (14.0, 9.5),
    )
    cases = (
        (0, 60, 20),
        (35, 60, 22),
        (180, 60, 34),
        (150, 110, 6),
        (90, 60, 20),
        (-120, 90, 34),
        (60, 60, 0),
        (17.5, 180, 22),
    )
    for i, (m, s) in enumerate(winds):
        for j, (off, half, knots) in enumerate(cases):
            x = knots * knot
            speed = rice.sf(x, m / s, scale=s)
            within, both = share_within(m, s, off, half, 0.0), share_within(m, s, off, half, x)
            if (i + j) % 5 == 0:
                worst = max(worst, abs(shares_by_dense(m, s, off, half, x) - both))
            if half == 180:
                worst = max(worst, abs(within - 1), abs(both - speed))
            rows.append(
                [
                    f"{m}",
                    f"{s}",
                    f"{off}",
                    f"{half}",
                    f"{x:.12f}",
                    *(f"{abs(p):.12f}" for p in (speed, within, both)),
                ]
            )
    assert worst < 1e-9
    write(
        "wind_shares.csv",
        [
            "Shares of time by speed and by direction when the wind's components are independent Gaussians of spread s about a mean of length m.",
            "mean_off_deg: from the course to the direction the mean wind comes from, clockwise. half_angle_deg: 'within' means the wind comes",
            "from no more than this off the course, either side. share_speed: speed of threshold_ms or more (scipy.stats.rice.sf).",
            "share_within: direction alone. share_both: both at once. Speed integrated in closed form along each ray, angle by scipy quad;",
            f"every fifth share_both checked by dblquad, and half angle 180 against 1 and share_speed: largest difference {worst:.0e}.",
            "Units: m/s, degrees; shares of 1. Accuracy: 1e-7 claimed (differences seen are smaller, above).",
        ],
        "m_ms s_ms mean_off_deg half_angle_deg threshold_ms share_speed share_within share_both".split(),
        rows,
    )


if __name__ == "__main__":
    OUT.mkdir(parents=True, exist_ok=True)
    interpolation()
    rice_rows()
    share_rows()
