"""Largest progress along a course for the demonstration's polar, by a general-purpose convex hull.

scipy's RegularGridInterpolator reads the polar at every 0.02 degrees; scipy.spatial.ConvexHull takes these
points, their mirror images and the origin; progress is the least -offset / (normal . course) over the facets
that the course leaves through. Writes fixtures/reference/boat/course_made_good.csv anew, for the
winds and angles that stand there.

Run: python scripts/reference/course_made_good_rows.py
"""

import csv
import pathlib

import numpy as np
from scipy.interpolate import RegularGridInterpolator
from scipy.spatial import ConvexHull

from passage_parts.voyage import POLAR

ROWS = pathlib.Path(__file__).resolve().parents[2] / "fixtures/reference/boat/course_made_good.csv"
STEP_DEG, FASTEST_WIND_KN = 0.02, 40.0


def polar():
    with open(POLAR, encoding="utf-8") as file:
        rows = [[float(cell) for cell in row] for row in csv.reader(file) if row[0][0].isdigit()]
    winds, angles = (np.unique([row[column] for row in rows]) for column in (0, 1))
    speeds = np.zeros((winds.size + 1, angles.size))
    for wind, angle, speed in rows:
        speeds[1 + np.searchsorted(winds, wind), np.searchsorted(angles, angle)] = speed
    return RegularGridInterpolator((np.concatenate([[0.0], winds]), angles), speeds)


def hull_of(speed_kn, wind_kn):
    angles = np.arange(0, 180 + STEP_DEG / 2, STEP_DEG).clip(max=180)
    speed = speed_kn(np.column_stack([np.full(angles.size, min(wind_kn, FASTEST_WIND_KN)), angles]))
    x, y = speed * np.cos(np.radians(angles)), speed * np.sin(np.radians(angles))
    points = np.concatenate([np.column_stack([x, y]), np.column_stack([x, -y]), [[0.0, 0.0]]])
    return ConvexHull(points).equations


def progress_kn(facets, off_deg):
    course = np.array([np.cos(np.radians(off_deg)), np.sin(np.radians(off_deg))])
    toward = facets[:, :2] @ course
    out = toward > 1e-12
    return max(0.0, np.min(-facets[out, 2] / toward[out]))


def main():
    lines = ROWS.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if not line[0].isdigit()]
    speed_kn, hulls = polar(), {}
    with open(ROWS, "w", encoding="utf-8") as file:
        print(*head, sep="\n", file=file)
        for line in lines[len(head) :]:
            wind, off, _ = line.split(",")
            if wind not in hulls:
                hulls[wind] = hull_of(speed_kn, float(wind))
            print(f"{wind},{off},{progress_kn(hulls[wind], float(off)):.5f}", file=file)


if __name__ == "__main__":
    main()
