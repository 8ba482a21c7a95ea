#!/usr/bin/env python3
"""Make fixtures/reference/passage/laid_off.csv: a great circle laid off by distance and by meridians.

Places are PROJ's geodesic (pyproj.Geod), meridians found on it by scipy's Brent root; courses are those
of the chord on a Mercator chart of the ellipsoid, atan2(difference of longitude, difference of
isometric latitude). Run from the top of the repository.
"""

from math import asinh, atan2, atanh, degrees, radians, sin, sqrt, tan
from pathlib import Path

import pyproj
import scipy
from pyproj import Geod
from scipy.optimize import brentq

OUT = Path("fixtures/reference/passage/laid_off.csv")
NM = 1852.0
EARTH = Geod(ellps="WGS84")
LINES = [
    # Fremantle to Durban as the demonstration has them, and a line over the antimeridian northward.
    ((-(32 + 3 / 60), 115 + 40 / 60), (-(29 + 52 / 60), 31 + 6 / 60)),
    ((-38.0, 172.0), (21.0, -158.0)),
]
WAYS = ["300nm", "5deg", "7deg"]


def isometric(latitude_deg):
    phi, e = radians(latitude_deg), sqrt(EARTH.es)
    return asinh(tan(phi)) - e * atanh(e * sin(phi))


def wrapped(angle_deg):
    return (angle_deg + 180.0) % 360.0 - 180.0


def course_deg(start, end):
    east = radians(wrapped(end[1] - start[1]))
    return degrees(atan2(east, isometric(end[0]) - isometric(start[0]))) % 360.0


def cuts_m(way, start, azimuth_deg, length_m):
    if way.endswith("nm"):
        every_m = float(way[:-2]) * NM
        return [every_m * n for n in range(1, int(length_m / every_m) + 1)]

    def off(distance_m, meridian_deg):
        longitude = EARTH.fwd(start[1], start[0], azimuth_deg, distance_m)[0]
        return wrapped(longitude - meridian_deg)

    every = int(way[:-3])
    found = []
    for meridian_deg in range(-(180 // every) * every, 181, every):
        if meridian_deg == -180:
            continue  # the same as 180
        # Looked for mile by mile first, so that the far side of the Earth is no root.
        samples = [length_m * n / 5000 for n in range(5001)]
        offs = [off(sample, meridian_deg) for sample in samples]
        for n in range(5000):
            if offs[n] * offs[n + 1] < 0 and abs(offs[n]) < 90:
                root = brentq(off, samples[n], samples[n + 1], args=(meridian_deg,), xtol=1e-6)
                found.append(root)
    return sorted(found)


def main():
    lines = [
        "# A great circle laid off in pieces: where each begins, and the constant course to the next.",
        "# command: python scripts/reference/lay_off_rows.py",
        f"# versions: pyproj {pyproj.__version__}, PROJ {pyproj.proj_version_str}, scipy {scipy.__version__}",
        "# units: degrees; nautical miles from the line's start. The last row of a line is its end.",
        "# claimed accuracy: 1e-6 degrees of place, 1e-5 degrees of course, 1e-5 nm.",
        "way,from_latitude_deg,from_longitude_deg,to_latitude_deg,to_longitude_deg,"
        "run_nm,latitude_deg,longitude_deg,course_deg",
    ]
    for start, end in LINES:
        azimuth_deg, _, length_m = EARTH.inv(start[1], start[0], end[1], end[0])
        for way in WAYS:
            runs_m = [0.0, *cuts_m(way, start, azimuth_deg, length_m), length_m]
            places = []
            for run_m in runs_m:
                longitude, latitude, _ = EARTH.fwd(start[1], start[0], azimuth_deg, run_m)
                places.append((latitude, longitude))
            for n, (run_m, place) in enumerate(zip(runs_m, places)):
                course = f"{course_deg(place, places[n + 1]):.6f}" if n + 1 < len(places) else ""
                ends = f"{start[0]:.9f},{start[1]:.9f},{end[0]:.9f},{end[1]:.9f}"
                lines.append(
                    f"{way},{ends},{run_m / NM:.6f},{place[0]:.7f},{place[1]:.7f},{course}"
                )
    OUT.write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
