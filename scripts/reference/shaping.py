#!/usr/bin/env python3
"""Holds the search of `offing shape` against scipy, and its course against shapely's land.

    python3 scripts/reference/shaping.py            compare cost and time on the demonstration's grid
    python3 scripts/reference/shaping.py --rows     also write fixtures/reference/shaping anew
    python3 scripts/reference/shaping.py --again    write the hours anew, on the places there are

1. `cargo bench` writes the demonstration's grid, frozen at departure, and times the search on it.
2. scipy.sparse.csgraph.dijkstra searches the same arcs, and the two are timed on the same machine,
   building the graph left out on both sides.
3. For the rows only the places of a coarse grid and the pairs joined are the program's: each arc is
   sailed anew by passages.py, and scipy searches those times. A test holds the program's
   arcs to these, and its search, on these, to scipy's costs within 1e-9 hours.
4. With `--land world-atlas-2.0.2.tgz`, the npm package that scripts/build-land fetches, and the
   packages of land-requirements.txt, courses are held against the unsimplified land in shapely.
"""

import argparse
import csv
import datetime
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

from passages import KN_PER_M_S, STEP_NM, Boat, WindGrid, walk
from passage_parts.climate import Climate, Currents
from passage_parts.track import sample
from passage_parts.voyage import CLIMATE, CURRENTS, POLAR, VOYAGE, Waypoint, header, read_voyage

ROOT = pathlib.Path(__file__).resolve().parents[2]
ROWS = ROOT / "fixtures/reference/shaping"
# What the outlines in the program may be out by, half a mile and a little.
ROOM_DEG = 0.01
DEPARTURE, FACTOR = datetime.date(2027, 5, 1), 0.85
# Of the wind grid of passages.py, whose cells are a quarter as wide: there are 8,000 arcs.
REFINE = 0.25
INPUTS = (VOYAGE, POLAR, CLIMATE, CURRENTS)


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


def sailed(nodes, arcs, refine=REFINE):
    """Hours and nautical miles of each arc as a passage of its own, left at departure."""
    voyage, climate, currents = read_voyage(), Climate(CLIMATE), Currents(CURRENTS)
    boat, grid = Boat(voyage), WindGrid(refine)
    places = [Waypoint(lat, lon, "great-circle") for _, lat, lon in nodes]
    found = []
    for source, head in arcs[:, :2].astype(int):
        track = sample([places[source], places[head]], STEP_NM)
        along = climate.along(track.latitude_deg, track.longitude_deg)
        current = currents.along(track, KN_PER_M_S)
        passage = walk(boat, grid, track, along, current, DEPARTURE, FACTOR, voyage.fuel_litres)
        found.append((24 * passage["days"], passage["distance_nm"]))
    return numpy.array(found).T


def write(name, said, columns, rows):
    with open(ROWS / name, "w", newline="") as file:
        file.write(said)
        out = csv.writer(file, lineterminator="\n")
        out.writerow(columns)
        out.writerows(rows)


def read_rows():
    """The places and the arcs of the rows there are."""
    tables = (numpy.genfromtxt(ROWS / n, delimiter=",", skip_header=0, comments="#") for n in ("nodes.csv", "arcs.csv"))
    return tuple(table[1:] for table in tables)


