"""The voyage, and the questions it is asked."""

from __future__ import annotations

import copy
import datetime
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from . import _offing
from ._answers import Comparison, Legs, Season, Shaping, Stores, Years, answer
from ._climate import Climate

#: A place: its latitude and longitude in degrees, north and east positive.
Place = tuple[float, float]


class Spread(NamedTuple):
    """How many passages are simulated, and what is made of land in the way."""

    members: int
    seed: int
    persistence: float | None
    strict: bool


class Course(NamedTuple):
    """What is asked of a course."""

    start: Place | None
    end: Place | None
    trade_off: str | None
    grid_deg: float
    not_south_of: float | None
    not_north_of: float | None
    max_headwind_percent: float | None
    max_hard_beat_percent: float | None
    max_gale_percent: float | None
    min_air_c: float | None
    off_land_nm: float | None
    keep_out: str | os.PathLike[str] | None
    max_storm_percent: float | None


def winds_of(climate: Climate | None) -> _offing.Winds | None:
    """The native winds of a climate; None for those the voyage names."""
    if climate is None:
        return None
    if not isinstance(climate, Climate):
        kind = type(climate).__name__
        raise TypeError(
            f"climate is of type {kind}; allowed: an offing.Climate, such as Climate.from_xarray(ds)"
        )
    return climate._winds


