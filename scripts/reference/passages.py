"""Expected passages and ensembles over the ground in NumPy, straight from the definitions.

The expected passage integrates progress over the Gaussian wind of each segment on a grid of wind speed
and angle. The ensemble steps every member three hours at a time: the wind's fast and slow part toward
the east and the north, one boat factor a member, the current.

Run:
    python3 -m venv .venv && .venv/bin/pip install -r scripts/reference/requirements.txt
    .venv/bin/python scripts/reference/passages.py

`--time` writes nothing and prints the ensemble's speed in member-steps a second on one thread.
"""

import argparse
import csv
import datetime
import time

import numpy as np
from scipy.interpolate import RegularGridInterpolator

from passage_parts.boat import along_course, read_polar
from passage_parts.climate import Climate, Currents, day_of_year
from passage_parts.track import sample
from passage_parts.voyage import (
    CLIMATE, CURRENTS, OUT, POLAR, VOYAGE, Waypoint, header, read_voyage,
)  # fmt: skip

KN_PER_M_S = 3600 / 1852
STEP_NM, CELL_NM, STEP_H = 60.0, 12.0, 3.0
TWS = np.concatenate([np.arange(0, 12, 0.1), np.arange(12, 45.01, 0.25)])
OFF = np.arange(-180, 180.1, 2.0)
ACROSS = np.arange(-5.0, 5.01, 0.25)
FAST_H, SLOW_H, BOAT_SD = 24.0, 400.0, 0.11
HEADWIND_DEG, ABAFT_DEG = 60.0, 110.0
LIGHT_KN, HARD_KN, STRONG_KN, GALE_KN = 6.0, 20.0, 22.0, 34.0
EXPOSURES = ("headwind", "hard_beat", "abaft", "light_air", "strong", "gale")
FACTOR = 0.85
MOST_DAYS = 400
SEED = 20270501


def slow_share(latitude_deg):
    """0.24 within 20 degrees of the equator, 0.10 from 25 on, linear between."""
    return 0.24 + np.clip((np.abs(latitude_deg) - 20) / 5, 0, 1) * (0.10 - 0.24)


def exposures(tws, off):
    head = np.abs(off) < HEADWIND_DEG
    return np.array([
        head, head & (tws >= HARD_KN), np.abs(off) > ABAFT_DEG,
        tws < LIGHT_KN, tws >= STRONG_KN, tws >= GALE_KN,
    ])  # fmt: skip


class Boat:
    """Speeds along the course at factor 1, over wind speed, angle off and current across."""

    def __init__(self, voyage):
        self.voyage = voyage
        self.speed = along_course(read_polar(POLAR), TWS, OFF, ACROSS)
        self.look_up = RegularGridInterpolator((TWS, OFF, ACROSS), self.speed)

    def water(self, tws, off, across, factor):
        """Through the water along the course; none hove to."""
        wind = np.minimum(tws, TWS[-1])
        points = np.stack(np.broadcast_arrays(wind, off, across / factor), axis=-1)
        return np.where(tws >= self.voyage.heave_to_kn, 0, factor * self.look_up(points))

    def motor(self, tws, water, across):
        """Under power along the course, and whether the engine is wanted."""
        v = self.voyage
        wanted = (water < v.motor_below_kn) & (tws < v.heave_to_kn)
        return np.sqrt(max(v.motor_speed_kn**2 - across**2, 0)) if np.isscalar(across) else np.sqrt(
            np.maximum(v.motor_speed_kn**2 - across**2, 0)
        ), wanted


class WindGrid:
    """Cells of wind speed and angle, for sums over a Gaussian."""

    def __init__(self, refine=1):
        step, turn = 0.1 / refine, 2.0 / refine
        tws = (np.arange(round(70 / step)) + 0.5) * step
        off = np.arange(-180 + turn / 2, 180, turn)
        self.tws, self.off = (x.ravel() for x in np.meshgrid(tws, off, indexing="ij"))
        self.head = self.tws * np.cos(np.radians(self.off))
        self.port = self.tws * np.sin(np.radians(self.off))
        self.shares = exposures(self.tws, self.off)

    def weights(self, head, port, s):
        weight = self.tws * np.exp(((self.head - head) ** 2 + (self.port - port) ** 2) * -0.5 / s**2)
        return weight / weight.sum()


