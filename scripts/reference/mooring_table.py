#!/usr/bin/env python3
"""Write fixtures/climate/moorings.csv from the daily winds of the TAO moorings.

    .venv/climate/bin/python scripts/reference/mooring_table.py DAILY.dat.gz

The daily file (columns: observation, year, month, day, date, latitude, longitude, u, v, humidity, air, sea)
is the "El Nino" data set of the UCI machine learning repository, given by the TAO Project Office, NOAA PMEL;
that name and place are from memory. No package registry at hand holds it, so the small table is kept.
"""

import gzip
import sys
from datetime import date
from pathlib import Path

import numpy as np

OUT = Path(__file__).resolve().parents[2] / "fixtures/climate/moorings.csv"
LATITUDES = np.array([-8, -5, -2, 0, 2, 5, 8, 9.0])
LONGITUDES = np.array([137, 147, 154, 156, 165, 180, 190, 205, 220, 235, 250, 265.0])
MONTHS = (1, 4, 7, 10)
FEWEST_DAYS, FEWEST_YEARS = 60, 3
FEWEST_IN_YEAR = 240  # days within half a year each way, for a running mean

HEADER = """\
# Daily winds of equatorial Pacific moorings 1980-1998 by mooring and month: place (degrees east), days, years,
# mean u and v, standard deviation of u and v about the month's mean of all years, and of one component about a
# running mean of a year. m/s as recorded: daily vector means, nominally 4 m above the sea (the project's readme,
# https://www.pmel.noaa.gov/tao/proj_over/coare/readme.html).
# Source: TAO Project, NOAA Pacific Marine Environmental Laboratory. Made by scripts/reference/mooring_table.py.
latitude_deg,longitude_deg,month,days,years,u_ms,v_ms,sd_u_ms,sd_v_ms,sd_running_ms
"""


def read(path):
    kept = []
    for line in gzip.open(path, "rt"):
        x = line.split()
        if "." not in (x[7], x[8]):
            day = date(1900 + int(x[1]), int(x[2]), int(x[3])).toordinal()
            kept.append([day, int(x[1]), int(x[2]), float(x[5]), float(x[6]) % 360, float(x[7]), float(x[8])])
    return np.array(kept).T


def about_running_year(day, wind):
    """Departures from the mean of the days within half a year; NaN where too few."""
    sums = np.concatenate([[0], np.cumsum(wind)])
    first, last = np.searchsorted(day, day - 182), np.searchsorted(day, day + 183)
    return np.where(last - first >= FEWEST_IN_YEAR, wind - (sums[last] - sums[first]) / (last - first), np.nan)


def main():
    day, year, month, latitude, longitude, u, v = read(sys.argv[1])
    row = np.abs(latitude[:, None] - LATITUDES).argmin(axis=1)
    column = np.abs(longitude[:, None] - LONGITUDES).argmin(axis=1)
    text = HEADER
    for j, i in sorted(set(zip(row.tolist(), column.tolist()))):
        here = np.flatnonzero((row == j) & (column == i))
        here = here[np.argsort(day[here], kind="stable")]
        departure = about_running_year(day[here], (u + 1j * v)[here])
        for which in MONTHS:
            at = month[here] == which
            k = here[at]
            years = len(set(year[k]))
            if k.size < FEWEST_DAYS or years < FEWEST_YEARS:
                continue
            d = departure[at]
            d = d[np.isfinite(d)]
            running = f"{np.sqrt((np.abs(d - d.mean()) ** 2).mean() / 2):.2f}" if d.size >= FEWEST_DAYS else ""
            text += (
                f"{latitude[k].mean():.1f},{longitude[k].mean():.1f},{which},{k.size},{years},{u[k].mean():.2f},"
                f"{v[k].mean():.2f},{u[k].std(ddof=1):.2f},{v[k].std(ddof=1):.2f},{running}\n"
            )
    OUT.write_text(text)
    print(f"{OUT}: {len(text)} bytes")


if __name__ == "__main__":
    main()
