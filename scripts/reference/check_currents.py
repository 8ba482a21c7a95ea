#!/usr/bin/env python3
"""Check fixtures/climate/currents.nc against published currents.

    .venv/currents/bin/python scripts/reference/check_currents.py [--file FILE.nc] [--routes]

The rows are in fixtures/reference/climate/currents.csv, the environment is the one scripts/build-currents makes.
Prints a table; exits 1 if a row fails that is not marked known_weak, or one so marked passes.

Broad drifts: the box's mean vector (nodes weighted by area) sets within 25 degrees of the published direction and runs
at half the published lower bound to 1.2 times the upper. Jets, which a field a degree wide cannot show at full speed:
on each section across the set, from 4 degrees on one side of the box to 4 on the other, the strongest node along the
set is looked for. At least three quarters of these lie in the box, and their mean sets within 25 degrees.

--routes adds the mean current along some tracks (rhumb legs, the field linear between nodes). The Fremantle ones are
the demonstration's; the others are laid by common knowledge.
"""

import argparse
import csv
import sys
from pathlib import Path

import netCDF4
import numpy as np

ROOT = Path(__file__).resolve().parents[2]
ROWS = ROOT / "fixtures/reference/climate/currents.csv"
KNOT_MS = 1852 / 3600
SET_DEG = 25.0
BESIDE_DEG = 4.0
IN_BOX = 0.75
MONSOON = 2


def great_circle(start, end, pieces=60):
    """Places along the shorter arc, latitude and longitude."""
    (y0, x0), (y1, x1) = np.radians([start, end])
    ends = [np.array([np.cos(y) * np.cos(x), np.cos(y) * np.sin(x), np.sin(y)]) for y, x in ((y0, x0), (y1, x1))]
    share = np.linspace(0, 1, pieces + 1)[:, None]
    arc = np.arccos(ends[0] @ ends[1])
    x, y, z = ((np.sin((1 - share) * arc) * ends[0] + np.sin(share * arc) * ends[1]) / np.sin(arc)).T
    return tuple(zip(np.degrees(np.arcsin(z)), np.degrees(np.arctan2(y, x))))


ROUTES = {
    "Las Palmas to Barbados": ((28.1, -15.4), (18, -27), (13.1, -59.4)),
    "Panama to the Marquesas": ((8.5, -79.5), (2, -84), (-2, -95), (-9.0, -139.5)),
    "Galapagos to the Marquesas": ((-1, -91), (-9.0, -139.5)),
    "Cape Town to Hobart by 45 S": ((-34.2, 18), (-45, 40), (-45, 135), (-43.8, 147)),
    "Cape Town to Hobart by 42 S": ((-34.2, 18), (-42, 35), (-42, 140), (-43.8, 147)),
    "Honolulu to San Francisco": ((21.3, -157.7), (37.0, -155), (38.5, -140), (37.7, -123.0)),
    "Fremantle to Durban, Trades": (
        (-32.05, 115.667), (-22, 100), (-20.333, 63.5), (-22, 55.5), (-27, 47), (-29.867, 31.1)),
    "Fremantle to Durban, Direct": great_circle((-32.05, 115.667), (-29.867, 31.1)),
}


class Field:
    def __init__(self, path):
        with netCDF4.Dataset(path) as file:
            self.latitude = file["latitude"][:].data
            self.longitude = file["longitude"][:].data
            names = ("surface_eastward_sea_water_velocity", "surface_northward_sea_water_velocity")
            self.current = np.stack([file[name][:].astype(float).filled(np.nan) for name in names], axis=-1)
            self.origin = file["origin"][:].data

    def box(self, south, north, west, east):
        """Rows and columns of the nodes in a box, from the west on."""
        rows = np.flatnonzero((self.latitude >= south) & (self.latitude <= north))
        on = (self.longitude - west) % 360
        columns = np.flatnonzero(on <= east - west)
        return rows, columns[np.argsort(on[columns])]

    def mean(self, *box):
        rows, columns = self.box(*box)
        values = self.current[np.ix_(rows, columns)]
        weight = np.cos(np.radians(self.latitude[rows]))[:, None] * np.isfinite(values[..., 0])
        if not weight.any():
            raise SystemExit(f"box {box}: no current there")
        return (np.nan_to_num(values) * weight[..., None]).sum(axis=(0, 1)) / weight.sum()

    def axis(self, set_deg, south, north, west, east):
        """The strongest node along the set on each section across it: the currents there, and which lie in the box."""
        toward = np.array([np.sin(np.radians(set_deg)), np.cos(np.radians(set_deg))])
        zonal = abs(toward[0]) > abs(toward[1])
        wider = (BESIDE_DEG, 0) if zonal else (0, BESIDE_DEG)
        rows, columns = self.box(south - wider[0], north + wider[0], west - wider[1], east + wider[1])
        values = self.current[np.ix_(rows, columns)]
        place = np.broadcast_to(self.latitude[rows][:, None], values.shape[:2])
        low, high = south, north
        if not zonal:
            values = values.swapaxes(0, 1)
            place = np.broadcast_to(west + (self.longitude[columns] - west + 180) % 360 - 180, (len(rows), len(columns))).T
            low, high = west, east
        along = np.where(np.isfinite(values[..., 0]), np.nan_to_num(values) @ toward, -np.inf)
        at = along.argmax(axis=0)
        section = np.arange(at.size)
        where = place[at, section]
        return values[at, section], (where >= low) & (where <= high)

    def at(self, latitude, longitude):
        """Linear between the nodes that have a current."""
        y, x = latitude - self.latitude[0], (longitude - self.longitude[0]) % 360
        row, column = int(y), int(x)
        total, weight = np.zeros(2), 0.0
        for j, by_row in ((0, 1 - y + row), (1, y - row)):
            for i, by_column in ((0, 1 - x + column), (1, x - column)):
                value = self.current[row + j, (column + i) % self.longitude.size]
                if np.isfinite(value[0]):
                    total, weight = total + by_row * by_column * value, weight + by_row * by_column
        return total / weight if weight > 0 else np.full(2, np.nan)


