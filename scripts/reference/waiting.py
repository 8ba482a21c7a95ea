"""Two voyages that wait for weather in NumPy, straight from the definitions: every member looks at the
coming days as a forecast of stated skill has them, leaves or lets a day of her weather pass, and sails.

Run, with the Python of scripts/reference/requirements.txt:
    .venv/bin/python scripts/reference/waiting.py
"""

import datetime

import numpy as np

from passages import (
    BOAT_SD, CELL_NM, FACTOR, FAST_H, GALE_KN, HARD_KN, HEADWIND_DEG, KN_PER_M_S, SLOW_H, STEP_H, TWS,
    Boat, on_course, slow_share, trilinear, write,
)  # fmt: skip
from passage_parts.climate import Climate, Currents, day_of_year
from passage_parts.track import sample
from passage_parts.voyage import CLIMATE, CURRENTS, VOYAGE, read_voyage
from stays import wind_at

MEMBERS = 20_000
SEED = 20270701
DAY_STEPS = 8
DEPARTURE = datetime.date(2027, 5, 1)
# Common practice, no source: correlation of the forecast wind with the true one on days 1 to 3.
SKILL = (0.95, 0.9, 0.8)
VOYAGES = [
    dict(route="Trades", most_days=5, forecast_days=3, headwind_kn=20.0, progress_share=0.7),
    dict(route="Direct", most_days=3, forecast_days=2, headwind_kn=15.0, progress_share=0.9),
]
FIRST_STEPS = 3 * DAY_STEPS


KEPT = np.exp(-STEP_H / np.array([FAST_H, SLOW_H]))[:, None, None]


def weather_after(parts, rng):
    """Three hours at a time for ever: the fast and the slow part, east and north, of each member."""
    while True:
        parts = KEPT * parts + np.sqrt(1 - KEPT**2) * rng.standard_normal(parts.shape)
        yield parts


def weather(rng):
    """The same from any weather."""
    return weather_after(rng.standard_normal((2, 2, MEMBERS)), rng)


class Passage:
    """Where the members are; one call is one step of those named."""

    def __init__(self, boat, track, along, current, factors, fuel_h):
        self.boat, self.track, self.along, self.current = boat, track, along, current
        self.factors, self.fuel = factors, np.full(MEMBERS, fuel_h)
        self.run, self.hours = np.zeros(MEMBERS), np.full(MEMBERS, np.inf)
        self.edges, self.share = np.cumsum(track.length_nm), slow_share(track.latitude_deg)

    def step(self, live, hour, parts):
        """Sails the members `live`, whose clocks show `hour` and whose weather is `parts`; gives their
        wind speed and angle off the course, and the share of the step that they were at sea."""
        voyage = self.boat.voyage
        place = np.minimum(np.searchsorted(self.edges, self.run[live], side="right"), len(self.edges) - 1)
        u, v, s = wind_at(self.along, day_of_year(DEPARTURE) + hour / 24, place)
        z = np.sqrt(1 - self.share[place]) * parts[0] + np.sqrt(self.share[place]) * parts[1]
        head, port = on_course(u + s * z[0], v + s * z[1], self.track.course_deg[place])
        tws, off = np.hypot(head, port), np.degrees(np.arctan2(port, head))
        set_kn, across = self.current[:, place]
        factor = self.factors[live]
        water = factor * trilinear(self.boat.speed, np.minimum(tws, TWS[-1]), off, across / factor)
        water = np.where(tws >= voyage.heave_to_kn, 0, water)
        motor_kn, wanted = self.boat.motor(tws, water, across)
        power_h = np.where(wanted, np.minimum(self.fuel[live], STEP_H), 0)
        made = water + power_h / STEP_H * (motor_kn - water) + set_kn
        self.fuel[live] -= power_h
        ahead, finish = self.run[live] + STEP_H * made, self.edges[-1]
        done = ahead >= finish
        part = np.where(done, (finish - self.run[live]) / np.where(done, STEP_H * made, 1.0), 1.0)
        self.run[live] = np.maximum(ahead, 0)
        return tws, off, part, done


def look(new_passage, start_day, steps, path):
    """Progress (kn), the strongest headwind, gale and hard beat of all members over so many steps from a
    day of their own; `path(step)` is their weather."""
    passage, every = new_passage(np.inf), np.arange(MEMBERS)
    headwind, hard_h = np.zeros(MEMBERS), np.zeros(MEMBERS)
    gale, blew = np.zeros(MEMBERS, bool), np.zeros(MEMBERS, bool)
    for step in range(steps):
        tws, off, _, _ = passage.step(every, 24.0 * start_day + step * STEP_H, path(step))
        head = np.abs(off) < HEADWIND_DEG
        headwind = np.maximum(headwind, np.where(head, tws, 0))
        hard_h += STEP_H * (head & (tws >= HARD_KN))
        gale |= blew & (tws >= GALE_KN)
        blew = tws >= GALE_KN
    return passage.run / (steps * STEP_H), headwind, gale, hard_h


