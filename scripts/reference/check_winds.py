#!/usr/bin/env python3
"""Measure what each mending of the ship winds does, against witnesses from outside.

    .venv/climate/bin/python scripts/reference/check_winds.py [--deb FILE.deb | --data FOLDER]

The mendings of scripts/climate_steps.py are added one after another, in memory.
Its output is kept in fixtures/climate/README.md. Witnesses: the reanalysis
means (southern-winds.csv), the moorings (moorings.csv), and gale shares that
Maury counted (below).
"""

import argparse
import csv

import numpy as np
from check_climate import GALE_MS, LATITUDE, LONGITUDE, ROOT, build, node
from scipy.stats import rice

steps = build.climate_steps

# Maury, The Physical Geography of the Sea, paragraph 821: gales per 1000 observations of sailing ships before
# 1860 in the South Atlantic, easting and westing together, as a share in per cent.
MAURY = {(-45, -40): 9.4, (-50, -45): 6.2, (-55, -50): 10.7}
LISTED = ((9, -63), (-17, -71), (-5, 13), (-3, -45))  # odd nodes found by hand before there was a rule

# Daily means to all winds: an Ornstein-Uhlenbeck process of memory x days has daily means of variance
# 2 (x - 1 + exp(-x)) / x^2 with x = 1 day / memory. Two parts, as the ensemble has them: 24 h, and 400 h with
# 0.24 of the variance. From 4 m to 10 m by the neutral log profile, roughness 0.0002 m.
FAST_H, SLOW_H, SLOW_PART = 24.0, 400.0, 0.24
HEIGHT = np.log(10 / 2e-4) / np.log(4 / 2e-4)
STEADY = 0.9  # |mean vector| over mean speed


def daily_share(memory_h):
    x = 24 / memory_h
    return 2 * (x - 1 + np.exp(-x)) / x**2


SUBDAILY = ((1 - SLOW_PART) * daily_share(FAST_H) + SLOW_PART * daily_share(SLOW_H)) ** -0.5


def moorings():
    path = ROOT / "fixtures/climate/moorings.csv"
    rows = csv.DictReader(line for line in path.open() if not line.startswith("#"))
    table = {key: [] for key in ("latitude_deg", "longitude_deg", "month", "u_ms", "v_ms", "sd_u_ms", "sd_v_ms", "sd_running_ms")}
    for row in rows:
        for key in table:
            table[key].append(float(row[key] or "nan"))
    table = {key: np.array(x) for key, x in table.items()}
    table["m"] = HEIGHT * np.hypot(table["u_ms"], table["v_ms"])
    table["s"] = HEIGHT * SUBDAILY * np.sqrt((table["sd_u_ms"] ** 2 + table["sd_v_ms"] ** 2) / 2)
    table["s_year"] = HEIGHT * SUBDAILY * table["sd_running_ms"]
    table["w"] = build.rice_mean(table["m"], table["s"])
    return table


def read_at(field, table):
    """Bilinear; NaN beside land."""
    y, x = (table["latitude_deg"] + 89) / 2, (table["longitude_deg"] - 1) % 360 / 2
    j, i = y.astype(int), x.astype(int)
    y, x = y - j, x - i
    month, east = table["month"].astype(int) - 1, (i + 1) % 180
    south = (1 - x) * field[month, j, i] + x * field[month, j, east]
    north = (1 - x) * field[month, j + 1, i] + x * field[month, j + 1, east]
    return (1 - y) * south + y * north


def rms(x):
    return np.sqrt(np.mean(x**2))


def level(fixed, raw):
    table = steps.read_table()
    print("  zonal mean u, v (reanalysis), m/s, over cells without land:")
    told = []
    for row in np.flatnonzero(np.isin(LATITUDE, (-31, -33, -35, -37, -41, -45, -49, -53, -57, -61))):
        sea = raw["sea_share"][row] == 1
        wanted = sum(table[LATITUDE[row], k].mean() * (steps.in_basin(k, LONGITUDE) & sea).sum() for k in steps.BASINS) / sea.sum()
        u, v = (np.nanmean(fixed[k][:, row][:, sea]) for k in "uv")
        told.append(f"{-LATITUDE[row]:.0f} S {u:+.2f}, {v:+.2f} ({wanted.real:+.2f}, {wanted.imag:+.2f})")
    print("    " + "  ".join(told[:5]) + "\n    " + "  ".join(told[5:]))
    told = []
    for name in steps.BASINS:
        for latitude in (-41, -49):
            row = node(latitude, 1)[0]
            here = (raw["sea_share"][row] == 1) & steps.in_basin(name, LONGITUDE)
            u = np.nanmean(fixed["u"][:, row][:, here])
            told.append(f"{name} {-latitude} S {u:.2f} ({table[float(latitude), name].mean().real:.2f})")
    print("  basin mean u: " + "  ".join(told))


