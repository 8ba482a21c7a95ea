"""Two voyages with stops in NumPy, straight from the definitions: every member sails by her own clock,
waits in harbour, and begins the next stage in winds that know nothing of what was before.

Run, with the Python of scripts/reference/requirements.txt:
    .venv/bin/python scripts/reference/stays.py
"""

import datetime

import numpy as np

from passages import (
    BOAT_SD, CELL_NM, FACTOR, FAST_H, KN_PER_M_S, MOST_DAYS, SLOW_H, STEP_H, TWS,
    Boat, on_course, slow_share, trilinear, write,
)  # fmt: skip
from passage_parts.climate import MONTH_MIDDLE, YEAR_DAYS, Climate, Currents, day_of_year
from passage_parts.track import sample
from passage_parts.voyage import CLIMATE, CURRENTS, VOYAGE, read_voyage

MEMBERS = 20_000
SEED = 20270601
ROUTE = "Trades"
# Stops by the waypoint's number from 1: days of the stay, or the day until which she stays; whether
# diesel is had.
VOYAGES = [
    dict(name="stay and wait", departure=datetime.date(2027, 5, 1), fuel_litres=237.6,
         stops={3: (6.0, None, False), 5: (0.0, datetime.date(2027, 7, 1), False)},
         arrive_by=datetime.date(2027, 7, 8)),
    dict(name="diesel", departure=datetime.date(2027, 5, 1), fuel_litres=61.0,
         stops={3: (2.5, None, True)}, arrive_by=datetime.date(2027, 6, 12)),
]  # fmt: skip


def wind_at(along, day, place):
    """u, v and s at a day of each member's own and her place, linear between the middles of months."""
    day = day % YEAR_DAYS
    k = np.searchsorted(MONTH_MIDDLE, day, side="right") - 1
    before = np.where(k < 0, MONTH_MIDDLE[-1] - YEAR_DAYS, MONTH_MIDDLE[k])
    n = (k + 1) % 12
    after = np.where(k == 11, MONTH_MIDDLE[0] + YEAR_DAYS, MONTH_MIDDLE[n])
    f = (day - before) / (after - before)
    fields = (along.u_m_s, along.v_m_s, along.s_m_s)
    return [((1 - f) * x[k, place] + f * x[n, place]) * KN_PER_M_S for x in fields]


def stage(boat, track, along, current, cells, begins_h, fuel_h, departure, factors, rng):
    """Hours at sea and under power of each member, whether her tank ran dry, and the fuel left."""
    voyage, members = boat.voyage, len(factors)
    edges = np.cumsum(track.length_nm)
    start = edges[cells.start - 1] if cells.start else 0.0
    finish = edges[cells.stop - 1]
    share = slow_share(track.latitude_deg)
    keep_fast, keep_slow = np.exp(-STEP_H / FAST_H), np.exp(-STEP_H / SLOW_H)
    fast, slow = rng.standard_normal((2, members)), rng.standard_normal((2, members))
    run, fuel = np.full(members, start), fuel_h.copy()
    hours, powered, dry = np.full(members, np.inf), np.zeros(members), np.zeros(members, bool)
    for step in range(MOST_DAYS * 8):
        live = np.flatnonzero(np.isinf(hours))
        if not len(live):
            break
        place = np.minimum(np.searchsorted(edges, run[live], side="right"), cells.stop - 1)
        day = day_of_year(departure) + (begins_h[live] + step * STEP_H) / 24
        u, v, s = wind_at(along, day, place)
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
        done = ahead >= finish
        part = np.where(done, (finish - run[live]) / np.where(done, STEP_H * made, 1.0), 1.0)
        hours[live] = np.where(done, (step + part) * STEP_H, np.inf)
        powered[live] += part * power_h
        run[live] = np.maximum(ahead, start)
        fast = keep_fast * fast + np.sqrt(1 - keep_fast**2) * rng.standard_normal((2, members))
        slow = keep_slow * slow + np.sqrt(1 - keep_slow**2) * rng.standard_normal((2, members))
    return hours, powered, dry, fuel