def on_course(u, v, course_deg):
    """From ahead and from port, knots."""
    sin, cos = np.sin(np.radians(course_deg)), np.cos(np.radians(course_deg))
    return -(u * sin + v * cos), u * cos - v * sin


def walk(boat, grid, track, along, current, departure, factor, fuel_litres):
    """The clock stands still within a segment and moves on at its end."""
    voyage = boat.voyage
    hours, left, power_hours = 0.0, fuel_litres, 0.0
    exposure_hours, air, lowest, replaced_hours = np.zeros(len(EXPOSURES)), 0.0, np.inf, 0.0
    for k, length in enumerate(track.length_nm):
        u, v, s, air_c, replaced = along.at(day_of_year(departure) + hours / 24, k)
        head, port = on_course(u * KN_PER_M_S, v * KN_PER_M_S, track.course_deg[k])
        weight = grid.weights(head, port, s * KN_PER_M_S)
        set_kn, across = current[:, k]
        water = boat.water(grid.tws, grid.off, across, factor)
        motor_kn, wanted = boat.motor(grid.tws, water, across)
        sailing = weight @ water + set_kn
        motoring = weight @ np.where(wanted, motor_kn, water) + set_kn
        power = weight @ wanted
        if left > 0:
            with_fuel = length / motoring
            need = with_fuel * power * voyage.litres_per_hour
            if need > left:
                with_fuel, need = with_fuel * left / need, left
            spent = with_fuel + (length - with_fuel * motoring) / sailing
            left -= need
            power_hours += with_fuel * power
        else:
            spent = length / sailing
        hours += spent
        exposure_hours += spent * (grid.shares @ weight)
        replaced_hours += spent * replaced
        air += spent * air_c
        lowest = min(lowest, air_c)
    return dict(
        distance_nm=track.length_nm.sum(), days=hours / 24,
        litres=power_hours * voyage.litres_per_hour,
        **dict(zip(EXPOSURES, exposure_hours / hours)), under_power=power_hours / hours,
        air_mean_c=air / hours, air_lowest_c=lowest, replaced_share=replaced_hours / hours,
    )  # fmt: skip


def trilinear(table, wind, off, across):
    """The boat's table at many winds at once; RegularGridInterpolator is ten times slower."""
    coarse = np.searchsorted(TWS, 12.0)
    i = np.where(wind < 12, wind / 0.1, coarse + (wind - 12) / 0.25)
    j, k = (off + 180) / 2, (across - ACROSS[0]) / 0.25
    places = []
    for x, n in zip((i, j, k), table.shape):
        x = np.clip(x, 0, n - 1)
        low = np.minimum(x.astype(np.intp), n - 2)
        places.append((low, x - low))
    (i, a), (j, b), (k, c) = places
    flat, (_, nj, nk) = table.ravel(), table.shape
    at = lambda di, dj, dk: flat.take(((i + di) * nj + j + dj) * nk + k + dk)
    rows = [at(di, dj, 0) * (1 - c) + at(di, dj, 1) * c for di in (0, 1) for dj in (0, 1)]
    low, high = rows[0] * (1 - b) + rows[1] * b, rows[2] * (1 - b) + rows[3] * b
    return low * (1 - a) + high * a