def gales(fixed, raw):
    m, s = np.hypot(fixed["u"], fixed["v"]), fixed["s"]
    share, w = 100 * rice.sf(GALE_MS, m / s, scale=s), build.rice_mean(m, s)

    def box(x, south, north, basins):
        rows = (LATITUDE > south) & (LATITUDE < north)
        columns = np.any([steps.in_basin(k, LONGITUDE) for k in basins], axis=0)
        here = x[:, rows][:, :, columns]
        return np.nanmean(np.where(raw["sea_share"][rows][:, columns] == 1, here, np.nan))

    print("  mean speed W, m/s, 38-48 S, Cape to Tasmania: %.2f; spread s %.2f; all oceans 48-52 S: W %.2f" % (
        box(w, -48, -38, ["Indian"]), box(s, -48, -38, ["Indian"]), box(w, -52, -48, steps.BASINS)))
    print("  gale share, per cent, year: Cape to Tasmania " + "  ".join(
        f"{-lat} S {box(share, lat - 1, lat + 1, ['Indian']):.1f}" for lat in (-37, -39, -41, -43, -45, -47, -49, -51)))
    print("  gale share, South Atlantic (Maury): " + "  ".join(
        f"{-north}-{-south} S {box(share, south, north, ['Atlantic']):.1f} ({seen})" for (south, north), seen in MAURY.items()))


def against_moorings(fixed, table):
    m = np.hypot(*(read_at(fixed[k], table) for k in "uv"))
    s = read_at(fixed["s"], table)
    w = build.rice_mean(m, s)
    known = np.isfinite(s)
    for name, here in (("steady", known & (table["m"] / table["w"] >= STEADY)), ("all", known)):
        year = here & np.isfinite(table["s_year"])
        print(
            f"  moorings, {name:6} ({here.sum():3} months): s {rms(s[here]):.2f} (daily and sub-daily {rms(table['s'][here]):.2f}; "
            f"about a running year {rms(table['s_year'][year]):.2f})  m/W {m[here].sum() / w[here].sum():.3f} "
            f"({table['m'][here].sum() / table['w'][here].sum():.3f})  W {w[here].mean():.2f} ({table['w'][here].mean():.2f})"
        )


def odd_nodes(fixed, raw):
    """Largest departure over the year of a node from the mean of its neighbours by share of sea."""
    wind = np.nan_to_num(fixed["u"] + 1j * fixed["v"])
    share = np.where(np.isfinite(fixed["u"]), raw["sea_share"], 0)
    shifts = [(j, i) for j in (-1, 0, 1) for i in (-1, 0, 1) if (j, i) != (0, 0)]
    weight = sum(np.roll(share, x, (1, 2)) for x in shifts)
    around = sum(np.roll(share * wind, x, (1, 2)) for x in shifts) / np.maximum(weight, 1e-9)
    off = np.where(np.isfinite(fixed["u"]) & (weight >= 0.5), np.abs(wind - around), np.nan)
    told = []
    for latitude, longitude in LISTED:
        j, i = node(latitude, longitude)
        told.append(f"{latitude}, {longitude}: {np.nanmax(off[:, j, i]):.1f} m/s in {(fixed['origin'][:, j, i] == 1).sum()} months own mean")
    print("  listed nodes, most off their neighbours: " + "; ".join(told))
    print(
        f"  'observed' and more than 3 m/s off the neighbours: {(off[fixed['origin'] == 1] > 3).sum()} node-months, of which less than half sea "
        f"{(off[(fixed['origin'] == 1) & (raw['sea_share'] < 0.5)] > 3).sum()}; dropped by the coast rule {fixed['coastal'].sum()} of "
        f"{((fixed['years'] > 0) & (raw['sea_share'] < steps.COAST_SHARE)).sum()} reported there"
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--deb")
    where.add_argument("--data")
    asked = parser.parse_args()
    folder, data = (None, build.Path(asked.data)) if asked.data else build.unpack(asked.deb)
    raw, table = build.read_sources(data), moorings()
    done = []
    for step in (None, *steps.STEPS):
        done += [step] if step else []
        fixed = build.repair(raw, steps=done)
        print("Without any" if step is None else f"With {', '.join(done)}")
        print("  nodes: " + ", ".join(f"{(fixed['origin'] == flag).sum()} {name}" for flag, name in ((1, "observed"), (2, "smoothed"), (3, "second data set"))))
        level(fixed, raw)
        gales(fixed, raw)
        against_moorings(fixed, table)
        odd_nodes(fixed, raw)
        if "south" in done:
            factor = np.abs(fixed["south"][:, 0])
            print("  ships' mean and speed times: " + "  ".join(f"{-LATITUDE[j]:.0f} S {factor[j]:.2f}" for j in (13, 16, 18, 20, 22, 24, 26, 27, 28, 29)[::-1]))


if __name__ == "__main__":
    main()