def sail(new_passage, full_h, start_day, known, rest):
    """Hours at sea of members who leave on a day of their own, `known` their weather's first steps."""
    passage = new_passage(full_h)
    live, step = np.arange(MEMBERS), 0
    # All clocks run together from the departure, so that the weather of a step is everyone's.
    while len(live):
        parts = known[step] if step < len(known) else next(rest)
        out = live[start_day[live] * DAY_STEPS <= step]
        _, _, part, done = passage.step(out, step * STEP_H, parts[:, :, out])
        at_sea = step - start_day[out] * DAY_STEPS + part
        passage.hours[out[done]] = at_sea[done] * STEP_H
        live = live[np.isinf(passage.hours[live])]
        step += 1
    return passage.hours


def wait(boat, points, climate, currents, plan, rng):
    """A voyage's row."""
    track = sample(points, CELL_NM)
    along, current = climate.along(track.latitude_deg, track.longitude_deg), currents.along(track, KN_PER_M_S)
    relative = np.clip(1 + BOAT_SD * rng.standard_normal(MEMBERS), 0.5, 1.5)
    new_passage = lambda fuel_h: Passage(boat, track, along, current, FACTOR * relative, fuel_h)
    truth = weather(rng)
    steps, every = plan["forecast_days"] * DAY_STEPS, np.arange(MEMBERS)
    known = [next(truth) for _ in range(plan["most_days"] * DAY_STEPS + max(steps, FIRST_STEPS))]
    known_at = np.array(known, dtype=np.float32)
    coming = lambda start: lambda step: np.moveaxis(known_at[start * DAY_STEPS + step, :, :, every], 0, -1)
    now = np.zeros(MEMBERS, int)
    usual = (look(new_passage, now, steps, coming(now))[0] / relative).mean()
    waited, waits = np.zeros(MEMBERS, int), np.ones(MEMBERS, bool)
    for day in range(plan["most_days"] + 1):
        errors = weather(rng)

        def forecast(step, day=day, errors=errors):
            skill = SKILL[step // DAY_STEPS]
            return skill * known[day * DAY_STEPS + step] + np.sqrt(1 - skill**2) * next(errors)

        made, headwind, _, _ = look(new_passage, now + day, steps, forecast)
        fair = (headwind < plan["headwind_kn"]) & (made >= plan["progress_share"] * usual * relative)
        waits &= ~fair
        if day < plan["most_days"]:
            waited += waits
    full_h = boat.voyage.fuel_litres / boat.voyage.litres_per_hour
    at_sea = []
    # Later weather is drawn apart: only means are compared.
    for start in (waited, now):
        at_sea.append(sail(new_passage, full_h, start, known, weather_after(known[-1], rng)) / 24)
    first, first_at_once = (look(new_passage, start, FIRST_STEPS, coming(start)) for start in (waited, now))
    return dict(
        **plan, departure=DEPARTURE, factor=FACTOR, members=MEMBERS, usual_kn=usual,
        waited_mean_days=waited.mean(), waits=(waited > 0).mean(), gave_up=waits.mean(),
        first_kn=first[0].mean(), first_at_once_kn=first_at_once[0].mean(),
        gale=first[2].mean(), gale_at_once=first_at_once[2].mean(),
        hard_beat_h=first[3].mean(), hard_beat_at_once_h=first_at_once[3].mean(),
        sea_days_mean=at_sea[0].mean(), sea_days_at_once_mean=at_sea[1].mean(),
    )  # fmt: skip


def main():
    voyage, climate, currents = read_voyage(VOYAGE), Climate(CLIMATE), Currents(CURRENTS)
    boat, rng, rows = Boat(voyage), np.random.default_rng(SEED), []
    for plan in VOYAGES:
        row = wait(boat, voyage.routes[plan["route"]], climate, currents, plan, rng)
        rows.append({name: float(x) if isinstance(x, np.floating) else x for name, x in row.items()})
        print(rows[-1], flush=True)
    write(
        "waiting.csv", rows,
        "Two voyages that wait for weather: every member looks once a day at a forecast of stated skill.",
        "waiting.py",
        f"skill (correlation) on days 1 to 3: {SKILL}; first_ is of the first three days, gale of six hours on"
        " end, hard_beat of 20 kn or more less than 60 degrees off the course.",
        "units: days, hours (_h), knots (_kn), chances.",
        "claimed accuracy: sampling of the members given.",
    )  # fmt: skip


if __name__ == "__main__":
    main()
