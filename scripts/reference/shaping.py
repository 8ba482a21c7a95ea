#!/usr/bin/env python3
"""Holds the search of `offing shape` against scipy, and its course against shapely's land.

    python3 scripts/reference/shaping.py            compare cost and time on the demonstration's grid
    python3 scripts/reference/shaping.py --rows     also write fixtures/reference/shaping anew

1. `cargo bench` writes the demonstration's grid, frozen at departure, and times the search on it.
2. scipy.sparse.csgraph.dijkstra searches the same arcs: the costs must agree to 1e-9 hours, and
   the two are timed on the same machine, building the graph left out on both sides.
3. With shapely and an independent land file at hand (`--land FILE`, GeoJSON), the course that
   `offing shape --json` finds is held against it.
"""

import argparse
import csv
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import time

import numpy
import scipy
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

ROOT = pathlib.Path(__file__).resolve().parents[2]
ROWS = ROOT / "fixtures/reference/shaping"
AGREE_HOURS = 1e-9


def export(folder, grid, timed):
    environment = dict(os.environ, OFFING_GRAPH=str(folder), OFFING_GRID=str(grid))
    wanted = ["frozen grid"] if timed else ["--test", "frozen grid"]
    command = ["cargo", "bench", "--bench", "shaping", "--", *wanted]
    subprocess.run(command, cwd=ROOT, env=environment, check=True, stdout=subprocess.DEVNULL)
    arcs = numpy.loadtxt(folder / "arcs.csv", delimiter=",", skiprows=1)
    nodes = numpy.loadtxt(folder / "nodes.csv", delimiter=",", skiprows=1)
    best_kn = float((folder / "best_kn.txt").read_text())
    return nodes, arcs, best_kn


def graph_of(count, arcs):
    source, head = arcs[:, 0].astype(int), arcs[:, 1].astype(int)
    return csr_matrix((arcs[:, 2], (source, head)), shape=(count, count))


def compare():
    with tempfile.TemporaryDirectory() as name:
        nodes, arcs, _ = export(pathlib.Path(name), 1.0, timed=True)
    count = len(nodes)
    graph = graph_of(count, arcs)
    start, end = count - 2, count - 1
    times = []
    for _ in range(15):
        begin = time.perf_counter()
        hours = dijkstra(graph, indices=start)[end]
        times.append(time.perf_counter() - begin)
    scipy_ms = 1e3 * float(numpy.median(times))
    estimate = ROOT / "target/criterion/frozen grid, search/new/estimates.json"
    ours_ms = json.loads(estimate.read_text())["median"]["point_estimate"] / 1e6
    print(f"grid: {count} nodes, {len(arcs)} arcs")
    print(f"scipy {scipy.__version__} dijkstra: {hours:.9f} h, {scipy_ms:.2f} ms (median of 15)")
    print(f"offing: {ours_ms:.2f} ms (Criterion's median); {scipy_ms / ours_ms:.1f} times as fast")


def write_rows():
    """A coarse grid small enough to keep, its hours cut to a ten-thousandth, and scipy's costs."""
    ROWS.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        nodes, arcs, best_kn = export(pathlib.Path(name), 5.0, timed=False)
    # Rounded up, so that no arc gets faster than the bound allows.
    arcs[:, 2] = numpy.ceil(arcs[:, 2] * 1e4) / 1e4
    said = (
        "# Computed by scripts/reference/shaping.py: the demonstration's 5-degree grid frozen at\n"
        f"# departure. No arc is faster than {best_kn} kn.\n"
    )
    with open(ROWS / "nodes.csv", "w", newline="") as file:
        file.write(said)
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["node", "latitude_deg", "longitude_deg"])
        out.writerows([int(n), lat, lon] for n, lat, lon in nodes)
    with open(ROWS / "arcs.csv", "w", newline="") as file:
        file.write(said)
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["from", "to", "hours"])
        out.writerows([int(a), int(b), f"{h:.4f}"] for a, b, h in arcs)
    graph = graph_of(len(nodes), arcs)
    generator = numpy.random.default_rng(1)
    pairs = [(len(nodes) - 2, len(nodes) - 1)]
    inner = range(len(nodes) - 2)
    pairs += [tuple(int(n) for n in generator.choice(inner, 2, replace=False)) for _ in range(40)]
    with open(ROWS / "costs.csv", "w", newline="") as file:
        file.write(
            f"# Computed with scipy {scipy.__version__}, scipy.sparse.csgraph.dijkstra, on arcs.csv\n"
            "# by scripts/reference/shaping.py; exact to 1e-9 h. Empty: there is no way.\n"
        )
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["from", "to", "hours"])
        for start, end in pairs:
            hours = dijkstra(graph, indices=start)[end]
            out.writerow([start, end, f"{hours:.10f}" if numpy.isfinite(hours) else ""])


def check_land(land_file):
    import pyproj
    import shapely

    shapes = json.loads(pathlib.Path(land_file).read_text())["features"]
    land = shapely.union_all([shapely.geometry.shape(feature["geometry"]) for feature in shapes])
    shapely.prepare(land)
    command = ["cargo", "run", "--release", "--quiet", "--", "shape", "--json"]
    found = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    corners = json.loads(found)["shaped"]["corners"]
    earth = pyproj.Geod(ellps="WGS84")
    places = [(c["longitude_deg"], c["latitude_deg"]) for c in corners]
    line = [places[0]]
    for a, b in zip(places, places[1:]):
        length_m = earth.inv(*a, *b)[2]
        line += earth.npts(*a, *b, max(1, int(length_m / 3704)))
        line.append(b)
    crossed = land.intersection(shapely.LineString(line))
    print(f"course of {len(line)} places 2 nm apart: on land {crossed.length:.4f} degrees")
    if crossed.length > 0:
        sys.exit("the course crosses land")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", action="store_true")
    parser.add_argument("--land", metavar="FILE")
    options = parser.parse_args()
    if options.rows:
        write_rows()
    compare()
    if options.land:
        check_land(options.land)
