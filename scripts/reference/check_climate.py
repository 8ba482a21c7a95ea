#!/usr/bin/env python3
"""Check fixtures/climate/ship-winds.nc against the raw sources it was built from.

    .venv/climate/bin/python scripts/reference/check_climate.py [--deb FILE.deb | --data FOLDER]

Prints a report; its output is kept in fixtures/climate/README.md. The
environment is the one scripts/build-climate makes for itself.
"""

import argparse
import importlib.util
import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path

import netCDF4
import numpy as np
from scipy.stats import rice

ROOT = Path(__file__).resolve().parents[2]
BUILT = ROOT / "fixtures/climate/ship-winds.nc"
KNOT_MS = 1852 / 3600
GALE_MS = 34 * KNOT_MS
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
WELL_KNOWN = 60  # independent reports

sys.dont_write_bytecode = True
_loader = SourceFileLoader("build_climate", str(ROOT / "scripts/build-climate"))
build = importlib.util.module_from_spec(importlib.util.spec_from_loader("build_climate", _loader))
_loader.exec_module(build)
LATITUDE, LONGITUDE = build.LATITUDE, build.LONGITUDE


def read_built():
    file = netCDF4.Dataset(BUILT)
    field = {
        short: file[name][:].astype(float).filled(np.nan)
        for short, name in dict(
            u="eastward_wind", v="northward_wind", w="wind_speed", t="air_temperature"
        ).items()
    }
    field["origin"] = file["origin"][:].data
    field["t_origin"] = file["air_temperature_origin"][:].data
    m = np.hypot(field["u"], field["v"])
    field["m"] = m
    solved = build.solve_spread(np.nan_to_num(m), np.nan_to_num(field["w"]))
    field["s"] = np.where(np.isnan(m), np.nan, np.maximum(solved, build.SPREAD_FLOOR_MS))
    return field


def node(latitude, longitude):
    row = int(np.abs(LATITUDE - latitude).argmin())
    column = int(np.abs((LONGITUDE - longitude + 180) % 360 - 180).argmin())
    return row, column


def counts(raw, field):
    print("Counts, node-months")
    for flag, name in ((1, "observed"), (2, "smoothed"), (3, "second data set"), (0, "none")):
        print(
            f"  {name:16} wind {(field['origin'] == flag).sum():6}   air temperature {(field['t_origin'] == flag).sum():6}"
        )
    reported = np.isfinite(raw["u"])
    m = np.hypot(raw["u"], raw["v"])[reported]
    w = raw["w"][reported]
    print("W against hypot(u, v)")
    print(
        f"  raw   {reported.sum()} reported; W < m {(w < m).sum()}; W <= m {(w <= m).sum()}; worst m - W {np.max(m - w):.3f} m/s"
    )
    has = np.isfinite(field["u"])
    w, m, s = field["w"][has], field["m"][has], field["s"][has]
    print(
        f"  built {has.sum()} nodes; W < m {(w < m - 1e-9).sum()}; W <= m {(w <= m + 1e-9).sum()}; "
        f"least solved s {s.min():.3f} m/s; s below 1 m/s {(s < 1).sum()}"
    )


def packing(field, fixed):
    has = np.isfinite(field["s"]) & np.isfinite(fixed["s"])
    assert (np.isfinite(field["s"]) == np.isfinite(fixed["s"])).all()
    print("Error of packing (built file against the unpacked analysis)")
    for name in "uvst":
        off = np.abs(field[name] - fixed[name])[has]
        print(
            f"  {name}: median {np.nanmedian(off):.4f}, 99.9 % {np.nanpercentile(off, 99.9):.4f}, most {np.nanmax(off):.4f}"
        )


def noise_law(raw, fixed):
    """Is s / sqrt(n) the scatter of a cell about its eight neighbours?"""
    print("Scatter of u, v about the eight neighbours, m/s, and s / sqrt(n) with n from the years reported")
    n = np.where(np.isfinite(raw["u"]), fixed["count"], 0)
    own = dict(u=fixed["own"].real, v=fixed["own"].imag)  # at the level of fixed["s"]
    shifts = [(j, i) for j in (-1, 0, 1) for i in (-1, 0, 1) if (j, i) != (0, 0)]
    near_n = sum(np.roll(n, x, (1, 2)) for x in shifts)
    square = 0
    for name in "uv":
        near = sum(np.roll(n * np.nan_to_num(own[name]), x, (1, 2)) for x in shifts) / np.maximum(
            near_n, 1e-9
        )
        square = square + (own[name] - near) ** 2 / 2
    for low, high in ((-60, -40), (-40, -30), (-25, -10)):
        band = ((LATITUDE >= low) & (LATITUDE < high))[None, :, None] & (near_n > 3 * n)
        cells = []
        for first, last in ((1, 3), (4, 6), (7, 10), (11, 15), (16, 20), (21, 30), (31, 36), (37, 40)):
            here = band & (n > 0) & (fixed["years"] >= first) & (fixed["years"] <= last)
            seen = np.sqrt(np.median(square[here]) / np.log(2))
            told = np.sqrt(
                np.mean(
                    (fixed["s"] ** 2 * (1 / np.maximum(n, 1e-9) + 1 / np.maximum(near_n, 1e-9)))[
                        here & np.isfinite(fixed["s"])
                    ]
                )
            )
            cells.append(f"{first}-{last}: {seen:.2f}/{told:.2f}")
        print(f"  {-high:2.0f} to {-low:2.0f} S  years seen/told  " + "  ".join(cells))


