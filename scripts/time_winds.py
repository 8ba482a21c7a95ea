#!/usr/bin/env python3
"""Makes large synthetic winds, and times the same work done by other tools: the figures in DEVELOPERS.md, "Speed".

    time_winds.py make hourly FILE      a month of hours, 0.25 degrees, global, packed and deflated (about 6 GB
                                        unpacked in single precision); FIELDS or TILES in the name's end
                                        chooses chunks of whole fields (default) or of 24 x 181 x 360
    time_winds.py make monthly FOLDER   30 years of monthly means, 1 degree, global, a file a year
    time_winds.py make twelve FILE      twelve months, 0.25 degrees, packed, chunks of 1 x 181 x 360
    time_winds.py read FILE             plain reading of all stored numbers with netCDF4-python
    time_winds.py region FILE           netCDF4-python's hyperslab of the southern Indian Ocean
    time_winds.py xarray FILE           the reduction of `offing winds` as xarray and dask do it on two cores

Needs numpy, netCDF4, and for the last xarray and dask. Random numbers of a fixed seed; nothing is observed.
"""

import resource
import sys
import time
from pathlib import Path

import netCDF4
import numpy as np

SEED = 20261129
GALE_MS, CALM_MS = 34 * 1852 / 3600, 1852 / 3600


def coarse_to_fine(coarse, rows, columns):
    """Bilinear from a coarse grid that closes on itself eastward."""
    coarse = np.concatenate([coarse, coarse[:, :1]], axis=1)
    y = np.linspace(0, coarse.shape[0] - 1, rows)
    x = np.linspace(0, coarse.shape[1] - 1, columns + 1)[:-1]
    i, j = np.minimum(y.astype(int), coarse.shape[0] - 2), np.minimum(x.astype(int), coarse.shape[1] - 2)
    fy, fx = (y - i)[:, None].astype("f4"), (x - j)[None, :].astype("f4")
    top = coarse[i][:, j] * (1 - fx) + coarse[i][:, j + 1] * fx
    low = coarse[i + 1][:, j] * (1 - fx) + coarse[i + 1][:, j + 1] * fx
    return top * (1 - fy) + low * fy


def weather(rng, steps, hours, rows, columns):
    """Fields of u and v: a mean by latitude, weather of a day's memory, and a little noise from node to node."""
    kept = np.exp(-hours / 24)
    shape = (2, 37, 72)
    state = rng.standard_normal(shape).astype("f4")
    south = np.linspace(-90, 90, rows)[:, None]
    mean = np.stack([6 * -np.cos(np.radians(4 * south)), 1.5 * np.sin(np.radians(4 * south))]).astype("f4")
    for _ in range(steps):
        state = kept * state + np.sqrt(1 - kept**2) * rng.standard_normal(shape).astype("f4")
        noise = rng.standard_normal((rows, columns), dtype="f4")
        yield [mean[c] + 5 * coarse_to_fine(state[c], rows, columns) + 0.05 * noise for c in range(2)]


def begin(path, rows, columns, times, units, chunk, kind="i2"):
    file = netCDF4.Dataset(path, "w")
    file.title = "synthetic winds for timing"
    for name, size in (("time", None), ("latitude", rows), ("longitude", columns)):
        file.createDimension(name, size)
    axes = (("time", units, times), ("latitude", "degrees_north", np.linspace(90, -90, rows)),
            ("longitude", "degrees_east", np.arange(columns) * 360 / columns))
    for name, unit, values in axes:
        variable = file.createVariable(name, "f8", (name,))
        variable.units, variable.standard_name = unit, name
        variable[:] = values
    made = []
    for name, standard in (("u10", "eastward_wind"), ("v10", "northward_wind")):
        variable = file.createVariable(name, kind, ("time", "latitude", "longitude"), zlib=True, complevel=1,
                                       shuffle=True, chunksizes=chunk)
        variable.units, variable.standard_name = "m s-1", standard
        if kind == "i2":
            variable.scale_factor, variable.add_offset = 0.0015, 0.3
        variable.set_auto_maskandscale(False)
        made.append(variable)
    return file, made