def polar(vector):
    return np.hypot(*vector), np.degrees(np.arctan2(*vector)) % 360


def judge(field, row):
    """What was found, in words, and the faults of it; nothing found for a note without a place."""
    number = {key: float(row[key]) for key in ("south", "north", "west", "east", "set_deg", "lower_ms", "upper_ms")
              if row[key]}
    box = [number.get(key) for key in ("south", "north", "west", "east")]
    if None in box:
        return "", []
    speed, direction = polar(field.mean(*box))
    if row["kind"] == "note":
        return f"{speed:.2f} m/s to {direction:3.0f}", []
    if row["kind"] == "jet":
        values, inside = field.axis(number["set_deg"], *box)
        top = np.hypot(*values[inside].T).max(initial=0)
        _, direction = polar(values.mean(axis=0))
        found = f"{speed:.2f} m/s, top {top:.2f}, axis to {direction:3.0f}, {inside.sum()} of {inside.size} in place"
        faults = [] if inside.mean() >= IN_BOX else ["place"]
    else:
        found = f"{speed:.2f} m/s to {direction:3.0f}"
        low, high = number.get("lower_ms", 0) / 2, 1.2 * number.get("upper_ms", np.inf)
        faults = ["too weak"] if speed < low else ["too strong"] if speed > high else []
    off = abs((direction - number.get("set_deg", direction) + 180) % 360 - 180)
    return found, faults + (["set"] if off > SET_DEG else [])


def bounds(row):
    ends = [row["lower_ms"], row["upper_ms"]]
    return ends[0] if ends[0] == ends[1] else " to ".join(end or "?" for end in ends)


def rows_against(field):
    with open(ROWS, newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    wrong = 0
    for row in rows:
        found, faults = judge(field, row)
        weak = bool(row["known_weak"])
        wrong += bool(faults) != weak
        if row["kind"] == "note":
            verdict = "note"
        elif weak:
            verdict = f"known weak ({', '.join(faults)})" if faults else "PASSES THOUGH MARKED known_weak"
        else:
            verdict = f"FAILS ({', '.join(faults)})" if faults else "passes"
        print(f"{row['id']:5}{row['current']:36} {bounds(row):>12} {row['set_deg']:>5}  {found:58}  {verdict}")
    return wrong


def along(field, track):
    """Distance, nm, mean current along the track, kn, and the shares of it in monsoon seas and without a current."""
    shares, monsoon, none = [], 0, 0
    for (y0, x0), (y1, x1) in zip(track, track[1:]):
        def stretched(y):
            return np.degrees(np.arcsinh(np.tan(np.radians(y))))
        course = np.arctan2(x1 - x0, stretched(y1) - stretched(y0))
        length = 60 * (abs((y1 - y0) / np.cos(course)) if abs(y1 - y0) > 1e-9
                       else abs(x1 - x0) * np.cos(np.radians(y0)))
        pieces = max(1, round(length / 10))
        for part in (np.arange(pieces) + 0.5) / pieces:
            y, x = y0 + part * (y1 - y0), x0 + part * (x1 - x0)
            value = field.at(y, x)
            node = field.origin[round(y - field.latitude[0]), round(x - field.longitude[0]) % field.longitude.size]
            known = np.isfinite(value[0])
            monsoon += length / pieces * (node == MONSOON)
            none += length / pieces * (not known and node != MONSOON)
            shares.append((length / pieces, value @ [np.sin(course), np.cos(course)] if known else 0.0))
    length, speed = np.array(shares).T
    return length.sum(), (length * speed).sum() / length.sum() / KNOT_MS, monsoon / length.sum(), none / length.sum()


def main():
    parser = argparse.ArgumentParser(description="Check the current climatology against published currents.")
    parser.add_argument("--file", type=Path, default=ROOT / "fixtures/climate/currents.nc")
    parser.add_argument("--routes", action="store_true", help="add the mean current along some tracks")
    asked = parser.parse_args()
    field = Field(asked.file)
    wrong = rows_against(field)
    if asked.routes:
        print("Mean current along the track, kn; no current counts as none")
        for name, track in ROUTES.items():
            length, speed, monsoon, none = along(field, track)
            print(f"  {name:30} {length:5.0f} nm  {speed:+.2f}  monsoon {monsoon:4.0%}  no data {none:4.0%}")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
