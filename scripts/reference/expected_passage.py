"""The expected passage by dense integration, straight from the definitions.

Every segment's expected progress is a sum over a fine polar grid of wind speed and angle off the
course, weighted by the Gaussian of its midpoint. No table is interpolated: the progress made good
is taken from a convex hull at every wind speed of the grid.

Run:
    python3 -m venv .venv && .venv/bin/pip install -r scripts/reference/requirements.txt
    .venv/bin/python scripts/reference/expected_passage.py

`--halve` repeats every fourth row with the grid's steps halved and prints the largest change of
each column, from which the accuracy claimed in the file's header is drawn.
"""

import argparse
import datetime
from pathlib import Path

import numpy as np

from passage_parts.boat import progress_made_good, read_polar
from passage_parts.climate import Climate, day_of_year
from passage_parts.track import sample
from passage_parts.voyage import CLIMATE, OUT, POLAR, VOYAGE, header, read_voyage

KN_PER_M_S = 3600 / 1852
STEP_NM = 60.0
SPEED_STEP_KN = 0.05
ANGLE_STEP_DEG = 0.5
# In light winds the edge of motoring runs across the cells, so each is averaged over its parts.
PARTS = 5
PARTS_BELOW_KN = 12.0
STRONGEST_KN = 160.0
HEADWIND_DEG, ABAFT_DEG = 60.0, 110.0
LIGHT_KN, HARD_KN, STRONG_KN, GALE_KN = 6.0, 20.0, 22.0, 34.0
EXPOSURES = ("headwind", "hard_beat", "abaft", "light_air", "strong", "gale")
# At least twice the largest change that `--halve` printed (days 7e-5, litres 7e-3, shares 3e-6,
# temperatures 2e-6), with room for the polar curve's own chords (2e-6 of every speed).
ACCURACY = "days 0.0003, litres 0.02, shares 0.00001, temperatures 0.00001, distance 0.00001"
COLUMNS = (
    "route", "departure", "factor", "motor", "distance_nm", "days", "litres", *EXPOSURES,
    "under_power", "air_mean_c", "air_lowest_c", "replaced_share", "fuel_litres",
)  # fmt: skip
DEPARTURES = tuple(datetime.date(2027, month, 1) for month in (1, 3, 5, 8, 10))


class WindGrid:
    """Cells of wind speed and angle off the course; every threshold lies on a cell's edge."""

    def __init__(self, polar, voyage, refine=1):
        self.voyage = voyage
        step = SPEED_STEP_KN / refine
        edge = voyage.heave_to_kn
        fine = (np.arange(round(edge / step)) + 0.5) * step
        coarse_step = 5 * step
        coarse = edge + (np.arange(round((STRONGEST_KN - edge) / coarse_step)) + 0.5) * coarse_step
        tws = np.concatenate([fine, coarse])
        width = np.concatenate([np.full(len(fine), step), np.full(len(coarse), coarse_step)])
        off_step = ANGLE_STEP_DEG / refine
        off = (np.arange(round(180 / off_step)) + 0.5) * off_step
        shape = (len(tws), len(off))
        self.area = np.broadcast_to((tws * width)[:, None], shape).ravel()
        self.head_kn = np.outer(tws, np.cos(np.radians(off))).ravel()
        self.beam_kn = np.outer(tws, np.sin(np.radians(off))).ravel()

        # Hove-to there is no progress, and the engine is not asked for.
        parted = round(PARTS_BELOW_KN / step)
        self.parted = (parted, PARTS, len(off), PARTS)
        low = (np.arange(parted * PARTS) + 0.5) * step / PARTS
        near = (np.arange(len(off) * PARTS) + 0.5) * off_step / PARTS
        self.light = progress_made_good(polar, low, near)
        self.fresh = progress_made_good(polar, fine[parted:], off)
        self.hove_to = np.zeros((len(coarse), len(off)))
        w, b = np.broadcast_to(tws[:, None], shape).ravel(), np.tile(off, len(tws))
        head = b < HEADWIND_DEG
        self.shares = (
            head, head & (w >= HARD_KN), b > ABAFT_DEG,
            w < LIGHT_KN, w >= STRONG_KN, w >= GALE_KN,
        )  # fmt: skip

    def features(self, factor):
        """Per cell: one, progress under sail, progress with the engine, under power, exposures."""
        light = factor * self.light
        power = light < self.voyage.motor_below_kn
        if factor * self.fresh.min() < self.voyage.motor_below_kn:
            raise ValueError(f"the engine is wanted above {PARTS_BELOW_KN} kn: raise PARTS_BELOW_KN")
        motored = np.where(power, self.voyage.motor_speed_kn, light)

        def whole(parts, above):
            mean = parts.reshape(self.parted).mean(axis=(1, 3))
            return np.concatenate([mean, above, self.hove_to]).ravel()

        fresh = factor * self.fresh
        rows = (whole(light, fresh), whole(motored, fresh), whole(power, np.zeros_like(fresh)))
        return np.stack((np.ones_like(rows[0]), *rows, *self.shares)).astype(float)

    def means(self, features, head_kn, beam_kn, s_kn):
        """Means of the features over a Gaussian about (head, beam), wind from the two sides."""
        norm = -0.5 / s_kn**2
        dx = (self.head_kn - head_kn) ** 2
        weight = np.exp(norm * (dx + (self.beam_kn - beam_kn) ** 2))
        weight += np.exp(norm * (dx + (self.beam_kn + beam_kn) ** 2))
        sums = features @ (weight * self.area)
        return sums[1:] / sums[0]


