#!/usr/bin/env python3
"""Write fixtures/reference/climate/years.csv: anomalies of fixtures/climate/years.nc, worked out anew.

    python scripts/reference/years_rows.py DATA > fixtures/reference/climate/years.csv

DATA is the data folder of the Debian package ferret-datasets 7.6.0-5. Nothing of scripts/build-years is used:
labelled arrays (xarray) and a window written out, and no rounding to the file's steps of 0.02 m/s.
"""

import sys
from pathlib import Path

import numpy as np
import xarray as xr

ROOT = Path(__file__).resolve().parents[2]
NODES = ((0, 180), (-5, 200), (-15, 75), (-30, 60), (-35, 100), (-45, 60), (25, 320), (45, 330), (10, 65))
MONTHS = ((1982, 1), (1982, 11), (1983, 2), (1985, 7), (1988, 10), (1990, 6), (1992, 12))

navy = xr.open_dataset(Path(sys.argv[1]) / "monthly_navy_winds.cdf", decode_times=False)
navy = navy.rename(FNOCX="lon", FNOCY="lat", TIME="time").assign_coords(time=np.arange(132))
navy = navy.assign_coords(lon=navy.lon % 360).sortby("lon")
ships = xr.open_dataset(ROOT / "fixtures/climate/ship-winds.nc", decode_times=False)
ships = ships.rename(latitude="lat", longitude="lon")
lats, lons = np.arange(-85, 86, 5), np.arange(0, 360, 5)


def at(name, lat, lon):
    """Series of one node: nine nodes of 2.5 degrees, weights by distance."""
    total = 0.0
    for dy, wy in ((-2.5, 0.25), (0, 0.5), (2.5, 0.25)):
        for dx, wx in ((-2.5, 0.25), (0, 0.5), (2.5, 0.25)):
            total = total + wy * wx * navy[name].sel(lat=lat + dy, lon=(lon + dx) % 360).values.astype(float)
    return total


def cells(lat, lon):
    """The 2 degree cells with their middle within 2.5 degrees of a node."""
    near = (np.abs(ships.lat - lat) < 2.5), (np.abs((ships.lon - lon + 180) % 360 - 180) < 2.5)
    return ships.isel(lat=np.flatnonzero(near[0]), lon=np.flatnonzero(near[1]))


rows = {}
for lat in sorted({node[0] for node in NODES}):
    series = {name: np.array([at(name, lat, lon) for lon in lons]) for name in ("UWND", "VWND")}
    boxes = [cells(lat, lon) for lon in lons]
    share = np.array([float(np.isfinite(box.eastward_wind).any("time").mean()) for box in boxes])
    month = np.arange(132) % 12
    top = bottom = 0.0
    for name, known in (("UWND", "eastward_wind"), ("VWND", "northward_wind")):
        mean = np.array([[one[month == m].mean() for m in range(12)] for one in series[name]])
        with np.errstate(all="ignore"):
            ship = np.array([box[known].mean(("lat", "lon"), skipna=True).values.astype(float) for box in boxes])
        has = np.isfinite(ship)
        weight = share[:, None] * has
        top += (weight * mean * np.where(has, ship, 0)).sum()
        bottom += (weight * mean**2).sum()
    level = top / bottom
    for name, one in series.items():
        departure = one - np.array([[x[month == m].mean() for m in range(12)] for x in one])[:, month]
        zonal = (share[:, None] * departure).sum(axis=0) / share.sum()
        slow = []
        for t in range(132):
            pairs = [(zonal[k], 0.5 if abs(k - t) == 6 else 1.0) for k in range(t - 6, t + 7) if 0 <= k < 132]
            slow.append(sum(x * w for x, w in pairs) / sum(w for _, w in pairs))
        steady = one - np.array(slow)
        rows[name, lat] = level * (steady - np.array([[x[month == m].mean() for m in range(12)] for x in steady])[:, month])

print("# Anomalies of the Navy's monthly winds 1982 to 1992 at some nodes, as fixtures/climate/README.md defines them.")
print(f"# Status: computed, by scripts/reference/years_rows.py (numpy {np.__version__}, xarray {xr.__version__})")
print("# from monthly_navy_winds.cdf of the Debian package ferret-datasets 7.6.0-5 and fixtures/climate/ship-winds.nc.")
print("latitude_deg,longitude_deg,year,month,u_ms,v_ms")
for lat, lon in NODES:
    for year, m in MONTHS:
        t = (year - 1982) * 12 + m - 1
        u, v = (rows[name, lat][list(lons).index(lon), t] for name in ("UWND", "VWND"))
        print(f"{lat},{lon},{year},{m},{u:.4f},{v:.4f}")
