"""What questions are answered with."""

from __future__ import annotations

import io
import json
import warnings
from typing import TYPE_CHECKING, Any, TypeVar

from . import _offing
from ._page import notebook_table

if TYPE_CHECKING:
    import numpy as np
    import pandas


class OffingWarning(UserWarning):
    """Something that the command line prints as a warning, such as a route over land."""


class Answer:
    """An answer: the command line's numbers, bit for bit.

    The members are simulated passages, numbered alike on every route. Days are those under way from 00:00
    UTC of the day of departure.
    """

    __slots__ = ("_dict", "_native")

    #: What it is called at the head of a table.
    _title = "Answer"
    #: The columns of a notebook's table: a heading, and the path of keys to its number in a route.
    _columns: tuple[tuple[str, tuple[str, ...]], ...] = (
        ("P10, days", ("ensemble", "days", "p10")),
        ("Median, days", ("ensemble", "days", "p50")),
        ("P90, days", ("ensemble", "days", "p90")),
    )

    def __init__(self, native: _offing.Answer) -> None:
        self._native = native
        self._dict: dict[str, Any] | None = None

    def to_json(self) -> str:
        """The text that the command line prints with ``--json``."""
        return self._native.json()

    def to_dict(self) -> dict[str, Any]:
        """What the command line prints with ``--json``, read: shares from 0 to 1, None where a figure is
        not available, ``notes`` and ``cautions`` beside the figures."""
        found: dict[str, Any] = json.loads(self.to_json())
        return found

    def to_dataframe(self) -> pandas.DataFrame:
        """The rows that the command line writes with ``--csv``, numbers to four decimals; units are in the
        columns' names. Needs pandas."""
        import pandas

        csv = io.StringIO(self._native.csv())
        return pandas.read_csv(csv, keep_default_na=False, na_values=[""])

    @property
    def cautions(self) -> list[str]:
        """What to know before trusting the figures, a sentence each."""
        cautions: list[str] = self._read()["cautions"]
        return cautions

    def _read(self) -> dict[str, Any]:
        if self._dict is None:
            self._dict = self.to_dict()
        return self._dict

    def _no_route(self, found: str) -> _offing.OffingError:
        names = ", ".join(route["name"] for route in self._read()["routes"])
        error = _offing.OffingError(f"the answer has no route '{found}'; its routes: {names}")
        error.faults = []
        return error

    def _rows(self) -> list[tuple[str, dict[str, Any]]]:
        """The rows of a notebook's table: what each is called, and where its numbers are."""
        return [(route["name"], route) for route in self._read()["routes"]]

    def _repr_html_(self) -> str:
        found = self._read()
        heading = f"{self._title}: {found['voyage']['name']}, {found['voyage']['departure']}"
        return notebook_table(heading, self._columns, self._rows(), found["cautions"])

    def __repr__(self) -> str:
        found = self._read()
        routes = ", ".join(route["name"] for route in found["routes"])
        return f"<offing.{type(self).__name__} of {found['voyage']['name']!r}, routes: {routes}>"


class _WithMembers(Answer):
    __slots__ = ()

    def members(self, route: str) -> dict[str, np.ndarray]:
        """The simulated passages of a route, an array of shape (members,) by name.

        ``days`` (inf for one that does not arrive in 400 days), ``boat_factor`` (on her speed under sail,
        beside the voyage's), ``under_power_hours``, ``gale_hours`` (34 kn or more), ``hard_beat_hours``
        (headwind of 20 kn or more), ``ran_dry`` (whether the engine was wanted after its fuel was spent).
        """
        found = self._native.members(route)
        if found is None:
            raise self._no_route(route)
        return found


class Comparison(_WithMembers):
    """Routes side by side."""

    __slots__ = ()
    _title = "Routes compared"
    _columns = (("Distance, nm", ("distance_nm",)), *Answer._columns)


class Legs(_WithMembers):
    """Routes leg by leg, or in pieces."""

    __slots__ = ()
    _title = "Routes leg by leg"
    _columns = Comparison._columns


class Shaping(_WithMembers):
    """The fastest course under limits, beside the routes drawn. The data frame has the courses of the
    trade-off where there is one, else the routes."""

    __slots__ = ()
    _title = "Course shaped"
    _columns = Comparison._columns

    @property
    def corners(self) -> list[tuple[float, float]]:
        """The corners of the course, joined by great circles: latitude and longitude in degrees."""
        corners = self._read()["shaped"]["corners"]
        return [(place["latitude_deg"], place["longitude_deg"]) for place in corners]


