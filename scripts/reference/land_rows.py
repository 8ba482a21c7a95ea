#!/usr/bin/env python3
"""Make fixtures/reference/land/*.csv: what shapely says of places and legs on the same source.

Run from the top of the repository, with the packages of scripts/reference/requirements.txt and
the npm package that scripts/build-land fetches:

    python3 scripts/reference/land_rows.py world-atlas-2.0.2.tgz

The source is the unsimplified TopoJSON, not the file in fixtures/land. Its rings are made into
polygons here by another way than in scripts/build-land: the globe is cut at the antimeridian with
shapely's own intersection. Great circles are stepped with pyproj's Geod every 2 nm; rhumb lines run
along parallels and meridians, where they are straight in longitude and latitude.

A place nearer to a coast than MARGIN_DEG of latitude or longitude is not kept, nor a leg that only
grazes land: there the two may differ because the program's outlines are simplified to 0.5 nm.
"""

import json
import random
import sys
import tarfile
from pathlib import Path

import pyproj
import shapely
import shapely.affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

OUT = Path("fixtures/reference/land")
SEED = 20250102
PLACES = 400
LEGS = 200
MARGIN_DEG = 0.03
STEP_M = 2 * 1852.0
GEOD = pyproj.Geod(ellps="WGS84")


def land(package):
    with tarfile.open(package) as archive:
        topology = json.load(archive.extractfile("package/land-10m.json"))
    scale, translate = topology["transform"]["scale"], topology["transform"]["translate"]
    arcs = []
    for arc in topology["arcs"]:
        x = y = 0
        points = []
        for dx, dy in arc:
            x, y = x + dx, y + dy
            points.append((x * scale[0] + translate[0], y * scale[1] + translate[1]))
        arcs.append(points)
    world = box(-180, -90, 180, 90)
    polygons = []
    for polygon in topology["objects"]["land"]["geometries"][0]["arcs"]:
        shell, *holes = [ring(arcs, indices) for indices in polygon]
        if all(abs(x) < 0.1 and abs(y) < 0.1 for x, y in shell):
            continue  # the source's marker at 0 N 0 E: there is no land
        shape = Polygon(shell, holes).buffer(0)
        for turn in (-360, 0, 360):
            part = shapely.affinity.translate(shape, xoff=turn).intersection(world)
            # Where an outline only touches the cut there are lines and points as well.
            parts = getattr(part, "geoms", [part])
            polygons += [part for part in parts if part.geom_type == "Polygon" and not part.is_empty]
    return unary_union(polygons)


def ring(arcs, indices):
    points = []
    for index in indices:
        points += (arcs[index] if index >= 0 else arcs[~index][::-1])[1 if points else 0 :]
    out = [points[0]]
    for x, y in points[1:]:
        before = out[-1][0]
        out.append((x - 360 if x - before > 180 else x + 360 if x - before < -180 else x, y))
    if abs(out[0][0] - out[-1][0]) > 180:  # round the pole: close it along the pole
        out += [(out[-1][0], -90), (out[0][0], -90)]
    return out


def crossed_nm(parts, shape):
    """How far lines straight in longitude and latitude run over a shape, in nm."""
    total = 0.0
    for part in parts:
        cut = part.intersection(shape)
        for line in getattr(cut, "geoms", [cut]):
            if line.geom_type == "LineString" and not line.is_empty:
                total += GEOD.line_length(*line.xy) / 1852
    return total


def lines(points):
    """Points as lines cut at the antimeridian."""
    parts, part = [], [points[0]]
    for x, y in points[1:]:
        x0, y0 = part[-1]
        if abs(x - x0) > 180:
            edge = 180 if x0 > 0 else -180
            near = x + 2 * edge
            middle = y0 + (y - y0) * (edge - x0) / (near - x0) if near != x0 else y
            part.append((edge, middle))
            parts.append(part)
            part = [(-edge, middle)]
        part.append((x, y))
    parts.append(part)
    return [LineString(part) for part in parts if len(part) > 1]