def write_rows(nodes, arcs):
    """A coarse grid small enough to keep, its hours cut to a ten-thousandth, and scipy's costs."""
    ROWS.mkdir(parents=True, exist_ok=True)
    hours, distance_nm = sailed(nodes, arcs)
    some = slice(None, None, 200)
    finer, _ = sailed(nodes, arcs[some], 2 * REFINE)
    apart = float(numpy.max(numpy.abs(hours[some] / finer - 1)))
    ours = arcs[:, 2].copy()
    arcs[:, 2] = numpy.ceil(hours * 1e4) / 1e4
    fastest_kn = float(numpy.max(distance_nm / arcs[:, 2]))
    write(
        "nodes.csv",
        header(
            "Places of the demonstration's grid of 5 degrees, and last its start and its end.",
            "shaping.py --rows",
            "exported from the program.",
        ),
        ["node", "latitude_deg", "longitude_deg"],
        ([int(n), lat, lon] for n, lat, lon in nodes),
    )
    write(
        "arcs.csv",
        header(
            "Hours along the great circle between two places of nodes.csv, as a passage of its own.",
            "shaping.py --rows",
            f"demo voyage, factor {FACTOR}, left {DEPARTURE} 00:00 UTC with the whole tank; by passages.py,",
            "its wind grid's steps four times as wide.",
            "which pairs are joined is the program's choice: what is within reach and clear of land.",
            f"no arc is faster than {fastest_kn:.6f} kn.",
            "claimed accuracy: rounded up to 0.0001 h; halving the wind grid's steps changes every 200th arc"
            f" by at most {apart:.1e} of its hours.",
            inputs=INPUTS,
        ),
        ["from", "to", "hours"],
        ([int(a), int(b), f"{h:.4f}"] for a, b, h in arcs),
    )
    off = ours / hours - 1
    print(f"the program's arcs against these: median {numpy.median(off):+.2e}, from {off.min():+.2e}"
          f" to {off.max():+.2e}; halving the grid: {apart:.1e}")  # fmt: skip
    graph = graph_of(len(nodes), arcs)
    generator = numpy.random.default_rng(1)
    pairs = [(len(nodes) - 2, len(nodes) - 1)]
    inner = range(len(nodes) - 2)
    pairs += [tuple(int(n) for n in generator.choice(inner, 2, replace=False)) for _ in range(40)]
    costs = [dijkstra(graph, indices=start)[end] for start, end in pairs]
    write(
        "costs.csv",
        header(
            "Hours of the quickest way along arcs.csv, by scipy.sparse.csgraph.dijkstra.",
            "shaping.py --rows",
            "claimed accuracy: 1e-9 h. Empty: there is no way.",
        ),
        ["from", "to", "hours"],
        (
            [start, end, f"{hours:.10f}" if numpy.isfinite(hours) else ""]
            for (start, end), hours in zip(pairs, costs)
        ),
    )


# Ends with land about the straight line between them: from, to.
ENDS = [
    ("32 03.0 S, 115 40.0 E", "29 52.0 S, 031 06.0 E"),  # the demonstration
    ("38 30 S, 145 00 E", "36 00 S, 175 30 E"),  # Bass Strait and New Zealand
    ("20 00 S, 060 00 E", "12 00 S, 042 30 E"),  # Mauritius and Madagascar
    ("47 00 N, 006 00 W", "14 00 N, 061 30 W"),  # Finisterre and the Antilles
]


def check_land(package):
    """Each course held against the unsimplified land, in shapely, every 2 nm along pyproj's geodesic.

    The program's outlines are simplified to 0.5 nm, so land met by less than that is no crossing.
    """
    import pyproj
    import shapely
    from land_rows import land as land_of

    land = land_of(package)
    shapely.prepare(land)
    earth = pyproj.Geod(ellps="WGS84")
    for start, end in ENDS:
        command = ["cargo", "run", "--release", "--quiet", "--", "shape", "--json"]
        command += ["--from", start, "--to", end]
        found = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout
        corners = json.loads(found)["shaped"]["corners"]
        places = [(c["longitude_deg"], c["latitude_deg"]) for c in corners]
        line = [places[0]]
        for a, b in zip(places, places[1:]):
            line += earth.npts(*a, *b, max(1, int(earth.inv(*a, *b)[2] / 3704)))
            line.append(b)
        inland = land.buffer(-ROOM_DEG).intersection(shapely.LineString(line)).length
        straight = earth.npts(*places[0], *places[-1], 1000)
        crossing = land.intersection(shapely.LineString(straight)).length
        print(
            f"{start} to {end}: {len(corners)} corners, {inland:.4f} degrees on land "
            f"({crossing:.2f} by the geodesic)"
        )
        if inland > 0:
            sys.exit("a course crosses land")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", action="store_true")
    parser.add_argument("--again", action="store_true", help="the rows anew on the places there are")
    parser.add_argument("--land", metavar="PACKAGE")
    options = parser.parse_args()
    if options.again:
        write_rows(*read_rows())
        sys.exit()
    if options.rows:
        with tempfile.TemporaryDirectory() as name:
            nodes, arcs, _ = export(pathlib.Path(name), 5.0, timed=False)
        write_rows(nodes, arcs)
    compare()
    if options.land:
        check_land(options.land)