def sail(boat, points, climate, currents, plan, rng):
    """Hours at sea, from departure to arrival and under power of each member, and the stages' dry tanks."""
    track = sample(points, CELL_NM)
    along = climate.along(track.latitude_deg, track.longitude_deg)
    current = currents.along(track, KN_PER_M_S)
    after_leg = np.cumsum([len(sample(pair, CELL_NM).length_nm) for pair in zip(points, points[1:])])
    factors = np.clip(1 + BOAT_SD * rng.standard_normal(MEMBERS), 0.5, 1.5) * FACTOR
    full_h = np.full(MEMBERS, plan["fuel_litres"] / boat.voyage.litres_per_hour)
    clock, at_sea, powered, fuel, dry = np.zeros(MEMBERS), 0.0, 0.0, full_h, []
    first = 0
    for waypoint in [*sorted(plan["stops"]), len(points)]:
        cells = slice(first, after_leg[waypoint - 2])
        hours, power, ran_dry, fuel = stage(
            boat, track, along, current, cells, clock, fuel, plan["departure"], factors, rng
        )
        clock, at_sea, powered = clock + hours, at_sea + hours, powered + power
        dry.append(ran_dry.mean())
        first = cells.stop
        if waypoint < len(points):
            days, until, diesel = plan["stops"][waypoint]
            clock = clock + 24 * days
            if until:
                clock = np.maximum(clock, 24 * (until - plan["departure"]).days)
            fuel = full_h if diesel else fuel
    return at_sea, clock, powered, dry


def main():
    voyage, climate, currents = read_voyage(VOYAGE), Climate(CLIMATE), Currents(CURRENTS)
    boat, rng, rows = Boat(voyage), np.random.default_rng(SEED), []
    for plan in VOYAGES:
        at_sea, clock, powered, dry = sail(boat, voyage.routes[ROUTE], climate, currents, plan, rng)
        sea, whole = (np.quantile(hours / 24, [0.1, 0.5, 0.9]) for hours in (at_sea, clock))
        by_h = 24 * ((plan["arrive_by"] - plan["departure"]).days + 1)
        late_days = np.maximum(clock - by_h, 0) / 24
        stops = list(plan["stops"].items()) + [(None, (None, None, False))]
        (a, (a_days, _, a_diesel)), (b, (_, b_until, _)) = stops[:2]
        rows.append(dict(
            voyage=plan["name"], route=ROUTE, departure=plan["departure"], factor=FACTOR,
            fuel_litres=plan["fuel_litres"], members=MEMBERS,
            stop_a=a, stay_a_days=a_days, diesel_a=int(a_diesel), stop_b=b, until_b=b_until,
            arrive_by=plan["arrive_by"],
            sea_days_mean=at_sea.mean() / 24, sea_days_p10=sea[0], sea_days_p50=sea[1], sea_days_p90=sea[2],
            whole_days_p10=whole[0], whole_days_p50=whole[1], whole_days_p90=whole[2],
            late_chance=float((clock > by_h).mean()), late_days_p90=float(np.quantile(late_days, 0.9)),
            powered_mean_h=powered.mean(), dry_first=float(dry[0]), dry_last=float(dry[-1]),
        ))  # fmt: skip
        print(rows[-1], flush=True)
    write(
        "stays.csv", rows,
        "Two voyages with stops over the ground: every member by her own clock, wind memory anew after each stop.",
        "stays.py",
        "stop_a and stop_b are waypoints by number from 1; she stays stay_a_days at the one and until 00:00 UTC"
        " of until_b at the other, and fills her tank at stop_a where diesel_a is 1.",
        "late: after the end of arrive_by, UTC. units: days, hours, chances; fuel_litres is the tank.",
        "claimed accuracy: sampling of the members given.",
    )  # fmt: skip


if __name__ == "__main__":
    main()