def leg(kind, rng):
    a = (round(rng.uniform(-180, 180), 3), round(rng.uniform(-75, 80), 3))
    if kind == "great-circle":
        b = (round(rng.uniform(-180, 180), 3), round(rng.uniform(-75, 80), 3))
        azimuth, _, length = GEOD.inv(*a, *b)
        steps = max(2, int(length / STEP_M))
        between = GEOD.npts(*a, *b, steps)
        return a, b, [a, *between, b]
    if kind == "parallel":
        b = (round((a[0] + rng.uniform(5, 80) + 180) % 360 - 180, 3), a[1])
        width = (b[0] - a[0]) % 360
        steps = int(width * 20)
        points = [((a[0] + width * i / steps + 180) % 360 - 180, a[1]) for i in range(steps)]
        return a, b, [*points, b]
    b = (a[0], round(rng.uniform(-75, 80), 3))
    return a, b, [a, b]


def write(name, about, columns, rows):
    with open(OUT / name, "w", encoding="ascii") as out:
        for line in about:
            out.write(f"# {line}\n")
        out.write(",".join(columns) + "\n")
        for row in rows:
            out.write(",".join(map(str, row)) + "\n")


def main():
    rng = random.Random(SEED)
    shape = land(sys.argv[1])
    shapely.prepare(shape)
    inner, outer = shape.buffer(-MARGIN_DEG), shape.buffer(MARGIN_DEG)
    for grown in (inner, outer):
        shapely.prepare(grown)
    OUT.mkdir(parents=True, exist_ok=True)
    tools = (
        f"Made by scripts/reference/land_rows.py (seed {SEED}) with shapely {shapely.__version__} (GEOS "
        f"{shapely.geos_version_string}) and pyproj {pyproj.__version__}",
        "from land-10m.json of the npm package world-atlas 2.0.2 (Natural Earth, public domain), unsimplified.",
    )

    coast = shape.boundary
    rows = []
    while len(rows) < PLACES:
        # Half of the places within a degree of a coast, where a mistake would show.
        point = (rng.uniform(-180, 180), rng.uniform(-89, 85))
        if len(rows) % 2:
            near = coast.interpolate(rng.random(), normalized=True)
            point = (near.x + rng.uniform(-1, 1), near.y + rng.uniform(-1, 1))
        point = (round(point[0], 3), round(point[1], 3))
        if not (-180 <= point[0] < 180 and -90 <= point[1] <= 90):
            continue
        place = Point(point)
        on_land = inner.contains(place)
        if on_land != outer.contains(place):
            continue
        rows.append((point[1], point[0], "land" if on_land else "sea"))
    write(
        "places.csv",
        ("Places on land and at sea. Degrees.", *tools, f"None is within {MARGIN_DEG} degree of a coast."),
        ("latitude_deg", "longitude_deg", "surface"),
        rows,
    )

    rows = []
    while len(rows) < LEGS:
        kind = ("great-circle", "parallel", "meridian")[len(rows) % 3]
        a, b, points = leg(kind, rng)
        if a == b or any(outer.contains(Point(end)) for end in (a, b)):
            continue  # land near the ends is a matter of its own
        parts = lines(points)
        over, at_least, at_most = (crossed_nm(parts, grown) for grown in (shape, inner, outer))
        if (at_least > 0) != (at_most > 0):
            continue
        # What the margin may add or take away says how exact the length over land can be.
        rows.append((kind, a[1], a[0], b[1], b[0], "yes" if over > 0 else "no", f"{over:.3f}", f"{at_least:.3f}", f"{at_most:.3f}"))
    write(
        "legs.csv",
        (
            "Legs from sea to sea, whether they cross land and for how many nautical miles. Degrees.",
            *tools,
            f"at_least_nm and at_most_nm: over land drawn {MARGIN_DEG} degree smaller and larger. Left out are legs that",
            "touch only the larger. Great circles on WGS84 by pyproj's Geod; parallels and meridians are rhumb lines.",
        ),
        ("kind", "from_latitude_deg", "from_longitude_deg", "to_latitude_deg", "to_longitude_deg",
         "crosses", "over_nm", "at_least_nm", "at_most_nm"),
        rows,
    )
    print(len(rows), "legs,", sum(row[5] == "yes" for row in rows), "cross land")


if __name__ == "__main__":
    main()
