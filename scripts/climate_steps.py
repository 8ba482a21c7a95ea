"""Three mendings of the ship means, used by scripts/build-climate.

Each can be left out (`build-climate --without NAME`), so that its effect can
be measured; figures and reasons are in fixtures/climate/README.md.

directions  the scatter of reported directions makes the mean vector too short;
south       south of 30 S the level is that of a published reanalysis;
coast       cells with little sea that are unlike their neighbours are dropped.
"""

import csv
from pathlib import Path

import numpy as np
from scipy.ndimage import gaussian_filter1d

STEPS = ("directions", "south", "coast")
TABLE = Path(__file__).resolve().parent.parent / "fixtures/climate/southern-winds.csv"

DIRECTION_SCATTER_DEG = 10.0  # standard deviation of one reported direction; judged by the moorings
SOUTH_FROM, SOUTH_FULL = -30.0, -35.0  # latitudes: reanalysis level from nothing to all
SEASONS = dict(DJF=(11, 0, 1), MAM=(2, 3, 4), JJA=(5, 6, 7), SON=(8, 9, 10))
BASINS = dict(Atlantic=(290.0, 20.0), Indian=(20.0, 146.0), Pacific=(146.0, 290.0))  # west and east edge
BASIN_EDGE_CELLS = 5.0  # one basin's factor gives way to the next's over this standard deviation
COAST_SHARE = 0.5  # of sea; cells with less are compared with their neighbours
COAST_LIMIT_MS = 1.5  # departure from the neighbours allowed to a cell that is all land ...
COAST_LIMIT_SEA_MS = 3.0  # ... and so much more to one that is all sea
COAST_ERRORS = 2.0  # standard errors allowed on top


def in_basin(name, longitude):
    west, east = BASINS[name]
    return (longitude - west) % 360 < (east - west) % 360


# ----------------------------------------------------------------- directions


def vector_shortening():
    """Mean vector of scattered directions over the true one: exp(-sd^2 / 2)."""
    return np.exp(-np.radians(DIRECTION_SCATTER_DEG) ** 2 / 2)


# ---------------------------------------------------------------------- south


def south_share(latitude):
    return np.clip((latitude - SOUTH_FROM) / (SOUTH_FULL - SOUTH_FROM), 0.0, 1.0)


def read_table():
    """Reanalysis means, u + iv: {(latitude, basin): one value for each season}."""
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return {
        (float(row["latitude_deg"]), row["basin"]): np.array(
            [float(row[f"u_{s}_ms"]) + 1j * float(row[f"v_{s}_ms"]) for s in SEASONS]
        )
        for row in csv.DictReader(lines)
    }


def seasonal(field):
    """Months (first axis) to seasons."""
    return np.array([field[list(months)].mean(axis=0) for months in SEASONS.values()])


def southern_background(navy, sea_share, latitude, longitude):
    """Navy wind brought to the table's means; NaN outside the table's latitudes.

    One factor and turn for each basin and latitude, fitted to the four seasons;
    what the seasons' means still lack is then added basin by basin.
    """
    table = read_table()
    rows = [row for row, lat in enumerate(latitude) if (lat, "Indian") in table]
    basins = list(BASINS)
    member = np.array([in_basin(name, longitude) for name in basins]).astype(float)
    soft = gaussian_filter1d(member, BASIN_EDGE_CELLS, axis=1, mode="wrap")
    target = np.array([[table[latitude[row], name] for name in basins] for row in rows])  # row, basin, season

    def means(field):
        out = np.empty_like(target)
        for j, row in enumerate(rows):
            for k in range(len(basins)):
                here = (member[k] > 0) & (sea_share[row] == 1)
                out[j, k] = seasonal(field[:, row][:, here]).mean(axis=1)
        return out

    have = means(navy)
    top, bottom = (target * have.conj()).sum(axis=2), (np.abs(have) ** 2).sum(axis=2)
    gain = gaussian_filter1d(top, 1.0, axis=0, mode="nearest") / gaussian_filter1d(
        bottom, 1.0, axis=0, mode="nearest"
    )
    field = np.full(navy.shape, np.nan, complex)
    field[:, rows] = navy[:, rows] * np.einsum("jk,kx->jx", gain, soft)
    for _ in range(3):  # the soft edges make one pass fall short
        lacks = target - means(field)
        of_month = np.array([lacks[:, :, s] for s in season_of_months()])
        field[:, rows] += np.einsum("mjk,kx->mjx", of_month, soft)
    field[:, : rows[0]] = navy[:, : rows[0]] * (gain[0] @ soft)
    return field, gain


def season_of_months():
    return [next(s for s, months in enumerate(SEASONS.values()) if m in months) for m in range(12)]


# ---------------------------------------------------------------------- coast


def coast_outliers(wind, own, error, sea_share):
    """Reported cells of little sea whose mean is unlike the sea's about them.

    `wind` is the field as it stands. The eight neighbours count by their share
    of sea, with half a cell of sea at least among them. The allowance is in
    COAST_LIMIT_MS and COAST_LIMIT_SEA_MS, and COAST_ERRORS standard errors.
    """
    shifts = [(j, i) for j in (-1, 0, 1) for i in (-1, 0, 1) if (j, i) != (0, 0)]
    weight = sum(np.roll(sea_share, s, (0, 1)) for s in shifts)
    around = sum(np.roll(sea_share * wind, s, (1, 2)) for s in shifts) / np.maximum(weight, 1e-9)
    allowed = COAST_LIMIT_MS + COAST_LIMIT_SEA_MS * sea_share + COAST_ERRORS * error
    return (sea_share < COAST_SHARE) & (weight >= 0.5) & (np.abs(np.nan_to_num(own) - around) > allowed)
