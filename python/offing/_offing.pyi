"""The native part of offing: what the package's own modules are built on."""

from collections.abc import Sequence
from os import PathLike
from typing import Any, final

import numpy as np

from ._atlas import Part, Port
from ._climate import Reading
from ._fields import HeldFields
from ._voyage import Course, Spread

EXPOSURES: list[str]
"""What shares of the time are told of."""

READS_NETCDF: bool
"""Whether files in NetCDF can be read."""

class OffingError(ValueError):
    """A question that cannot be answered: the same message as the command line prints."""

    faults: list[dict[str, Any]]
    """What is wrong with a voyage's entries: ``key``, ``problem``, ``hint``, ``file``, ``line``."""

@final
class Voyage:
    @staticmethod
    def demo() -> Voyage: ...
    @staticmethod
    def read(path: PathLike[str]) -> Voyage: ...
    @staticmethod
    def from_tables(tables: dict[str, Any], polars: Sequence[tuple[str, str]]) -> Voyage: ...
    @property
    def name(self) -> str: ...
    @property
    def departure(self) -> str: ...
    @property
    def boat_name(self) -> str | None: ...
    @property
    def boat_in_full(self) -> str: ...
    @property
    def routes(self) -> list[str]: ...
    def waypoints(self, route: str) -> list[tuple[str, float, float]]: ...
    def leaving(self, departure: str) -> Voyage: ...
    def only(self, route: str) -> Voyage: ...
    def stage(self, name: str) -> Voyage: ...

@final
class Winds:
    @staticmethod
    def embedded() -> Winds: ...
    @staticmethod
    def open(path: PathLike[str], reading: Reading) -> Winds: ...
    @staticmethod
    def hold(fields: HeldFields, reading: Reading) -> Winds: ...

@final
class Answer:
    def json(self) -> str: ...
    def csv(self) -> str | None: ...
    def members(self, route: str, boat: str | None = None) -> dict[str, np.ndarray] | None: ...
    def season_days(self, route: str) -> np.ndarray | None: ...

def find_winds(
    variables: Sequence[tuple[str, str | None, int]], label: str, reading: Reading
) -> tuple[int, int, int | None, int | None]: ...
def compare(
    voyage: Voyage,
    winds: Winds | None,
    spread: Spread,
    swings: bool,
    also: Winds | None,
    real_year: int | None,
) -> tuple[Answer, list[str]]: ...
def legs(
    voyage: Voyage, winds: Winds | None, spread: Spread, by: str | None
) -> tuple[Answer, list[str]]: ...
def season(
    voyage: Voyage,
    winds: Winds | None,
    spread: Spread,
    every_days: int,
    max_storm_percent: float,
) -> tuple[Answer, list[str]]: ...
def shape(
    voyage: Voyage, winds: Winds | None, spread: Spread, course: Course
) -> tuple[Answer, list[str]]: ...
def stores(
    voyage: Voyage, winds: Winds | None, spread: Spread, confidence_percent: float | None
) -> tuple[Answer, list[str]]: ...
def years(
    voyage: Voyage, winds: Winds | None, spread: Spread
) -> tuple[Answer, list[str]]: ...
def atlas(
    part: Part,
    boats: Sequence[tuple[str, Voyage]],
    drawn: Sequence[tuple[int, Voyage]],
    winds: Winds | None,
    spread: Spread,
) -> str: ...
def find_port(text: str) -> Port: ...
def rally(
    voyage: Voyage,
    boats: Sequence[tuple[str, Voyage]],
    winds: Winds | None,
    spread: Spread,
) -> tuple[Answer, list[str]]: ...