def second_set(raw, fixed):
    print(
        "Navy winds against ships, cells of 42 years or more: mean ship speed m, mean Navy m, fitted factor and turn "
        "(not used south of 35 S)"
    )
    navy, ships = raw["navy_u"] + 1j * raw["navy_v"], raw["u"] + 1j * raw["v"]
    for low, high in (
        (-60, -45),
        (-45, -35),
        (-35, -25),
        (-25, -15),
        (-15, -5),
        (-5, 5),
        (5, 15),
        (15, 25),
        (25, 35),
        (35, 45),
        (45, 55),
        (55, 65),
    ):
        band = (LATITUDE > low) & (LATITUDE < high)
        here = (fixed["years"] >= 42) & band[None, :, None]
        gain = fixed["gain"][band].mean()
        told = (
            f"ships {np.abs(ships[here]).mean():.2f}  Navy {np.abs(navy[here]).mean():.2f} m/s"
            if here.sum() > 100
            else "too few"
        )
        print(
            f"  {low:3} to {high:3}  {here.sum():5} cells  {told:32}  factor {abs(gain):.2f}  turn {np.degrees(np.angle(gain)):+.0f} deg"
        )


def leave_out(raw, full):
    print(
        "Leave-out: cells hidden, then compared with their own means, corrected for scatter of direction and south of\n"
        f"30 S at the level of the reanalysis, where n >= {WELL_KNOWN}. Bias / rms, m/s (degC)"
    )
    latitude = np.broadcast_to(LATITUDE[None, :, None], full["s"].shape)
    longitude = np.broadcast_to(LONGITUDE[None, None, :], full["s"].shape)
    tenth = np.random.default_rng(1).random((1, 90, 180)) < 0.1

    def box(west, east, south, north):
        return (longitude > west) & (longitude < east) & (latitude > south) & (latitude < north)

    for name, hidden in (
        ("S Indian 15-120E 43-33S", box(15, 120, -43, -33)),
        ("S Indian 15-120E, all S of 33S", box(15, 120, -90, -33)),
        ("S Atlantic 30W-0 40-25S", box(330, 360, -40, -25)),
        ("N Pacific 150E-150W 35-50N", box(150, 210, 35, 50)),
        ("S Indian trades 55-105E 25-12S", box(55, 105, -25, -12)),
        ("a tenth of all cells, at random", np.broadcast_to(tenth, full["s"].shape)),
    ):
        guess = build.repair(raw, keep=~hidden)
        w = build.rice_mean(np.hypot(guess["u"], guess["v"]), guess["s"])
        for season, months in (("year", range(12)), ("May-Aug", range(4, 8))):
            test = np.zeros(hidden.shape, bool)
            test[list(months)] = hidden[list(months)]
            test &= (full["count"] >= WELL_KNOWN) & np.isfinite(guess["u"])
            pairs = dict(
                u=guess["u"] - full["own"].real,
                v=guess["v"] - full["own"].imag,
                W=w - raw["w"] * np.abs(full["south"]),
                s=guess["s"] - full["own_spread"],
                T=guess["t"] - raw["t"],
            )
            told = "  ".join(
                f"{k} {np.nanmean(d[test]):+.2f}/{np.sqrt(np.nanmean(d[test] ** 2)):.2f}"
                for k, d in pairs.items()
            )
            print(
                f"  {name:32} {season:8} {test.sum():5} cells  {told}  (true s {full['own_spread'][test].mean():.2f}, "
                f"error of the true u {full['error'][test].mean():.2f})"
            )


def steadiness(field):
    print("Steadiness 100 m/W, per cent (trades above 80, westerlies 40 to 60: common practice, no source)")
    for name, month, south, north, west, east in (
        ("SE trades, S Indian 20-12S 65-95E", 6, -20, -12, 65, 95),
        ("NE trades, Atlantic 12-18N 50-30W", 0, 12, 18, 310, 330),
        ("NE trades, Pacific 12-20N 170-140W", 6, 12, 20, 190, 220),
        ("SE trades, Atlantic 18-10S 25-5W", 6, -18, -10, 335, 355),
        ("Westerlies, S Indian 50-40S", 6, -50, -40, 25, 115),
        ("Westerlies, S Indian 50-40S", 0, -50, -40, 25, 115),
        ("Westerlies, N Atlantic 45-55N 40-20W", 0, 45, 55, 320, 340),
        ("Westerlies, N Pacific 40-50N", 0, 40, 50, 160, 220),
    ):
        at = np.ix_([month], (LATITUDE > south) & (LATITUDE < north), (LONGITUDE > west) & (LONGITUDE < east))
        print(f"  {name:36} {MONTHS[month]}  {100 * np.nanmean((field['m'] / field['w'])[at]):.0f}")