def ensemble(boat, track, along, current, departure, fuel_litres, members, rng, factors):
    """Every member's hours, exposures and spells."""
    voyage = boat.voyage
    finish, cells = track.length_nm.sum(), len(track.length_nm)
    edges = np.cumsum(track.length_nm)
    share = slow_share(track.latitude_deg)
    keep_fast, keep_slow = np.exp(-STEP_H / FAST_H), np.exp(-STEP_H / SLOW_H)
    fast, slow = rng.standard_normal((2, members)), rng.standard_normal((2, members))
    run, fuel = np.zeros(members), np.full(members, fuel_litres / voyage.litres_per_hour)
    hours, met = np.full(members, np.inf), np.zeros((len(EXPOSURES), members))
    powered, dry, gale = np.zeros(members), np.zeros(members, bool), np.zeros(members, bool)
    before, light, longest = np.zeros(members, bool), np.zeros(members), np.zeros(members)
    steps = 0
    for step in range(MOST_DAYS * 8):
        live = np.flatnonzero(np.isinf(hours))
        if not len(live):
            break
        steps += len(live)
        place = np.minimum(np.searchsorted(edges, run[live], side="right"), cells - 1)
        u, v, s, _, _ = (x[place] * KN_PER_M_S for x in along.at(day_of_year(departure) + step * STEP_H / 24))
        z = np.sqrt(1 - share[place]) * fast[:, live] + np.sqrt(share[place]) * slow[:, live]
        head, port = on_course(u + s * z[0], v + s * z[1], track.course_deg[place])
        tws, off = np.hypot(head, port), np.degrees(np.arctan2(port, head))
        set_kn, across = current[:, place]
        factor = factors[live]
        water = factor * trilinear(boat.speed, np.minimum(tws, TWS[-1]), off, across / factor)
        water = np.where(tws >= voyage.heave_to_kn, 0, water)
        motor_kn, wanted = boat.motor(tws, water, across)
        power_h = np.where(wanted, np.minimum(fuel[live], STEP_H), 0)
        made = water + power_h / STEP_H * (motor_kn - water) + set_kn
        dry[live] |= wanted & (power_h < STEP_H)
        fuel[live] -= power_h
        ahead = run[live] + STEP_H * made
        part = np.where(ahead >= finish, (finish - run[live]) / (STEP_H * made), 1.0)
        hours[live] = np.where(ahead >= finish, (step + part) * STEP_H, np.inf)
        run[live] = np.maximum(ahead, 0)
        flags = exposures(tws, off)
        met[:, live] += flags * part * STEP_H
        powered[live] += part * power_h
        gale[live] |= flags[5] & before[live]
        before[live] = flags[5]
        light[live] = (light[live] + STEP_H) * flags[3]
        longest[live] = np.maximum(longest[live], light[live])
        fast = keep_fast * fast + np.sqrt(1 - keep_fast**2) * rng.standard_normal((2, members))
        slow = keep_slow * slow + np.sqrt(1 - keep_slow**2) * rng.standard_normal((2, members))
    return dict(hours=hours, met=met, powered=powered, dry=dry, gale=gale, longest=longest), steps


def summary(done, voyage):
    days, n = done["hours"] / 24, len(done["hours"])
    p10, p50, p90 = np.quantile(days, [0.1, 0.5, 0.9])
    return dict(
        days_mean=days.mean(), days_p10=p10, days_p50=p50, days_p90=p90,
        litres_mean=done["powered"].mean() * voyage.litres_per_hour,
        **{f"{name}_mean_h": x.mean() for name, x in zip(EXPOSURES, done["met"])},
        under_power_mean_h=done["powered"].mean(),
        under_power_mean_se_h=done["powered"].std() / np.sqrt(n),
        dry_chance=done["dry"].mean(), gale_6h_chance=done["gale"].mean(),
        longest_light_p50_h=np.quantile(done["longest"], 0.5),
        longest_light_p90_h=np.quantile(done["longest"], 0.9),
    )  # fmt: skip


def routes(voyage):
    """The demonstration's routes and those of routes.csv, all by great circles."""
    found = dict(voyage.routes)
    with open(OUT / "routes.csv") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        for row in rows:
            place = Waypoint(float(row["latitude_deg"]), float(row["longitude_deg"]), "great-circle")
            found.setdefault(row["route"], []).append(place)
    return found


def text(value):
    return "" if value is None else f"{value:.6f}" if isinstance(value, float) else str(value)


