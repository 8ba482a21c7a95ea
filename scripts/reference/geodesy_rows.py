#!/usr/bin/env python3
"""Make the geodesic and rhumb rows of fixtures/reference/geodesy/ with GeographicLib's tools.

Run once, from the top of the repository, where GeodSolve and RhumbSolve are installed (Debian
package geographiclib-tools; the rows kept were made with 2.1.2-1):

    python3 scripts/reference/geodesy_rows.py

The inputs come from a fixed seed and are written with the digits given to the tools, so that a
second run makes the same files.
"""

import random
import subprocess
from pathlib import Path

OUT = Path("fixtures/reference/geodesy")
SEED = 20250101
PRECISION = "10"  # lengths to 1e-10 m, angles to 1e-15 degree, as printed


def number(value, digits=12):
    """A plain decimal, the same text for the tools and for the file."""
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def solve(command, inputs):
    """The tool's answer to each line, as a list of words."""
    lines = "\n".join(" ".join(row) for row in inputs) + "\n"
    done = subprocess.run(command, input=lines, capture_output=True, text=True, check=True)
    answers = [line.split() for line in done.stdout.splitlines()]
    assert len(answers) == len(inputs)
    return answers


def write(name, about, command, columns, rows):
    with open(OUT / name, "w", encoding="ascii") as out:
        for line in about:
            out.write(f"# {line}\n")
        out.write(f"# Made by scripts/reference/geodesy_rows.py (seed {SEED}) with GeographicLib 2.1.2:\n")
        out.write(f"#   {' '.join(command)}\n")
        out.write(",".join(columns) + "\n")
        for row in rows:
            out.write(",".join(row) + "\n")


def point(rng, limit=89.0):
    return rng.uniform(-limit, limit), rng.uniform(-180, 180)


def wrapped(longitude):
    return (longitude + 180) % 360 - 180


def inverse_pairs(rng):
    """Pairs of places of every awkward sort: (sort, lat1, lon1, lat2, lon2)."""
    for _ in range(220):
        yield ("any", *point(rng), *point(rng))
    for _ in range(70):
        lat, lon = point(rng)
        yield ("near-meridian", lat, lon, rng.uniform(-89, 89), wrapped(lon + signed(rng, -12, -2)))
    for _ in range(10):
        lat, lon = point(rng)
        yield ("meridian", lat, lon, rng.uniform(-89, 89), lon)
    for _ in range(110):
        lat, lon = point(rng, 85)
        yield ("near-parallel", lat, lon, lat + signed(rng, -12, -1), rng.uniform(-180, 180))
    for _ in range(20):
        lat, lon = point(rng)
        yield ("parallel", lat, lon, lat, rng.uniform(-180, 180))
    for _ in range(60):
        yield ("antimeridian", rng.uniform(-80, 80), rng.uniform(120, 180),
               rng.uniform(-80, 80), rng.uniform(-180, -120))
    for _ in range(80):
        pole = rng.choice((-1, 1))
        yield ("polar", pole * (90 - 10 ** rng.uniform(-8, 0)), rng.uniform(-180, 180),
               pole * (90 - 10 ** rng.uniform(-8, 1.5)), rng.uniform(-180, 180))
    for _ in range(50):
        lat, lon = point(rng)
        yield ("short", lat, lon, lat + signed(rng, -7, -2), wrapped(lon + signed(rng, -7, -2)))


def signed(rng, low, high):
    """A number of either sign whose size is spread evenly over powers of ten."""
    return rng.choice((-1, 1)) * 10 ** rng.uniform(low, high)


def near_antipodes(rng):
    for _ in range(40):
        lat, lon = point(rng, 80)
        yield ("near-antipodal", lat, lon, -lat + rng.uniform(-1, 1),
               wrapped(lon + 180 + rng.uniform(-1, 1)))


def pairs_as_text(pairs):
    return [(sort, *(number(value) for value in values)) for sort, *values in pairs]


def direct_starts(rng):
    """Starts, courses and distances in metres: (sort, lat, lon, course, distance)."""
    for _ in range(120):
        yield ("any", *point(rng), rng.uniform(-180, 180), 10 ** rng.uniform(0, 7))
    for _ in range(60):
        yield ("near-parallel", *point(rng, 85), rng.choice((-90, 90)) + signed(rng, -11, -1),
               10 ** rng.uniform(0, 7))
    for _ in range(20):
        yield ("parallel", *point(rng, 85), rng.choice((-90, 90)), 10 ** rng.uniform(0, 7))
    for _ in range(40):
        yield ("meridian", *point(rng, 40), rng.choice((0, 180)) + rng.choice((0, signed(rng, -11, -3))),
               10 ** rng.uniform(0, 6.7))
    for _ in range(60):
        pole = rng.choice((-1, 1))
        yield ("polar", pole * (90 - 10 ** rng.uniform(-4, 0)), rng.uniform(-180, 180),
               rng.uniform(-180, 180), 10 ** rng.uniform(0, 5))


def main():
    rng = random.Random(SEED)
    places = ["sort", "from_latitude_deg", "from_longitude_deg", "to_latitude_deg", "to_longitude_deg"]
    starts = ["sort", "from_latitude_deg", "from_longitude_deg", "course_deg", "length_m"]

    command = ["RhumbSolve", "-i", "-p", PRECISION]
    pairs = pairs_as_text(inverse_pairs(rng))
    answers = solve(command, [pair[1:] for pair in pairs])
    write("rhumb_inverse.csv",
          ["Rhumb lines between two places, WGS84. Degrees and metres; course from north, east positive.",
           "Claimed accuracy of the tool: 10 nanometres (RhumbSolve manual page, ACCURACY)."],
          command, places + ["course_deg", "length_m"],
          [(*pair, azimuth, length) for pair, (azimuth, length, _) in zip(pairs, answers)])

    command = ["RhumbSolve", "-p", PRECISION]
    given = pairs_as_text(direct_starts(rng))
    answers = solve(command, [row[1:] for row in given])
    write("rhumb_direct.csv",
          ["Rhumb lines from a place on a course, WGS84. Degrees and metres.",
           "Claimed accuracy of the tool: 10 nanometres (RhumbSolve manual page, ACCURACY).",
           "An empty end is a line that passes a pole, for which the tool gives no longitude."],
          command, starts + ["to_latitude_deg", "to_longitude_deg"],
          [(*row, *(("", "") if lon == "nan" else (lat, lon)))
           for row, (lat, lon, _) in zip(given, answers)])

    command = ["GeodSolve", "-i", "-p", PRECISION]
    sample = rng.sample(pairs, 260) + pairs_as_text(near_antipodes(rng))
    answers = solve(command, [pair[1:] for pair in sample])
    write("geodesic_inverse.csv",
          ["Geodesics between two places, WGS84. Degrees and metres; azimuths at the start and the end.",
           "Claimed accuracy of the tool: 15 nanometres (GeodSolve manual page)."],
          command, places + ["start_azimuth_deg", "end_azimuth_deg", "length_m"],
          [(*pair, *answer) for pair, answer in zip(sample, answers)])

    command = ["GeodSolve", "-p", PRECISION]
    sample = rng.sample(given, 150)
    answers = solve(command, [row[1:] for row in sample])
    write("geodesic_direct.csv",
          ["Geodesics from a place on a course, WGS84. Degrees and metres; azimuth at the end.",
           "Claimed accuracy of the tool: 15 nanometres (GeodSolve manual page)."],
          command, starts + ["to_latitude_deg", "to_longitude_deg", "end_azimuth_deg"],
          [(*row, *answer) for row, answer in zip(sample, answers)])


if __name__ == "__main__":
    main()
