"""Many boats over one set of routes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from . import _offing
from ._answers import Rally, answer
from ._climate import Climate
from ._voyage import Spread, Voyage, winds_of

#: Where a boat given by her tables alone goes, so that she can be read: nobody sails it.
_ANYWHERE = [
    {
        "name": "Anywhere",
        "waypoint": [
            {"name": "From", "position": "0.0, 0.0"},
            {"name": "To", "position": "1.0, 1.0"},
        ],
    }
]


def rally(
    boats: Mapping[str, Any] | Iterable[Voyage],
    voyage: Voyage,
    climate: Climate | None = None,
    *,
    members: int = 2000,
    seed: int = 1,
    persistence: float | None = None,
    strict: bool = False,
) -> Rally:
    """Sails every boat over every route of ``voyage``, from its day and in its winds.

    ``boats``: voyages whose boats take part, by the boats' names or, in a list, each with the boat's name in
    it. In place of a voyage a dict of tables will do, ``{"boat": {...}, "handling": {...}}``, or a
    ``[boat]`` table by itself. The rest as for :meth:`Voyage.compare`.

    Within a member all boats meet the same departures from the mean wind at the same hour, wherever they
    are, and each has a factor of her own; places are counted member by member.
    """
    entries = named_boats(boats)
    spread = Spread(members, seed, persistence, strict)
    natives = [(name, boat._voyage) for name, boat in entries]
    return answer(Rally, _offing.rally(voyage._voyage, natives, winds_of(climate), spread))


def named_boats(boats: Mapping[str, Any] | Iterable[Any]) -> list[tuple[str, Voyage]]:
    """Boats by their names, each a voyage for the sake of its boat."""
    if isinstance(boats, Mapping):
        return [(str(name), _boat(boat)) for name, boat in boats.items()]
    entries = []
    for number, boat in enumerate(boats, 1):
        boat = _boat(boat)
        if boat.boat_name is None:
            error = _offing.OffingError(
                f"boats[{number}]: missing; one of several boats needs a name, as `name` of [boat]"
            )
            error.faults = []
            raise error
        entries.append((boat.boat_name, boat))
    return entries


def _boat(boat: Any) -> Voyage:
    if isinstance(boat, Voyage):
        return boat
    if not isinstance(boat, Mapping):
        kind = type(boat).__name__
        raise TypeError(f"a boat is of type {kind}; allowed: a Voyage or a dict of tables")
    tables = boat if "boat" in boat else {"boat": boat}
    return Voyage.from_dict(
        {"voyage": {"name": "A boat", "departure": "2000-01-01"}, "route": _ANYWHERE, **tables}
    )