def write(name, rows, *notes):
    inputs = (VOYAGE, POLAR, CLIMATE, CURRENTS)
    head = header(*notes, inputs=inputs)
    columns = list(rows[0])
    body = "".join(",".join(text(r[c]) for c in columns) + "\n" for r in rows)
    (OUT / name).write_text(head + ",".join(columns) + "\n" + body)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--members", type=int, default=20_000)
    parser.add_argument("--time", action="store_true", help="time the ensemble, write nothing")
    args = parser.parse_args()
    voyage, climate, currents = read_voyage(VOYAGE), Climate(CLIMATE), Currents(CURRENTS)
    boat, grid, ways = Boat(voyage), WindGrid(), routes(voyage)
    month = {name: 5 for name in voyage.routes}
    month |= {"Canaries to Barbados": 11, "Panama to the Marquesas": 3, "Cape Town to Hobart": 12,
              "Honolulu to San Francisco": 7}  # fmt: skip

    def brought(step_nm):
        tracks = {name: sample(points, step_nm) for name, points in ways.items()}
        winds = {n: climate.along(t.latitude_deg, t.longitude_deg) for n, t in tracks.items()}
        sets = {n: currents.along(t, KN_PER_M_S) for n, t in tracks.items()}
        return tracks, winds, sets

    if not args.time:
        tracks, winds, sets = brought(STEP_NM)
        rows = []
        for name in ways:
            cases = [(month[name], FACTOR, voyage.fuel_litres)]
            if name in voyage.routes:
                cases += [(1, FACTOR, voyage.fuel_litres), (8, 1.0, voyage.fuel_litres),
                          (5, FACTOR, 0.0), (5, FACTOR, 60.0), (12, 0.7, voyage.fuel_litres)]  # fmt: skip
            for m, factor, fuel in cases:
                departure = datetime.date(2027, m, 1)
                result = walk(boat, grid, tracks[name], winds[name], sets[name], departure, factor, fuel)
                rows.append(dict(route=name, departure=departure, factor=factor, **result,
                                 fuel_litres=fuel if fuel > 0 else None))  # fmt: skip
                print(name, departure, factor, fuel, f"{result['days']:.3f} days", flush=True)
        write(
            "expected.csv", rows,
            "Expected passages over the ground by dense integration over the Gaussian wind of each segment.",
            "passages.py",
            f"WGS84 geodesics (pyproj), segments at most {STEP_NM:g} nm; the demonstration's boat, sea brake,"
            " slatting and beat limit as by default; currents of currents.nc.",
            "units: nm, days, litres, shares of time, degrees Celsius; fuel_litres is the tank, empty without engine.",
            "claimed accuracy: 0.1 per cent of days, 0.001 of shares, 1 per cent of litres.",
        )  # fmt: skip

    tracks, winds, sets = brought(CELL_NM)
    rows, members = [], args.members
    rng = np.random.default_rng(SEED)
    factors = np.clip(1 + BOAT_SD * rng.standard_normal(members), 0.5, 1.5) * FACTOR
    cases = [(name, month[name], voyage.fuel_litres) for name in ways]
    cases += [("Trades", 5, 61.0), ("Direct", 5, 61.0), ("Trades", 1, 3.0), ("Direct", 1, 3.0)]
    days = {}
    for name, m, fuel in cases[:2] if args.time else cases:
        departure = datetime.date(2027, m, 1)
        began = time.process_time()
        done, steps = ensemble(boat, tracks[name], winds[name], sets[name], departure, fuel, members, rng, factors)
        spent = time.process_time() - began
        print(f"{name} {departure} {fuel:g} L: {steps / spent / 1e6:.2f} million member-steps a second", flush=True)
        days[name, m, fuel] = done["hours"]
        rows.append(dict(route=name, departure=departure, factor=FACTOR, fuel_litres=fuel, members=members,
                         **summary(done, voyage)))  # fmt: skip
    if args.time:
        return
    for row, (name, m, fuel) in zip(rows, cases):
        other = {"Trades": "Direct", "Direct": "Trades"}.get(name)
        row["beats_other_share"] = float((days[name, m, fuel] < days[other, m, fuel]).mean()) if other else None
    write(
        "ensemble.csv", rows,
        "Ensembles over the ground: two-part wind memory, one boat factor a member, currents.",
        "passages.py",
        f"step {STEP_H:g} h, fast {FAST_H:g} h, slow {SLOW_H:g} h, boat factor {FACTOR:g} x N(1, {BOAT_SD:g}); cells of at"
        f" most {CELL_NM:g} nm; wind held through a step, taken at its start.",
        "units: days, hours (_h), litres; _se is the standard error of sampling; quantiles of type 7.",
        "beats_other_share: the demonstration's two routes with the same boats, the winds drawn apart.",
        "claimed accuracy: sampling of the members given.",
    )  # fmt: skip


if __name__ == "__main__":
    main()