class Season(Answer):
    """Departures through a year, a row of the data frame a departure and route."""

    __slots__ = ()
    _title = "Season"
    _columns = (
        ("Best window from", ("window", "first")),
        ("to", ("window", "last")),
        ("P90 in it, days", ("window", "days_p90")),
    )

    @property
    def departures(self) -> list[str]:
        """The days of departure, such as "2027-05-01"."""
        return [departure["date"] for departure in self._read()["departures"]]

    def days(self, route: str) -> np.ndarray:
        """The days of every passage of a route, of shape (departures, members); inf for one that does not
        arrive in 400 days."""
        found = self._native.season_days(route)
        if found is None:
            raise self._no_route(route)
        return found

    def to_dataframe(self) -> pandas.DataFrame:
        """As for :meth:`Answer.to_dataframe`, the departure a date."""
        import pandas

        frame = super().to_dataframe()
        frame["departure"] = pandas.to_datetime(frame["departure"])
        return frame


class Stores(Answer):
    """What to load, a row of the data frame an item and route. All amounts are metric."""

    __slots__ = ()
    _title = "Stores"
    _columns = ()


class Years(Answer):
    """The voyage in real years, a row of the data frame a year and route."""

    __slots__ = ()
    _title = "Real years"
    _columns = (
        ("Median in average winds, days", ("average", "p50")),
        ("Between years, days", ("between_years_days",)),
        ("Within a year, days", ("within_year_days",)),
    )


class Rally(Answer):
    """Many boats over one set of routes, on each in the order in which they are to be expected."""

    __slots__ = ()
    _title = "Rally"
    _columns = (
        ("Expected place", ("mean_place",)),
        ("P10, days", ("days", "p10")),
        ("Median, days", ("days", "p50")),
        ("P90, days", ("days", "p90")),
        ("First", ("chance_first",)),
    )

    def to_dataframe(self) -> pandas.DataFrame:
        """A row a route and boat, in the order of arrival to be expected on the route. Columns: ``route``,
        ``boat``, ``order`` (from 1), ``days_p10``, ``days_p50``, ``days_p90``, ``arrival_p50``,
        ``mean_place``, ``place_p10``, ``place_p90``, ``chance_first`` and ``no_arrival`` (0 to 1). Needs
        pandas."""
        import pandas

        rows = [
            {
                "route": route["name"],
                "boat": boat["name"],
                "order": order,
                "days_p10": boat["days"]["p10"],
                "days_p50": boat["days"]["p50"],
                "days_p90": boat["days"]["p90"],
                "arrival_p50": boat["arrival"]["p50"],
                "mean_place": boat["mean_place"],
                "place_p10": boat["place_p10"],
                "place_p90": boat["place_p90"],
                "chance_first": boat["chance_first"],
                "no_arrival": boat["no_arrival"],
            }
            for route in self._read()["routes"]
            for order, boat in enumerate(route["boats"], 1)
        ]
        frame = pandas.DataFrame(rows)
        frame["arrival_p50"] = pandas.to_datetime(frame["arrival_p50"])
        return frame

    def members(self, route: str, boat: str) -> dict[str, np.ndarray]:
        """The simulated passages of a boat on a route, as of :meth:`Comparison.members`."""
        found = self._native.members(route, boat)
        if found is None:
            routes = self._read()["routes"]
            if all(known["name"] != route for known in routes):
                raise self._no_route(route)
            names = ", ".join(known["name"] for known in self._read()["boats"])
            error = _offing.OffingError(f"the rally has no boat '{boat}'; its boats: {names}")
            error.faults = []
            raise error
        return found

    def _rows(self) -> list[tuple[str, dict[str, Any]]]:
        return [
            (f"{route['name']}: {boat['name']}", boat)
            for route in self._read()["routes"]
            for boat in route["boats"]
        ]


_Kind = TypeVar("_Kind", bound=Answer)


def answer(kind: type[_Kind], found: tuple[_offing.Answer, list[str]]) -> _Kind:
    """An answer of its kind; what the command line warns of is warned of."""
    native, said = found
    for warning in said:
        # The line that asked: past this function and the method that called it.
        warnings.warn(warning, OffingWarning, stacklevel=3)
    return kind(native)
