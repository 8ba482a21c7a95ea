"""The polar, and the largest progress along a course by explicit convex hulls."""

from pathlib import Path

import numpy as np
from scipy.interpolate import RegularGridInterpolator
from scipy.spatial import ConvexHull

CURVE_STEP_DEG = 0.2


def read_polar(path: Path) -> RegularGridInterpolator:
    """Boat speed (kn) over wind speed (kn) and angle (deg), with 0 at no wind."""
    lines = [s for s in path.read_text().splitlines() if s and not s.startswith("#")]
    rows = np.array([[float(x) for x in s.split(",")] for s in lines[1:]])
    wind, angle = np.unique(rows[:, 0]), np.unique(rows[:, 1])
    if len(rows) != len(wind) * len(angle):
        raise ValueError(f"{path}: not a full table")
    if angle[0] != 0 or angle[-1] != 180:
        raise ValueError(f"{path}: angles must run from 0 to 180")
    table = np.empty((len(wind), len(angle)))
    table[np.searchsorted(wind, rows[:, 0]), np.searchsorted(angle, rows[:, 1])] = rows[:, 2]
    if wind[0] > 0:
        wind = np.concatenate([[0], wind])
        table = np.vstack([np.zeros(len(angle)), table])
    return RegularGridInterpolator((wind, angle), table)


def progress_made_good(polar, tws_kn: np.ndarray, off_deg: np.ndarray) -> np.ndarray:
    """E: for each wind speed, where rays at `off_deg` leave the hull of the polar curve.

    The polar factor scales every hull alike, so the caller may multiply by it afterwards.
    """
    angle = np.linspace(-180, 180, round(360 / CURVE_STEP_DEG) + 1)
    circle = np.column_stack([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    rays = np.column_stack([np.cos(np.radians(off_deg)), np.sin(np.radians(off_deg))])
    out = np.zeros((len(tws_kn), len(off_deg)))
    last = polar.grid[0][-1]
    for k, tws in enumerate(tws_kn):
        if tws <= 0:
            continue
        speed = polar(np.column_stack([np.full(len(angle), min(tws, last)), np.abs(angle)]))
        hull = ConvexHull(np.vstack([circle * speed[:, None], [[0.0, 0.0]]]))
        # Each side holds the hull in n.x + c <= 0; a ray t d leaves through it at t = -c / n.d.
        toward = rays @ hull.equations[:, :2].T
        with np.errstate(divide="ignore", invalid="ignore"):
            exit_at = np.where(toward > 1e-12, -hull.equations[:, 2] / toward, np.inf)
        out[k] = np.maximum(exit_at.min(axis=1), 0)
    return out
