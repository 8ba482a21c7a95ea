"""The boat from the definitions: polar, what the sea takes off it, and the largest speed along a
course, through the water, that also holds a current across it, by explicit convex hulls."""

from pathlib import Path

import numpy as np
from scipy.interpolate import RegularGridInterpolator
from scipy.spatial import ConvexHull

CURVE_STEP_DEG = 0.5
# The sea's brake: 1.2 per cent a knot of wind above 8, at most 30, whole within 60 degrees of the wind
# and none from 110; sails slat under 4 knots of apparent wind; no beat (60 degrees) from 38 knots,
# fading over 8 (common practice, no source).
BRAKE_PER_KN, BRAKE_FROM_KN, MOST_BRAKE, BRAKE_WHOLE_DEG, BRAKE_NONE_DEG = 0.012, 8, 0.3, 60, 110
SLAT_KN, BEAT_UNTIL_KN, BEAT_FADES_KN, BEAT_DEG = 4, 38, 8, 60


def read_polar(path: Path, factor: float = 1.0) -> RegularGridInterpolator:
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
    return RegularGridInterpolator((wind, angle), factor * table)


def at_sea(tws, angle_deg, speed_kn):
    """What is left of the speed on each heading."""
    into = np.clip((BRAKE_NONE_DEG - angle_deg) / (BRAKE_NONE_DEG - BRAKE_WHOLE_DEG), 0, 1)
    brake = np.clip(BRAKE_PER_KN * (tws - BRAKE_FROM_KN), 0, MOST_BRAKE)
    speed = speed_kn * (1 - brake * into)
    rad = np.radians(angle_deg)
    apparent = np.hypot(tws * np.cos(rad) + speed, tws * np.sin(rad))
    return np.where(apparent < SLAT_KN, 0, speed)


def along_course(polar, tws_kn, off_deg, across_kn):
    """Speed along the course (wind, angle off, current across): wind to port where off is positive,
    current to port where across is. Where the current cannot be held she makes what she has at the most
    speed across."""
    angle = np.arange(-180, 180 + CURVE_STEP_DEG / 2, CURVE_STEP_DEG)
    circle = np.column_stack([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    off = np.radians(off_deg)
    # Against the wind, and to starboard of it; the course lies `off` to starboard of the wind.
    course = np.column_stack([np.cos(off), np.sin(off)])
    port = np.column_stack([np.sin(off), -np.cos(off)])
    out = np.zeros((len(tws_kn), len(off_deg), len(across_kn)))
    last = polar.grid[0][-1]
    for k, tws in enumerate(tws_kn):
        if tws <= 0:
            continue
        speed = polar(np.column_stack([np.full(len(angle), min(tws, last)), np.abs(angle)]))
        points = np.vstack([circle * at_sea(tws, np.abs(angle), speed)[:, None], [[0.0, 0.0]]])
        if np.ptp(points[:, 0]) < 1e-9 or np.ptp(points[:, 1]) < 1e-9:
            continue
        hull = ConvexHull(points)
        toward = course @ hull.equations[:, :2].T
        sideways = port @ hull.equations[:, :2].T
        corners = points[hull.vertices]
        for m, across in enumerate(across_kn):
            # Velocity = a course - across port; each side of the hull holds n.v + c <= 0.
            room = -hull.equations[:, 2] + across * sideways
            with np.errstate(divide="ignore", invalid="ignore"):
                bound = room / toward
            upper = np.where(toward > 1e-9, bound, np.inf).min(axis=1)
            lower = np.where(toward < -1e-9, bound, -np.inf).max(axis=1)
            stuck = np.where(np.abs(toward) <= 1e-9, room, np.inf).min(axis=1) < -1e-9
            lost = (upper < lower - 1e-9) | stuck
            out[k, :, m] = upper
            for i in np.flatnonzero(lost):
                reach = -np.sign(across) * (corners @ port[i])
                out[k, i, m] = (corners @ course[i])[reach.argmax()]
        fade = np.clip((BEAT_UNTIL_KN - tws) / BEAT_FADES_KN, 0, 1)
        out[k, np.abs(off_deg) < BEAT_DEG] *= fade
    return out
