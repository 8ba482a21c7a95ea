#!/usr/bin/env python3
"""Do the official storm seasons come out of fixtures/climate/storm-days.csv?

    python3 scripts/reference/check_storms.py

Prints storm-days a year by basin and month, from the table smoothed over 3 by 3 cells, and the share inside the
season; ends with 1 if a bound is broken. The seasons are common knowledge (those of the official outlooks). The
bounds: 97 % of Atlantic activity in June to November and a median of 60 named-storm days (Landsea, NOAA AOML
frequently asked questions G1, seen second-hand; Klotzbach and Gray 2015); the others are common practice, no source.
"""

import csv
import sys
from pathlib import Path

TABLE = Path(__file__).resolve().parents[2] / "fixtures/climate/storm-days.csv"
MONTHS = "jan feb mar apr may jun jul aug sep oct nov dec".split()
NOV_TO_APR = "nov dec jan feb mar apr".split()


def read():
    """{(south, west): twelve storm-days a year}"""
    rows = csv.DictReader(line for line in TABLE.open() if not line.startswith("#"))
    return {(int(row["south_deg"]), int(row["west_deg"])): [float(row[m] or 0) for m in MONTHS] for row in rows}


def smooth(cells):
    """Mean of the 3 by 3 cells about each; longitude wraps."""
    out = {}
    for (south, west), days in cells.items():
        for down in (-5, 0, 5):
            for left in (-5, 0, 5):
                key = (south + down, (west + left + 180) % 360 - 180)
                sums = out.setdefault(key, [0.0] * 12)
                for month, value in enumerate(days):
                    sums[month] += value / 9
    return out


def basin(south, west):
    """Edges by 5 degree cells; the Isthmus and Mexico part the Atlantic from the East Pacific."""
    if south < 0:
        if 20 <= west < 90:
            return "South Indian, west of 90 E"
        if 90 <= west < 135:
            return "South Indian, 90 to 135 E"
        return "South Pacific" if west >= 135 or west < -70 else "South Atlantic"
    if west >= 100:
        return "North-West Pacific"
    if 40 <= west:
        return "North Indian"
    atlantic_from = -100 if south >= 20 else {15: -95, 10: -85}.get(south, -80)
    return "North Atlantic" if west >= atlantic_from else "East Pacific"


# basin, season in words, its months, least share inside it, bounds of storm-days a year
SEASONS = (
    ("North Atlantic", "Jun-Nov", "jun jul aug sep oct nov".split(), 0.95, (55, 75)),
    ("East Pacific", "May-Nov", "may jun jul aug sep oct nov".split(), 0.95, None),
    ("North-West Pacific", "Jul-Nov", "jul aug sep oct nov".split(), 0.75, None),
    ("North Indian", "Apr-Jun, Oct-Dec", "apr may jun oct nov dec".split(), 0.75, None),
    ("South Indian, west of 90 E", "Nov-Apr", NOV_TO_APR, 0.90, None),
    ("South Indian, 90 to 135 E", "Nov-Apr", NOV_TO_APR, 0.90, None),
    ("South Pacific", "Nov-Apr", NOV_TO_APR, 0.90, None),
)


def main():
    raw, smoothed = read(), smooth(read())
    by_basin = {}
    for (south, west), days in smoothed.items():
        sums = by_basin.setdefault(basin(south, west), [0.0] * 12)
        for month, value in enumerate(days):
            sums[month] += value
    faults = []
    print(f"{len(raw)} cells, {sum(map(sum, raw.values())):.1f} storm-days a year; smoothed {sum(map(sum, smoothed.values())):.1f}")
    print(f"{'':27}" + "".join(f"{m:>6}" for m in MONTHS) + "   year  in season")
    for name, words, season, least, bounds in SEASONS:
        days = by_basin[name]
        share = sum(days[MONTHS.index(m)] for m in season) / sum(days)
        print(f"{name:27}" + "".join(f"{x:6.1f}" for x in days) + f" {sum(days):6.1f}  {100 * share:4.1f} % in {words}")
        if share < least:
            faults.append(f"{name}: share {share:.3f} below {least}")
        if bounds and not bounds[0] <= sum(days) <= bounds[1]:
            faults.append(f"{name}: {sum(days):.1f} storm-days outside {bounds}")
    west = by_basin["North-West Pacific"]
    if min(west) <= 0 or west.index(min(west)) not in (1, 2):
        faults.append("North-West Pacific: not all the year round, or least not in February or March")
    indian = by_basin["North Indian"]
    if not max(indian[6:8]) < min(max(indian[3:6]), max(indian[9:12])):
        faults.append("North Indian: no trough between the two seasons")
    print("South Atlantic, left out: " + f"{sum(by_basin.get('South Atlantic', [0])):.1f} storm-days a year")
    print("\n".join(faults) or "all bounds hold")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