def walk(grid, features, track, along, departure, voyage, fuel_litres):
    """One passage: the clock stands still within a segment and moves on at its end."""
    hours, left, burnt, power_hours = 0.0, fuel_litres, 0.0, 0.0
    exposure_hours = np.zeros(len(EXPOSURES))
    air_hours = air_weight = replaced_hours = 0.0
    lowest = np.inf
    for k, length in enumerate(track.length_nm):
        u, v, s, air, replaced = along.at(day_of_year(departure) + hours / 24, k)
        course = np.radians(track.course_deg[k])
        # Positive when the wind comes from ahead; which side the beam part is on does not matter.
        head = -(u * np.sin(course) + v * np.cos(course)) * KN_PER_M_S
        beam = (u * np.cos(course) - v * np.sin(course)) * KN_PER_M_S
        sailing_kn, motoring_kn, power, *shares = grid.means(features, head, beam, s * KN_PER_M_S)
        if left > 0:
            with_fuel = length / motoring_kn
            need = with_fuel * power * voyage.litres_per_hour
            if need > left:
                with_fuel *= left / need
                need = left
            spent = with_fuel + (length - with_fuel * motoring_kn) / sailing_kn
            left -= need
            burnt += need
            power_hours += with_fuel * power
        else:
            spent = length / sailing_kn
        hours += spent
        exposure_hours += spent * np.array(shares)
        replaced_hours += spent * replaced
        if np.isfinite(air):
            air_hours += spent * air
            air_weight += spent
            lowest = min(lowest, air)
    return dict(
        distance_nm=track.length_nm.sum(), days=hours / 24, litres=burnt,
        **dict(zip(EXPOSURES, exposure_hours / hours)),
        under_power=power_hours / hours, air_mean_c=air_hours / air_weight,
        air_lowest_c=lowest, replaced_share=replaced_hours / hours,
    )  # fmt: skip


def cases(voyage):
    """(route, departure, factor, fuel in litres; 0 means no engine)."""
    tank = voyage.fuel_litres
    for route in voyage.routes:
        for departure in DEPARTURES:
            yield route, departure, 0.85, tank
    for route in voyage.routes:
        for month in (5, 8):
            departure = datetime.date(2027, month, 1)
            yield route, departure, 0.85, 0.0
            yield route, departure, 1.0, tank
            yield route, departure, 1.0, 0.0
        yield route, datetime.date(2027, 5, 1), 0.85, 60.0  # the tank runs dry under way
        yield route, datetime.date(2027, 12, 20), 0.7, tank  # over the turn of the year, slow


def compute(args, refine=1, chosen=slice(None)):
    voyage, polar, climate = read_voyage(args.voyage), read_polar(args.polar), Climate(args.climate)
    tracks = {name: sample(points, STEP_NM) for name, points in voyage.routes.items()}
    winds = {n: climate.along(t.latitude_deg, t.longitude_deg) for n, t in tracks.items()}
    grid, features, rows = WindGrid(polar, voyage, refine), {}, []
    for route, departure, factor, fuel in list(cases(voyage))[chosen]:
        if factor not in features:
            features[factor] = grid.features(factor)
        result = walk(
            grid, features[factor], tracks[route], winds[route], departure, voyage, fuel
        )
        rows.append(dict(
            route=route, departure=departure, factor=factor,
            motor="yes" if fuel > 0 else "no", **result, fuel_litres=fuel if fuel > 0 else None,
        ))  # fmt: skip
    return rows


def text(value):
    return "" if value is None else f"{value:.6f}" if isinstance(value, float) else str(value)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--voyage", type=Path, default=VOYAGE)
    parser.add_argument("--polar", type=Path, default=POLAR)
    parser.add_argument("--climate", type=Path, default=CLIMATE)
    parser.add_argument("--halve", action="store_true", help="measure the grid's error, write nothing")
    args = parser.parse_args()
    if args.halve:
        rows, finer = (compute(args, refine, slice(1, None, 4)) for refine in (1, 2))
        for name in COLUMNS[4:-1]:
            change = [abs(a[name] - b[name]) for a, b in zip(rows, finer)]
            print(f"{name:16} largest change {max(change):.2e}")
        return
    rows = compute(args)
    head = header(
        "Expected passages by dense integration over the Gaussian wind of each segment.",
        "expected_passage.py",
        f"WGS84 geodesics (pyproj), segments at most {STEP_NM:g} nm; wind grid {SPEED_STEP_KN:g} kn x"
        f" {ANGLE_STEP_DEG:g} deg (5 times coarser in speed once hove-to), each cell below {PARTS_BELOW_KN:g} kn averaged"
        f" over {PARTS} x {PARTS} parts; polar curve every 0.2 deg.",
        "units: distance nm, days, litres, shares of time 0 to 1, degrees Celsius; fuel_litres is the"
        " tank at departure, empty where there is no engine (motor = no).",
        "A day of the year counts from 1 January in a year whose February has 28.2425 days; hove-to (45 kn and"
        " more) the engine is not used; a segment's clock is the time at its start; when the tank runs dry"
        " within a segment the rest of it is sailed.",
        "engine, handling and waypoints are those of the demo voyage; departures at 00:00 UTC.",
        "claimed accuracy of the sums as defined (at least twice the largest change when the wind grid's"
        f" steps are halved): {ACCURACY}.",
        inputs=(args.voyage, args.polar, args.climate),
    )
    body = "".join(",".join(text(r[c]) for c in COLUMNS) + "\n" for r in rows)
    (OUT / "expected.csv").write_text(head + ",".join(COLUMNS) + "\n" + body)
    for r in rows:
        print(",".join(f"{r[c]:.4f}" if isinstance(r[c], float) else str(r[c]) for c in COLUMNS))


if __name__ == "__main__":
    main()
