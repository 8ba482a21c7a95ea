"""Great-circle legs on WGS84, cut into equal segments (PROJ's geodesics through pyproj)."""

import math
from dataclasses import dataclass

import numpy as np
from pyproj import Geod

from .voyage import Waypoint

METRES_PER_NM = 1852.0
GEOD = Geod(ellps="WGS84")


@dataclass(frozen=True)
class Track:
    """One entry per segment; position and course are those of its midpoint."""

    latitude_deg: np.ndarray
    longitude_deg: np.ndarray
    course_deg: np.ndarray
    length_nm: np.ndarray


def sample(waypoints: list[Waypoint], step_nm: float) -> Track:
    """Each leg in the fewest equal segments not longer than `step_nm`."""
    rows = []
    for a, b in zip(waypoints, waypoints[1:]):
        if b.leg != "great-circle":
            raise ValueError(f"only great-circle legs here, found {b.leg}")
        azimuth, _, metres = GEOD.inv(
            a.longitude_deg, a.latitude_deg, b.longitude_deg, b.latitude_deg
        )
        count = math.ceil(metres / METRES_PER_NM / step_nm)
        for k in range(count):
            lon, lat, back = GEOD.fwd(
                a.longitude_deg, a.latitude_deg, azimuth, (k + 0.5) * metres / count
            )
            rows.append((lat, lon, (back + 180) % 360, metres / METRES_PER_NM / count))
    return Track(*np.array(rows).T)
