"""The wind climate along a track: spread at the nodes, bilinear in space, linear in season."""

import datetime
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import xarray as xr
from scipy.optimize import brentq
from scipy.special import i0e, i1e

LEAST_SPREAD_M_S = 0.5
MONTH_DAYS = np.array([31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
YEAR_DAYS = MONTH_DAYS.sum()
MONTH_START = np.concatenate([[0], np.cumsum(MONTH_DAYS)[:-1]])
MONTH_MIDDLE = MONTH_START + MONTH_DAYS / 2
OBSERVED = 1


def rice_mean(m: float, s: float) -> float:
    """Mean speed of a wind of vector mean m and component standard deviation s.

    s sqrt(pi/2) L(-m^2/2s^2), with the Bessel functions scaled so that nothing overflows.
    """
    y = m * m / (4 * s * s)
    return s * np.sqrt(np.pi / 2) * ((1 + 2 * y) * i0e(y) + 2 * y * i1e(y))


def spread(u: float, v: float, speed: float) -> float:
    """The standard deviation that gives the mean speed; never under the least spread."""
    m = np.hypot(u, v)
    if speed <= m or rice_mean(m, LEAST_SPREAD_M_S) >= speed:
        return LEAST_SPREAD_M_S
    # At s = speed the mean is at least sqrt(pi/2) times too high, so the root is bracketed.
    return brentq(lambda s: rice_mean(m, s) - speed, LEAST_SPREAD_M_S, speed, xtol=1e-13)


def day_of_year(date: datetime.date) -> float:
    """Days since 1 January 00:00 in a year whose February has 28.2425 days."""
    return MONTH_START[date.month - 1] + date.day - 1


@dataclass(frozen=True)
class Along:
    """Twelve months (rows) at each place of a track (columns)."""

    u_m_s: np.ndarray
    v_m_s: np.ndarray
    s_m_s: np.ndarray
    air_c: np.ndarray
    replaced: np.ndarray

    def at(self, day: float, place=slice(None)):
        """The five fields at a day of the year, linear between the middles of months."""
        day = day % YEAR_DAYS
        k = int(np.searchsorted(MONTH_MIDDLE, day, side="right")) - 1  # -1: before mid-January
        before = MONTH_MIDDLE[k] - (YEAR_DAYS if k < 0 else 0)
        n = (k + 1) % 12
        after = MONTH_MIDDLE[n] + (YEAR_DAYS if k == 11 else 0)
        f = (day - before) / (after - before)
        fields = (self.u_m_s, self.v_m_s, self.s_m_s, self.air_c, self.replaced)
        values = tuple((1 - f) * x[k, place] + f * x[n, place] for x in fields)
        if np.isnan(values[0]).any():
            raise ValueError(f"no wind on day {day:.2f} of the year at {place}")
        return values


class Climate:
    """The file, read with xarray; spreads are solved at the nodes asked for."""

    def __init__(self, path: Path):
        with xr.open_dataset(path) as ds:
            self.lat = ds.latitude.values
            self.lon = ds.longitude.values
            self.u = ds.eastward_wind.values
            self.v = ds.northward_wind.values
            self.speed = ds.wind_speed.values
            self.air = ds.air_temperature.values
            self.origin = ds.origin.values
        self.spread_at = cache(self._spread_at)

    def _spread_at(self, month: int, j: int, i: int) -> float:
        return spread(self.u[month, j, i], self.v[month, j, i], self.speed[month, j, i])

    def _corners(self, lat_deg: float, lon_deg: float):
        """(row, column, weight) of the four surrounding nodes; longitude is cyclic."""
        y = (lat_deg - self.lat[0]) / (self.lat[1] - self.lat[0])
        x = ((lon_deg - self.lon[0]) % 360) / (self.lon[1] - self.lon[0])
        j, i = int(np.floor(y)), int(np.floor(x))
        fy, fx = y - j, x - i
        for dj, wy in ((0, 1 - fy), (1, fy)):
            for di, wx in ((0, 1 - fx), (1, fx)):
                yield j + dj, (i + di) % len(self.lon), wy * wx

    def along(self, lat_deg: np.ndarray, lon_deg: np.ndarray) -> Along:
        """All months at all places; nan where no node has data."""
        out = np.full((5, 12, len(lat_deg)), np.nan)
        for p, (lat, lon) in enumerate(zip(lat_deg, lon_deg)):
            corners = list(self._corners(lat, lon))
            for month in range(12):
                wind, air = [], []
                for j, i, w in corners:
                    if np.isfinite(self.u[month, j, i] + self.v[month, j, i] + self.speed[month, j, i]):
                        replaced = float(self.origin[month, j, i] != OBSERVED)
                        wind.append(
                            (w, self.u[month, j, i], self.v[month, j, i],
                             self.spread_at(month, j, i), replaced)
                        )
                    if np.isfinite(self.air[month, j, i]):
                        air.append((w, self.air[month, j, i]))
                if sum(row[0] for row in wind) > 0:
                    rows = np.array(wind)
                    weight = rows[:, 0] / rows[:, 0].sum()
                    out[[0, 1, 2, 4], month, p] = weight @ rows[:, 1:]
                if sum(row[0] for row in air) > 0:
                    rows = np.array(air)
                    out[3, month, p] = rows[:, 0] @ rows[:, 1] / rows[:, 0].sum()
        return Along(*out)


class Currents:
    """The annual currents, bilinear over the nodes with data; none elsewhere."""

    def __init__(self, path: Path):
        with xr.open_dataset(path) as ds:
            self.lat, self.lon = ds.latitude.values, ds.longitude.values
            self.u = ds.surface_eastward_sea_water_velocity.values
            self.v = ds.surface_northward_sea_water_velocity.values

    def along(self, track, kn_per_m_s):
        """Along the course and across it to port at each place of a track, knots."""
        out = np.zeros((2, len(track.course_deg)))
        for p, (lat, lon) in enumerate(zip(track.latitude_deg, track.longitude_deg)):
            y = (lat - self.lat[0]) / (self.lat[1] - self.lat[0])
            x = ((lon - self.lon[0]) % 360) / (self.lon[1] - self.lon[0])
            j, i = int(np.floor(y)), int(np.floor(x))
            total = weight = 0
            for dj, wy in ((0, 1 - (y - j)), (1, y - j)):
                for di, wx in ((0, 1 - (x - i)), (1, x - i)):
                    if not 0 <= j + dj < len(self.lat):
                        continue
                    node = j + dj, (i + di) % len(self.lon)
                    if np.isfinite(self.u[node]) and np.isfinite(self.v[node]):
                        total = total + wy * wx * np.array([self.u[node], self.v[node]])
                        weight += wy * wx
            if weight > 0:
                east, north = total / weight * kn_per_m_s
                course = np.radians(track.course_deg[p])
                out[0, p] = east * np.sin(course) + north * np.cos(course)
                out[1, p] = north * np.sin(course) - east * np.cos(course)
        return out
