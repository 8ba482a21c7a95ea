#!/usr/bin/env python3
"""How well scripts/build-currents finds a current: a known flow, and hexagons left out.

    .venv/currents/bin/python scripts/reference/currents_method.py FILE.whl

Known flow: two jets and two broad drifts, with eddies (a velocity of 0.25 m/s for each component that forgets in three
days) on top; drifters are followed for five days, counted by hexagon and by hexagon five days later as in the package,
and put through the build. Then a tenth of the package's hexagons is hidden from the fit and predicted by it. Prints a
report, for several weights of bending; its output is kept in fixtures/climate/README.md. No drifter is real in the
first part and no published current is used in either.
"""

import importlib.util
import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path

import h3
import numpy as np

sys.dont_write_bytecode = True
ROOT = Path(__file__).resolve().parents[2]
_loader = SourceFileLoader("build_currents", str(ROOT / "scripts/build-currents"))
build = importlib.util.module_from_spec(importlib.util.spec_from_loader("build_currents", _loader))
_loader.exec_module(build)

DRIFTERS = 60_000
EDDY_MS, EDDY_DAYS = 0.25, 3.0
STEP_DAYS = 0.125
KM_PER_DAY = 86.4  # for 1 m/s
BENDS = (3.0, 10.0, 30.0, 100.0)
EDGES = (12.0, 53.0, -84.0, -16.0)  # south, north, west, east of the drifters
CORE = (19.0, 46.0, 285.0, 335.0)  # judged


def flow(latitude, longitude):
    """Eastward and northward current, m/s: each a function of one coordinate, so without divergence on a plane."""
    north = latitude * build.KM_PER_DEGREE
    east = (longitude - 300) * build.KM_PER_DEGREE * np.cos(np.radians(28))
    u = 1.2 * np.exp(-(((north - 37.3 * build.KM_PER_DEGREE) / 70) ** 2))
    u = u - 0.25 * np.exp(-(((north - 25 * build.KM_PER_DEGREE) / 400) ** 2))
    v = -np.exp(-((east / 60) ** 2)) + 0.3 * np.exp(-(((east - 1964) / 150) ** 2))
    return np.stack([u, v], axis=-1)


def hexagon_of(latitude, longitude):
    return np.array([h3.str_to_int(h3.latlng_to_cell(*at, 3)) for at in zip(latitude, longitude)], dtype=np.uint64)


def simulated(seed=3):
    random = np.random.default_rng(seed)
    south, north, west, east = EDGES
    latitude = random.uniform(south, north, DRIFTERS)
    latitude = latitude[random.random(DRIFTERS) < np.cos(np.radians(latitude))]
    longitude = random.uniform(west, east, latitude.size)
    eddy = random.normal(0, EDDY_MS, (latitude.size, 2))
    keep = np.exp(-STEP_DAYS / EDDY_DAYS)
    seen = [hexagon_of(latitude, longitude)]
    for _ in range(3):  # spans of five days
        for _ in range(int(build.DAYS / STEP_DAYS)):
            speed = (flow(latitude, longitude % 360) + eddy) * KM_PER_DAY * STEP_DAYS / build.KM_PER_DEGREE
            longitude = longitude + speed[:, 0] / np.cos(np.radians(latitude))
            latitude = np.clip(latitude + speed[:, 1], 5, 60)
            eddy = keep * eddy + EDDY_MS * np.sqrt(1 - keep**2) * random.normal(size=eddy.shape)
        seen.append(hexagon_of(latitude, longitude))
    names, index = np.unique(np.concatenate([*seen[:-1], *seen[1:]]), return_inverse=True)
    start, end = np.split(index, 2)
    pairs, count = np.unique(start * names.size + end, return_counts=True)
    cells = build.hexagons([h3.int_to_str(int(name)) for name in names])
    return cells, pairs // names.size, pairs % names.size, count * float(build.FIXES_PER_SPAN)


def known_flow():
    cells, start, end, count = simulated()
    means = build.by_hexagon(cells, start, end, count)
    number, _ = build.nodes(cells, means)
    row, column = np.nonzero(number >= 0)
    latitude, longitude = build.LATITUDE[row], build.LONGITUDE[column]
    within = np.linspace(-0.45, 0.45, 10)
    truth = np.mean([flow(latitude + y, longitude + x) for y in within for x in within], axis=0)

    def box(south, north, west, east):
        return (latitude > south) & (latitude < north) & (longitude > west) & (longitude < east)

    core = box(*CORE)
    places = (("jet of 1.2 m/s, 70 km", box(37, 38, 302, 318), 0), ("beside it", box(38, 39, 302, 318), 0),
              ("jet of 1 m/s, 60 km", box(28, 34, 299, 301), 1), ("drift of 0.25", box(23, 27, 305, 315), 0))
    print(f"Known flow: five-day spans behind a hexagon, median {np.median(means['spans']):.0f}; "
          "mean over 1 degree, m/s")
    print(f"  {'':16} rms error" + "".join(f"  {name:>21}" for name, *_ in places) + "  rms in quiet water")
    quiet = box(29, 34, 325, 335)
    parts = build.problem(cells, means, number)
    fields = {"truth": truth, "plain": build.plain_field(cells, means, number)}
    fields |= {f"bend {bend:g}": build.solve(parts, means["current"], bend) for bend in BENDS}
    for name, field in fields.items():
        rms = [np.sqrt(((field - truth)[chosen] ** 2).mean()) for chosen in (core, quiet)]
        print(f"  {name:16} {rms[0]:9.3f}" + "".join(f"  {field[at, part].mean():21.2f}" for _, at, part in places)
              + f"  {rms[1]:18.3f}")


def leave_out(wheel):
    cells, *counts = build.transitions(Path(wheel))
    means = build.by_hexagon(cells, *counts)
    number, _ = build.nodes(cells, means)
    parts = build.problem(cells, means, number)
    hidden = (np.random.default_rng(1).random(means["spans"].size) < 0.1) & (means["spans"] >= 20)
    hidden &= parts["weight"] > 0
    fast = hidden & (np.hypot(*means["current"].T) > 0.35)
    print(f"Leave-out: {hidden.sum()} hexagons hidden, {fast.sum()} of them above 0.35 m/s. rms error in m/s and over the "
          "standard error of their own mean")
    for bend in BENDS:
        field = build.solve(parts, means["current"], bend, np.where(hidden, 0, parts["weight"]))
        off2 = ((means["current"] - parts["matrix"] @ field) ** 2).mean(axis=1)
        print(f"  bend {bend:<5g}" + "".join(
            f"  {name} {np.sqrt(off2[at].mean()):.4f}, {np.sqrt((off2 / parts['error2'])[at].mean()):.2f}"
            for name, at in (("all", hidden), ("fast", fast))))


if __name__ == "__main__":
    known_flow()
    leave_out(sys.argv[1])