def gales(field):
    share = 100 * rice.sf(GALE_MS, field["m"] / field["s"], scale=field["s"])
    at = node(50, -30)
    print("Share of time at 34 kn or more under the Rice model, per cent")
    print("  N Atlantic 51N 31W  " + "  ".join(f"{m} {share[(i, *at)]:.1f}" for i, m in enumerate(MONTHS)))
    for name, south, north, west, east in (
        ("NE trades Atlantic 10-20N 50-25W", 10, 20, 310, 335),
        ("SE trades S Indian 25-12S 60-100E", -25, -12, 60, 100),
        ("NE trades Pacific 10-20N 180-130W", 10, 20, 180, 230),
        ("SE trades Atlantic 20-8S 25W-0", -20, -8, 335, 360),
        ("S Indian 41-39S 30-110E", -41, -38, 30, 110),
    ):
        box = share[
            np.ix_(
                range(12), (LATITUDE > south) & (LATITUDE < north), (LONGITUDE > west) & (LONGITUDE < east)
            )
        ]
        mean = np.nanmean(box, axis=(1, 2))
        print(
            f"  {name:34} mean of the box: least month {mean.min():.2f}, most {mean.max():.2f}; largest node {np.nanmax(box):.2f}"
        )
    return share


def tracks(raw, field):
    """Winds of the two ways from Fremantle to Durban, node by node."""
    direct = (
        [(-33, 113), (-35, 109), (-37, 103), (-37, 97)]
        + [(-39, x) for x in range(91, 55, -2)]
        + [(-37, 53), (-37, 47), (-35, 41), (-33, 35), (-31, 33)]
    )
    trades = (
        [(-31, 113), (-29, 109), (-27, 105), (-25, 101), (-23, 97)]
        + [(-21, x) for x in range(95, 61, -2)]
        + [(-23, 57), (-25, 53), (-27, 47), (-27, 43), (-29, 37), (-29, 33)]
    )
    for name, way in (("Direct, near 39 S", direct), ("By the trades, near 20 S", trades)):
        print(f"{name}: u, v, W, s (m/s) and origin")
        print(
            "  lat  lon  "
            + "".join(f"   {MONTHS[month]}: u     v     W    s o  raw u (years)" for month in (4, 5, 6))
        )
        for latitude, longitude in way:
            at = node(latitude, longitude)
            told = ""
            for month in (4, 5, 6):
                i = (month, *at)
                told += (
                    f"   {field['u'][i]:+7.2f} {field['v'][i]:+5.2f} {field['w'][i]:5.2f} {field['s'][i]:4.2f} {field['origin'][i]}"
                    f"  {raw['u'][i]:+6.2f} ({raw['years'][i]:2})"
                )
            print(f"  {latitude:3} {longitude:4}{told}")
    print("Largest jump between neighbours 2 degrees apart along the parallel, m/s (built | raw)")
    for latitude, west, east in (
        (-39, 35, 111),
        (-37, 35, 111),
        (-41, 35, 111),
        (-45, 35, 111),
        (-51, 35, 111),
        (-21, 59, 111),
        (-19, 59, 111),
    ):
        row, first = node(latitude, west)
        last = node(latitude, east)[1]
        told = ""
        for month in (4, 5, 6):

            def jump(x):
                d = np.abs(np.diff(x[month, row, first : last + 1]))
                return f"{np.nanmax(d):.2f}" if np.isfinite(d).any() else "-"

            told += (
                f"   {MONTHS[month]}: u {jump(field['u'])} | {jump(raw['u'])}  v {jump(field['v'])} | {jump(raw['v'])}"
                f"  W {jump(field['w'])} | {jump(raw['w'])}  s {jump(field['s'])} | {jump(raw['s'])}"
            )
        print(f"  {-latitude} S {west}-{east} E{told}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--deb", type=Path)
    where.add_argument("--data", type=Path)
    asked = parser.parse_args()
    folder, data = (None, asked.data) if asked.data else build.unpack(asked.deb)
    raw = build.read_sources(data)
    fixed = build.repair(raw)
    raw["years"] = fixed["years"]
    raw["s"] = np.where(np.isfinite(raw["u"]), fixed["own_spread"], np.nan)
    field = read_built()
    counts(raw, field)
    packing(field, fixed)
    print(
        f"Refused as outliers: {fixed['outlier'].sum()} means, {fixed['spread_refused'].sum()} spreads, of {(fixed['years'] > 0).sum()}"
    )
    noise_law(raw, fixed)
    second_set(raw, fixed)
    leave_out(raw, fixed)
    steadiness(field)
    gales(field)
    tracks(raw, field)


if __name__ == "__main__":
    main()