def make_hourly(path):
    rng = np.random.default_rng(SEED)
    hours = 24 * 31
    tiles = Path(path).stem.endswith("tiles")
    chunk, at_once = ((24, 181, 360), 24) if tiles else ((1, 721, 1440), 1)
    file, made = begin(path, 721, 1440, np.arange(hours), "hours since 2020-01-01", chunk)
    held = [[], []]
    for step, fields in enumerate(weather(rng, hours, 1, 721, 1440)):
        for component in range(2):
            held[component].append(np.round((fields[component] - 0.3) / 0.0015).astype("i2"))
        if len(held[0]) == at_once:
            for component in range(2):
                made[component][step + 1 - at_once:step + 1] = np.stack(held[component])
            held = [[], []]
    file.close()


def make_monthly(folder):
    rng = np.random.default_rng(SEED)
    Path(folder).mkdir(exist_ok=True)
    fields = weather(rng, 360, 24 * 30, 181, 360)
    for year in range(1991, 2021):
        starts = np.array([f"{year}-{month:02}-01" for month in range(1, 13)], dtype="datetime64[D]")
        days = (starts - np.datetime64("1900-01-01")).astype(int)
        file, made = begin(f"{folder}/{year}.nc", 181, 360, days, "days since 1900-01-01", (1, 181, 360), "f4")
        for month in range(12):
            for variable, values in zip(made, next(fields)):
                variable[month] = values
        file.close()


def make_twelve(path):
    rng = np.random.default_rng(SEED)
    days = [15, 45, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349]
    file, made = begin(path, 721, 1440, days, "days since 2001-01-01", (1, 181, 360))
    for month, fields in enumerate(weather(rng, 12, 24 * 30, 721, 1440)):
        for variable, values in zip(made, fields):
            variable[month] = np.round((values - 0.3) / 0.0015).astype("i2")
    file.close()


def plain_read(path):
    """Every stored number once, chunk by chunk in time; nothing is worked out."""
    file = netCDF4.Dataset(path)
    values = 0
    for name in ("u10", "v10"):
        variable = file[name]
        variable.set_auto_maskandscale(False)
        length = variable.chunking()[0]
        for start in range(0, len(variable), length):
            values += variable[start:start + length].size
    return values


def region(path):
    """10 to 50 south, 20 to 125 east, twelve months, unpacked."""
    file = netCDF4.Dataset(path)
    south, east = file["latitude"][:], file["longitude"][:]
    rows = np.flatnonzero((south >= -50) & (south <= -10))
    columns = np.flatnonzero((east >= 20) & (east <= 125))
    values = 0
    for name in ("u10", "v10"):
        values += file[name][:, rows[0]:rows[-1] + 1, columns[0]:columns[-1] + 1].size
    return values


def reduce_with_xarray(path):
    import dask
    import xarray

    dask.config.set(scheduler="threads", num_workers=2)
    winds = xarray.open_dataset(path, chunks={"time": 24} if "tiles" not in Path(path).stem else {})
    u, v = winds.u10, winds.v10
    speed = np.hypot(u, v)
    days = {name: field.resample(time="1D").mean() for name, field in (("u", u), ("v", v))}
    wanted = {"u": u.mean("time", dtype="f8"), "v": v.mean("time", dtype="f8"), "speed": speed.mean("time", dtype="f8"),
              "uu": (u * u).mean("time", dtype="f8"), "vv": (v * v).mean("time", dtype="f8"),
              "uv": (u * v).mean("time", dtype="f8"), "gale": (speed >= GALE_MS).mean("time"),
              "calm": (speed < CALM_MS).mean("time")}
    for lag in (0, 1, 2, 3, 5, 7, 10):
        total = 0
        for field in days.values():
            about = field - field.mean("time")
            count = field.sizes["time"] - lag
            total = total + (about[:count] * about[lag:].assign_coords(time=about.time[:count])).mean("time")
        wanted[f"lag{lag}"] = total
    done = xarray.Dataset(wanted).compute()
    return int(done.u.size)


def main():
    what, *rest = sys.argv[1:]
    if what == "make":
        {"hourly": make_hourly, "monthly": make_monthly, "twelve": make_twelve}[rest[0]](rest[1])
        return
    work = {"read": plain_read, "region": region, "xarray": reduce_with_xarray}[what]
    start = time.perf_counter()
    count = work(rest[0])
    used = resource.getrusage(resource.RUSAGE_SELF)
    print(f"{what}: {count} values, {time.perf_counter() - start:.3f} s, user {used.ru_utime:.2f} s, "
          f"system {used.ru_stime:.2f} s, at most {used.ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
