#!/usr/bin/env python3
"""Write a synthetic series of winds and what xarray and NumPy measure in it.

    .venv/bin/python scripts/reference/series_rows.py

The series, fixtures/reference/climate/series.nc: four nodes, six-hourly, three years; u and v are a seasonal
mean and two Ornstein-Uhlenbeck parts each (24 h, and 400 h with a quarter of the variance), stored as 16-bit
integers. The rows: for each node and month the means, moments and shares by xarray's groupby, correlations of
daily means about the mean of their own month by NumPy, and the memory that scipy fits to them; its expected
covariances are made from a brute-force average of the hourly correlation matrix, not by formula.
"""

import hashlib
from pathlib import Path

import netCDF4
import numpy as np
import scipy
import scipy.optimize
import xarray as xr

FOLDER = Path(__file__).resolve().parents[2] / "fixtures/reference/climate"
LAGS = [0, 1, 2, 3, 5, 7, 10]
SLOW_HOURS = 400.0
KN = 1852 / 3600


def ou(rng, steps, hours, tau, shape):
    r = np.exp(-hours / tau)
    x = np.empty((steps, *shape))
    x[0] = rng.standard_normal(shape)
    for i in range(1, steps):
        x[i] = r * x[i - 1] + np.sqrt(1 - r * r) * rng.standard_normal(shape)
    return x


def write_series(path):
    rng = np.random.default_rng(15)
    steps = (365 + 366 + 365) * 4
    day = np.arange(steps) / 4
    season = np.cos(2 * np.pi * day / 365.25)[:, None, None]
    with netCDF4.Dataset(path, "w") as file:
        file.title = "synthetic six-hourly winds"
        file.license = "CC0-1.0"
        for name, values, units in [
            ("latitude", [-28.0, -30.0], "degrees_north"),
            ("longitude", [179.0, 181.0], "degrees_east"),
            ("time", np.arange(steps) * 6.0, "hours since 1995-01-01"),
        ]:
            file.createDimension(name, len(values))
            axis = file.createVariable(name, "f8", (name,))
            axis.units = units
            axis[:] = values
        for name, mean, amplitude, s in [("u10", -5.0, 2.0, 4.5), ("v10", 2.0, -1.0, 3.5)]:
            z = np.sqrt(0.76) * ou(rng, steps, 6, 24.0, (2, 2)) + np.sqrt(0.24) * ou(rng, steps, 6, 400.0, (2, 2))
            wind = file.createVariable(name, "i2", ("time", "latitude", "longitude"), zlib=True, complevel=9)
            wind.set_auto_scale(False)
            wind.units = "m s**-1"
            wind.scale_factor = 0.01
            wind.add_offset = 1.0
            wind[:] = np.rint((mean + amplitude * season + s * z - 1.0) / 0.01).astype("i2")


def expected_within(tau, days):
    """Covariance of daily means of four samples about the month's mean, by lag, of an OU of variance 1."""
    hours = np.arange(days * 4) * 6.0
    full = np.exp(-np.abs(hours[:, None] - hours[None, :]) / tau)
    daily = full.reshape(days, 4, days, 4).mean(axis=(1, 3))
    centre = np.eye(days) - 1 / days
    within = centre @ daily @ centre
    return np.array([np.diagonal(within, lag).mean() for lag in LAGS])


def fit(counted, days):
    slow = expected_within(SLOW_HOURS, days)

    def solved(log_tau):
        matrix = np.stack([expected_within(np.exp(log_tau), days), slow], axis=1)
        return scipy.optimize.nnls(matrix, counted)

    grid = np.linspace(np.log(2), np.log(200), 60)
    best = min(grid, key=lambda x: solved(x)[1])
    step = grid[1] - grid[0]
    found = scipy.optimize.minimize_scalar(
        lambda x: solved(x)[1], bounds=(best - step, best + step), method="bounded", options={"xatol": 1e-4}
    )
    fast, slow_part = solved(found.x)[0]
    return slow_part / (fast + slow_part), np.exp(found.x)


def main():
    path = FOLDER / "series.nc"
    write_series(path)
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    data = xr.open_dataset(path).sortby("latitude")
    u, v = data.u10.astype("f8"), data.v10.astype("f8")
    speed = np.hypot(u, v)
    by = lambda x: x.groupby("time.month").mean().values
    columns = {
        "u_ms": by(u),
        "v_ms": by(v),
        "speed_ms": by(speed),
        "u_variance": u.groupby("time.month").var().values,
        "v_variance": v.groupby("time.month").var().values,
        "uv_covariance": by(u * v) - by(u) * by(v),
        "gale_share": by((speed >= 34 * KN).astype("f8")),
        "calm_share": by((speed < KN).astype("f8")),
        "u_anomaly_1996": u.sel(time="1996").groupby("time.month").mean().values - by(u),
    }
    daily = [x.resample(time="D").mean() for x in (u, v)]
    months = daily[0].time.values.astype("datetime64[M]")
    products, pairs = np.zeros((len(LAGS), 12, 2, 2)), np.zeros((len(LAGS), 12, 1, 1))
    for month in np.unique(months):
        at = int(str(month)[5:]) - 1
        for x in daily:
            z = x.values[months == month]
            z = z - z.mean(axis=0)
            for i, lag in enumerate(LAGS):
                products[i, at] += (z[: len(z) - lag] * z[lag:]).sum(axis=0)
                pairs[i, at] += (len(z) - lag) / 2
    counted = products / pairs
    for i, lag in enumerate(LAGS[1:], 1):
        columns[f"lag_{lag}"] = counted[i] / counted[0]
    columns["slow_share"], columns["fast_hours"] = np.zeros((2, 12, 2, 2))
    for month in range(12):
        days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month]
        for j in range(2):
            for i in range(2):
                share, hours = fit(counted[:, month, j, i], days)
                columns["slow_share"][month, j, i], columns["fast_hours"][month, j, i] = share, hours
    text = (
        "# What xarray and NumPy measure in series.nc, and the memory scipy fits: see scripts/reference/series_rows.py.\n"
        "# command: python scripts/reference/series_rows.py\n"
        f"# versions: numpy {np.__version__}, scipy {scipy.__version__}, xarray {xr.__version__}, netCDF4 {netCDF4.__version__}\n"
        f"# series.nc: sha256 {digest}\n"
        "# claimed accuracy: 1e-6 in the unit of each column; the memory as printed.\n"
        "month,row,column," + ",".join(columns) + "\n"
    )
    for month in range(12):
        for j in range(2):
            for i in range(2):
                cells = ",".join(f"{x[month, j, i]:.6f}" for x in columns.values())
                text += f"{month + 1},{j},{i},{cells}\n"
    (FOLDER / "series.csv").write_text(text)
    print(path.stat().st_size, len(text))


if __name__ == "__main__":
    main()