class Voyage:
    """A day of departure, a boat and the routes to compare.

    Either ``Voyage("voyage.toml")``, a voyage file, or keyword arguments, which are the tables of one:

        Voyage(
            name="To Durban",
            departure="2027-05-01",
            boat={"generic": {"waterline_length_m": 10.2, "displacement_kg": 11_000,
                              "sail_area_m2": 80, "rig": "cutter", "keel": "long"}},
            routes={"Direct": ["Fremantle, Australia", "Durban, South Africa"],
                    "North": ["Fremantle, Australia", (-26.0, 75.0), "Durban, South Africa"]},
        )

    ``boat`` is the table ``[boat]`` or the path of a polar. ``routes`` has a list of waypoints by the name
    of each route, or is a list of ``[[route]]`` tables. A waypoint is the name of a port with its country,
    a latitude and longitude in degrees (north and east positive), or a ``[[route.waypoint]]`` table; the
    legs are great circles unless a table says otherwise. Further keyword arguments are further tables:
    ``handling``, ``climate``, ``current``, ``crew``, ``water`` and so on.

    What is wrong is an :class:`OffingError` with the words of the command line.
    """

    __slots__ = ("_recipe", "_voyage")

    _voyage: _offing.Voyage
    #: How it is made anew in another process: what makes it, and its arguments.
    _recipe: tuple[Any, ...]

    def __init__(
        self,
        path: str | os.PathLike[str] | None = None,
        *,
        name: str = "Voyage",
        departure: str | datetime.date | None = None,
        boat: Mapping[str, Any] | str | os.PathLike[str] | None = None,
        routes: Mapping[str, Sequence[Any]] | Sequence[Mapping[str, Any]] | None = None,
        **tables: Any,
    ) -> None:
        if path is not None:
            if departure is not None or boat is not None or routes is not None or tables:
                raise TypeError("give the path of a voyage file or keyword arguments, not both")
            self._voyage = _offing.Voyage.read(Path(path))
            self._recipe = ("read", Path(path).absolute())
            return
        if isinstance(boat, (str, os.PathLike)):
            boat = {"polar": os.fspath(boat)}
        made = {"voyage": {"name": name, "departure": departure}, "boat": boat, **tables}
        if routes is not None:
            made["route"] = _route_tables(routes)
        self._voyage = _offing.Voyage.from_tables(made, [])
        self._recipe = ("from_tables", copy.deepcopy(made), [])

    @classmethod
    def _of(cls, native: _offing.Voyage, recipe: tuple[Any, ...]) -> Voyage:
        voyage = cls.__new__(cls)
        voyage._voyage, voyage._recipe = native, recipe
        return voyage

    @classmethod
    def _made(cls, maker: str, *arguments: Any) -> Voyage:
        """The voyage of a recipe."""
        if maker in ("leaving", "only", "stage"):
            before, asked = arguments
            changed: Voyage = getattr(cls._made(*before), maker)(asked)
            return changed
        native = getattr(_offing.Voyage, maker)(*arguments)
        return cls._of(native, (maker, *arguments))

    def __reduce__(self) -> tuple[Any, ...]:
        """A voyage of a file is read anew where it is unpickled: the file must be there."""
        return Voyage._made, self._recipe

    @classmethod
    def demo(cls) -> Voyage:
        """The demonstration: an invented boat, Fremantle to Durban in May."""
        return cls._made("demo")

    @classmethod
    def from_dict(
        cls, tables: Mapping[str, Any], *, polars: Mapping[str, str] | None = None
    ) -> Voyage:
        """The voyage of dicts like the tables of a voyage file, as ``tomllib`` reads them.

        ``polars`` has the text of a polar by the name that the tables give it, in place of a file. Other
        files are looked for in the working directory.
        """
        return cls._made("from_tables", copy.deepcopy(dict(tables)), list((polars or {}).items()))

    @property
    def name(self) -> str:
        """What the voyage is called."""
        return self._voyage.name

    @property
    def departure(self) -> datetime.date:
        """The day of departure; passages begin at 00:00 UTC."""
        return datetime.date.fromisoformat(self._voyage.departure)

    @property
    def boat_name(self) -> str | None:
        """What the boat is called; None where that is not said."""
        return self._voyage.boat_name

    @property
    def routes(self) -> list[str]:
        """The routes' names, in their order."""
        return self._voyage.routes

    def waypoints(self, route: str) -> list[tuple[str, float, float]]:
        """A route's waypoints: name, latitude and longitude in degrees, north and east positive."""
        return self._voyage.waypoints(route)

    def leaving(self, departure: str | datetime.date) -> Voyage:
        """The same voyage on another day, a date or a text such as "2027-05-01"."""
        day = str(departure)
        return self._of(self._voyage.leaving(day), ("leaving", self._recipe, day))

    def only(self, route: str) -> Voyage:
        """The same voyage with one of its routes alone."""
        return self._of(self._voyage.only(route), ("only", self._recipe, route))

    def stage(self, name: str) -> Voyage:
        """One of the stages of a voyage of several passages, as a voyage of its own."""
        return self._of(self._voyage.stage(name), ("stage", self._recipe, name))

    def compare(
        self,
        climate: Climate | None = None,
        *,
        members: int = 2000,
        seed: int = 1,
        persistence: float | None = None,
        swings: bool = True,
        also: Climate | None = None,
        real_year: int | None = None,
        strict: bool = False,
    ) -> Comparison:
        """The routes side by side.

        ``climate``: the winds; those the voyage names if not given. ``members``: simulated passages a
        route. ``seed``: the same seed gives the same passages. ``persistence``: correlation time of the
        wind, hours. ``swings``: whether assumptions are tried out. ``also``: a second climate, as one more
        swing. ``real_year``: sail in the winds of that year. ``strict``: a route that crosses land is an
        OffingError rather than an OffingWarning.
        """
        spread = Spread(members, seed, persistence, strict)
        return answer(
            Comparison,
            _offing.compare(
                self._voyage,
                winds_of(climate),
                spread,
                swings,
                winds_of(also),
                real_year,
            ),
        )

    def legs(
        self,
        climate: Climate | None = None,
        *,
        by: str | None = None,
        members: int = 2000,
        seed: int = 1,
        persistence: float | None = None,
        strict: bool = False,
    ) -> Legs:
        """The routes leg by leg; in pieces along the median passage where ``by`` is "day", degrees of
        longitude such as "5deg", or a distance such as "300nm". The rest as for :meth:`compare`.
        """
        spread = Spread(members, seed, persistence, strict)
        return answer(Legs, _offing.legs(self._voyage, winds_of(climate), spread, by))

    def season(
        self,
        climate: Climate | None = None,
        *,
        every_days: int = 5,
        max_storm_percent: float = 5.0,
        members: int = 2000,
        seed: int = 1,
        persistence: float | None = None,
        strict: bool = False,
    ) -> Season:
        """Departures through the twelve months from the voyage's, ``every_days`` apart (1 to 31).

        ``max_storm_percent``: the chance of a storm within 200 nm beyond which a window is taken only where
        none has less. The rest as for :meth:`compare`.
        """
        spread = Spread(members, seed, persistence, strict)
        return answer(
            Season,
            _offing.season(
                self._voyage,
                winds_of(climate),
                spread,
                every_days,
                max_storm_percent,
            ),
        )

    def shape(
        self,
        climate: Climate | None = None,
        *,
        start: Place | None = None,
        end: Place | None = None,
        trade_off: str | None = None,
        grid_deg: float = 1.0,
        not_south_of: float | None = None,
        not_north_of: float | None = None,
        max_headwind_percent: float | None = None,
        max_hard_beat_percent: float | None = None,
        max_gale_percent: float | None = None,
        min_air_c: float | None = None,
        off_land_nm: float | None = None,
        keep_out: str | os.PathLike[str] | None = None,
        max_storm_percent: float | None = None,
        members: int = 2000,
        seed: int = 1,
        persistence: float | None = None,
        strict: bool = False,
    ) -> Shaping:
        """The fastest course under the crew's limits, beside the routes drawn.

        ``start``, ``end``: latitude and longitude in degrees; those of the first route if not given.
        ``trade_off``: "headwind", "hard-beat", "light-air", "strong-wind", "gale" or "engine", for courses
        from the fastest to the one with least of it. ``grid_deg``: step of the search grid, degrees.
        ``not_south_of``, ``not_north_of``: latitudes, degrees north. ``max_headwind_percent`` (under 60
        degrees off the course) and ``max_hard_beat_percent`` (in 20 kn or more): shares of the whole
        passage. ``max_gale_percent`` (34 kn or more), ``min_air_c`` (degrees Celsius): at any place.
        ``off_land_nm``: nautical miles. ``keep_out``: a GeoJSON file of areas. ``max_storm_percent``: chance
        of a storm within 200 nm in ten days at any place. The rest as for :meth:`compare`.
        """
        course = Course(
            start,
            end,
            trade_off,
            grid_deg,
            not_south_of,
            not_north_of,
            max_headwind_percent,
            max_hard_beat_percent,
            max_gale_percent,
            min_air_c,
            off_land_nm,
            keep_out,
            max_storm_percent,
        )
        spread = Spread(members, seed, persistence, strict)
        return answer(Shaping, _offing.shape(self._voyage, winds_of(climate), spread, course))

    def stores(
        self,
        climate: Climate | None = None,
        *,
        confidence_percent: float | None = None,
        members: int = 2000,
        seed: int = 1,
        persistence: float | None = None,
        strict: bool = False,
    ) -> Stores:
        """What to load for each route, where the voyage says who is aboard.

        ``confidence_percent``: the share of passages it is to be enough for; the voyage's if not given. The
        rest as for :meth:`compare`.
        """
        spread = Spread(members, seed, persistence, strict)
        return answer(
            Stores,
            _offing.stores(self._voyage, winds_of(climate), spread, confidence_percent),
        )

    def years(
        self,
        climate: Climate | None = None,
        *,
        members: int = 2000,
        seed: int = 1,
        persistence: float | None = None,
        strict: bool = False,
    ) -> Years:
        """The voyage in each real year of its winds. The rest as for :meth:`compare`."""
        spread = Spread(members, seed, persistence, strict)
        return answer(Years, _offing.years(self._voyage, winds_of(climate), spread))

    def __repr__(self) -> str:
        routes = ", ".join(self.routes)
        return f"<offing.Voyage {self.name!r}, {self.departure}, routes: {routes}>"


def _route_tables(routes: Any) -> list[Any]:
    if not isinstance(routes, Mapping):
        return list(routes)
    return [
        {"name": name, "waypoint": [_waypoint(at, number) for number, at in enumerate(line, 1)]}
        for name, line in routes.items()
    ]


def _waypoint(at: Any, number: int) -> Any:
    if isinstance(at, str):
        return {"name": at.split(",")[0], "place": at}
    if isinstance(at, Mapping):
        return at
    latitude, longitude = at
    return {"name": f"Waypoint {number}", "position": f"{float(latitude)!r}, {float(longitude)!r}"}
