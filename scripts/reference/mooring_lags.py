#!/usr/bin/env python3
"""Write fixtures/reference/climate/mooring-lags.csv from the daily winds of the TAO moorings.

    .venv/climate/bin/python scripts/reference/mooring_lags.py DAILY.dat.gz

The daily file is that of mooring_table.py, whose places group the moorings. Counted are products of daily
winds some days apart in one month of one year, about that month's own mean.
"""

import sys
from pathlib import Path

import numpy as np
from mooring_table import LATITUDES, LONGITUDES, read

OUT = Path(__file__).resolve().parents[2] / "fixtures/reference/climate/mooring-lags.csv"
LAGS = (0, 1, 2, 3, 5, 7, 10)
FEWEST_DAYS = 300

HEADER = """\
# Daily winds of equatorial Pacific moorings 1980-1998: at each place (degrees east) the days, and for lags of 0, 1, 2,
# 3, 5, 7 and 10 days the pairs of days in one month and the sum over both components of the products of their
# departures from that month's own mean, (m/s)^2.
# Source: TAO Project, NOAA Pacific Marine Environmental Laboratory; computed with numpy {}.
# command: python scripts/reference/mooring_lags.py DAILY.dat.gz
# claimed accuracy: 0.01 in each sum.
""".format(np.__version__)


def main():
    day, year, month, latitude, longitude, u, v = read(sys.argv[1])
    row = np.abs(latitude[:, None] - LATITUDES).argmin(axis=1)
    column = np.abs(longitude[:, None] - LONGITUDES).argmin(axis=1)
    text = HEADER + "latitude_deg,longitude_deg,days"
    text += "".join(f",pairs_{lag}" for lag in LAGS) + "".join(f",products_{lag}" for lag in LAGS) + "\n"
    for j, i in sorted(set(zip(row.tolist(), column.tolist()))):
        here = np.flatnonzero((row == j) & (column == i))
        _, first = np.unique(day[here], return_index=True)
        here = here[first]
        pairs, products = np.zeros(len(LAGS), int), np.zeros(len(LAGS))
        of_year = year[here] * 12 + month[here]
        for one in np.unique(of_year):
            at = here[of_year == one]
            known = np.full((40, 2), np.nan)
            known[(day[at] - day[at].min()).astype(int)] = np.stack([u[at], v[at]], axis=1)
            departure = known - np.nanmean(known, axis=0)
            for k, lag in enumerate(LAGS):
                product = departure[: 40 - lag] * departure[lag:]
                pairs[k] += np.isfinite(product[:, 0]).sum()
                products[k] += np.nansum(product)
        if pairs[0] < FEWEST_DAYS:
            continue
        text += f"{latitude[here].mean():.1f},{longitude[here].mean():.1f},{len(here)},"
        text += ",".join(str(n) for n in pairs) + "," + ",".join(f"{x:.2f}" for x in products) + "\n"
    OUT.write_text(text)
    print(f"{OUT}: {len(text)} bytes")


if __name__ == "__main__":
    main()
