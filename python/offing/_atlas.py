"""Passages between many ports, on many days, in many boats and by several ways."""

from __future__ import annotations

import datetime
import hashlib
import json
import os
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from . import _offing
from ._climate import Climate
from ._rally import named_boats
from ._voyage import Spread, Voyage, winds_of

if TYPE_CHECKING:
    import pandas
    from dask.distributed import Client

#: A place: what it is called, its latitude and its longitude in degrees.
Port = tuple[str, float, float]

WAYS = ("drawn", "great circle", "shaped")
_TEXTS = ("origin", "destination", "departure", "boat", "way", "problem")
_COLUMNS = (
    *_TEXTS[:-1],
    "distance_nm",
    "expected_days",
    "days_p10",
    "days_p50",
    "days_p90",
    "no_arrival",
    "over_land_nm",
    *_offing.EXPOSURES,
    "problem",
)
#: The form of the rows: another one is another atlas.
_FORM = 1
#: Where the key of its inputs stands in a part's file.
_KEY = b"offing_atlas_key"


class AtlasError(_offing.OffingError):
    """An atlas that could not be finished.

    ``done``: the files of the parts that were, or their origins where there is no folder. ``failed``: what
    kept each of the others from it, by the name of the part.
    """

    done: list[str]
    failed: dict[str, str]

    def __init__(self, words: str, done: Iterable[str] = (), failed: Any = ()) -> None:
        super().__init__(words)
        self.done, self.failed = list(done), dict(failed)
        self.faults = []


class Part(NamedTuple):
    """What is asked of one origin on some days."""

    origin: Port
    destinations: list[Port]
    departures: list[str]
    ways: list[str]
    grid_deg: float
    threads: int | None


class Chunk(NamedTuple):
    """A part with all it takes, as it goes to a worker."""

    name: str
    part: Part
    boats: list[tuple[str, Voyage]]
    drawn: list[tuple[int, Voyage]]
    spread: Spread
    path: str | None
    key: str


def atlas(
    origins: Iterable[Any],
    destinations: Iterable[Any],
    departures: Iterable[str | datetime.date],
    boats: Mapping[str, Any] | Iterable[Voyage],
    ways: Sequence[str] = ("great circle",),
    *,
    drawn: Mapping[tuple[Any, Any], Sequence[Any]] | None = None,
    climate: Climate | None = None,
    members: int = 500,
    seed: int = 1,
    persistence: float | None = None,
    grid_deg: float = 1.0,
    client: Client | None = None,
    folder: str | os.PathLike[str] | None = None,
    departures_a_part: int | None = None,
    strict: bool = False,
) -> pandas.DataFrame:
    """Passages from every origin to every other destination, a row each by departure, boat and way.

    ``origins``, ``destinations``: ports by name and country, such as "Fremantle, Australia", or places as
    (name, latitude, longitude), degrees north and east. ``departures``: days, each passage beginning at
    00:00 UTC. ``boats``: as for :func:`rally`. ``ways``: "great circle"; "shaped", the fastest course in
    expectation without limits; "drawn", the waypoints that ``drawn`` has between two ports, by (origin,
    destination) as they are given above, joined by great circles. ``climate``: the winds; those of the
    package if not given. Currents are the climate's, else the package's. ``grid_deg``: step of the search
    grid, degrees. ``members``, ``seed``, ``persistence``: as for :meth:`Voyage.compare`.

    Columns: ``origin``, ``destination``, ``departure``, ``boat``, ``way``, ``distance_nm``,
    ``expected_days`` (on the mean wind), ``days_p10``, ``days_p50``, ``days_p90`` (missing where that share
    does not arrive in 400 days), ``no_arrival`` (0 to 1), ``over_land_nm`` (how much of the way is on land:
    if any, no boat can sail it), shares of the time met from 0 to 1, such as ``headwind`` and ``gale``, and
    ``problem``.

    A passage that cannot be computed, from a port on land or through a gap in the winds, has missing figures
    and says why in ``problem``; the others are there all the same. It is an :class:`AtlasError` where all
    rows have a problem, or, with ``strict``, any.

    The work is cut in parts: an origin each, on all days or ``departures_a_part`` of them. With ``client``, a
    ``dask.distributed.Client``, its workers do them, one thread a task; a part of a lost worker is done again
    by another. Its dashboard and ``dask.distributed.progress`` show how far they are. Without, this process
    does one after the other on all cores. The numbers are the same, bit for bit. Workers need this version of
    the package, and see ``folder`` under the same path.

    ``folder``: each part is written there as a Parquet file as soon as it is done, whole or not at all, and
    is not done again when the same atlas is asked for. A file of another atlas under a part's name is an
    AtlasError. When parts fail the others are finished first, and the AtlasError names both. ``folder``
    needs pyarrow.

    Searches for shaped courses share what they can: one box of sea west and one east of each origin, a grid
    and table of winds in it, and a first search for all destinations. Courses so depend a little on which
    destinations are asked for together. Without limits they may go far south, into ice and gales that no crew
    would choose: look at ``gale``, and at :meth:`Voyage.shape` for a course under limits.

    A planning aid from averages, not a forecast. Check pilot charts, warnings and local rules. The skipper
    decides.
    """
    chunks = _chunks(
        _ports("origins", origins),
        _ports("destinations", destinations),
        [str(day) for day in departures],
        _boats(boats),
        [ways] if isinstance(ways, str) else list(ways),
        dict(drawn or {}),
        climate,
        Spread(members, seed, persistence, False),
        grid_deg,
        None if folder is None else Path(folder).absolute(),
        departures_a_part,
        1 if client is not None else None,
    )
    rows: dict[str, list[dict[str, Any]]] = {}
    for chunk in chunks:
        found = _kept(chunk)
        if found is not None:
            rows[chunk.name] = found
    left = [chunk for chunk in chunks if chunk.name not in rows]
    failed: dict[str, str] = {}
    for name, found, problem in _done(left, climate, client):
        if problem is None:
            rows[name] = found
        else:
            failed[name] = problem
    if failed:
        done = [chunk.path or chunk.name for chunk in chunks if chunk.name in rows]
        first, why = next(iter(failed.items()))
        where = f", kept in {Path(folder).absolute()}" if folder is not None and done else ""
        raise AtlasError(
            f"{len(failed)} of {len(chunks)} parts of the atlas failed, the first of them {first}: {why}; "
            f"{len(done)} parts are done{where}",
            done,
            failed,
        )
    frame = _frame([row for chunk in chunks for row in rows[chunk.name]])
    _judge(frame, chunks, strict)
    return frame


def _refused(words: str) -> _offing.OffingError:
    error = _offing.OffingError(words)
    error.faults = []
    return error


def _ports(argument: str, places: Iterable[Any]) -> list[tuple[Any, Port]]:
    """Each place as it was given, and as it is named and placed."""
    found = [(place, _port(argument, number, place)) for number, place in enumerate(places, 1)]
    if isinstance(places, str) or not found:
        raise _refused(f"{argument}: found none; allowed: a list of ports or places")
    names: set[str] = set()
    for _, (name, _, _) in found:
        if name in names:
            raise _refused(f"{argument}: '{name}' is there twice")
        names.add(name)
    return found


def _port(argument: str, number: int, place: Any) -> Port:
    if isinstance(place, str):
        try:
            return _offing.find_port(place)
        except _offing.OffingError as error:
            raise _refused(f"{argument}[{number}]: {error}") from None
    try:
        name, latitude, longitude = place
        return str(name), float(latitude), float(longitude)
    except (TypeError, ValueError):
        raise _refused(
            f"{argument}[{number}]: found {place!r}; allowed: a port's name and country, or (name, latitude, "
            "longitude)"
        ) from None


def _boats(boats: Mapping[str, Any] | Iterable[Any]) -> list[tuple[str, Voyage]]:
    named = named_boats(boats)
    if not named:
        raise _refused("boats: found none")
    for number, (name, _) in enumerate(named):
        if any(other == name for other, _ in named[:number]):
            raise _refused(f"boats: '{name}' is there twice")
    return named


def _chunks(
    origins: list[tuple[Any, Port]],
    destinations: list[tuple[Any, Port]],
    departures: list[str],
    boats: list[tuple[str, Voyage]],
    ways: list[str],
    drawn: dict[tuple[Any, Any], Sequence[Any]],
    climate: Climate | None,
    spread: Spread,
    grid_deg: float,
    folder: Path | None,
    departures_a_part: int | None,
    threads: int | None,
) -> list[Chunk]:
    for way in ways:
        if way not in WAYS:
            raise _refused(f"ways: found '{way}'; allowed: {', '.join(WAYS)}")
    if not ways or not departures:
        raise _refused(f"{'departures' if ways else 'ways'}: found none")
    for day in departures:
        try:
            datetime.date.fromisoformat(day)
        except ValueError:
            raise _refused(
                f"departures: found '{day}'; allowed: a date such as 2027-05-01"
            ) from None
    if departures_a_part is not None and departures_a_part < 1:
        raise _refused(f"departures_a_part: found {departures_a_part}; allowed: 1 or more")
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
    about_climate = _digest(None if climate is None else climate._recipe)
    about_boats = _digest([(name, boat._voyage.boat_in_full) for name, boat in boats])
    known = {(a, b) for a, _ in origins for b, _ in destinations if _hashable(a, b)}
    for pair in drawn:
        if pair not in known:
            raise _refused(f"drawn: {pair!r} is not a pair of an origin and a destination asked for")
    size = departures_a_part or len(departures)
    chunks = []
    for number, (given, origin) in enumerate(origins, 1):
        routes: list[tuple[int, Voyage]] = []
        between: list[Any] = []
        for at, (to, port) in enumerate(destinations):
            line = drawn.get((given, to)) if drawn and _hashable(given, to) else None
            if line is not None and "drawn" in ways:
                routes.append((at, _drawn(origin, port, line)))
                between.append((at, [repr(place) for place in line]))
        for first in range(0, len(departures), size):
            days = departures[first : first + size]
            part = Part(origin, [port for _, port in destinations], days, ways, grid_deg, threads)
            key = _digest(
                (_FORM, version(), part._replace(threads=None), spread, between)
            )
            key = hashlib.sha256(f"{key} {about_climate} {about_boats}".encode()).hexdigest()
            name = _file_name(number, origin[0])
            if size < len(departures):
                name += f"-from-{days[0]}"
            path = None if folder is None else str(folder / f"{name}.parquet")
            chunks.append(Chunk(name, part, boats, routes, spread, path, key))
    return chunks


def _hashable(*values: Any) -> bool:
    return all(getattr(value, "__hash__", None) is not None for value in values)


def _drawn(origin: Port, to: Port, between: Sequence[Any]) -> Voyage:
    """A voyage for the sake of its route: its boat is one that can be read, and does not sail."""

    def end(port: Port) -> dict[str, str]:
        name, latitude, longitude = port
        return {"name": name, "position": f"{latitude!r}, {longitude!r}"}

    return Voyage(
        name="An atlas",
        departure="2000-01-01",
        boat=_ANY_BOAT,
        routes={"drawn": [end(origin), *between, end(to)]},
    )


_ANY_BOAT = {
    "generic": {
        "waterline_length_m": 10.0,
        "displacement_kg": 10_000.0,
        "sail_area_m2": 80.0,
        "rig": "sloop",
        "keel": "fin",
    }
}


def _file_name(number: int, name: str) -> str:
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.split(",")[0])
    return f"{number:04}-{plain.strip('-').lower()[:40] or 'place'}"


def version() -> str:
    """Which build of the package: numbers may change with it."""
    with open(_offing.__file__, "rb") as native:
        return hashlib.sha256(native.read()).hexdigest()


def _digest(value: Any) -> str:
    """A hash of a value's parts; arrays and files count by what they hold."""
    digest = hashlib.sha256()

    def add(value: Any) -> None:
        if isinstance(value, Path):
            with value.open("rb") as file:
                while held := file.read(1 << 20):
                    digest.update(held)
        elif isinstance(value, Mapping):
            digest.update(b"{%d" % len(value))
            for name, held in value.items():
                add(name)
                add(held)
        elif isinstance(value, (list, tuple)):
            digest.update(b"(%d" % len(value))
            for held in value:
                add(held)
        elif hasattr(value, "tobytes") and hasattr(value, "shape"):
            digest.update(f"{value.dtype.str}{value.shape}".encode() + value.tobytes())
        else:
            digest.update(f"{type(value).__name__} {value!r}\n".encode())

    add(value)
    return digest.hexdigest()


def _kept(chunk: Chunk) -> list[dict[str, Any]] | None:
    """The rows of a part that is done; None for one that is not."""
    if chunk.path is None or not os.path.exists(chunk.path):
        return None
    import pyarrow
    from pyarrow import parquet

    try:
        table = parquet.read_table(chunk.path)
    except (OSError, pyarrow.ArrowException) as error:
        raise AtlasError(f"{chunk.path}: cannot be read as a part of an atlas: {error}") from None
    if (table.schema.metadata or {}).get(_KEY) != chunk.key.encode():
        raise AtlasError(
            f"{chunk.path}: is a part of another atlas (other ports, days, boats, winds, options or another "
            "version of the package); move it away or give another folder"
        )
    rows: list[dict[str, Any]] = table.to_pylist()
    return rows


def _write(chunk: Chunk, rows: list[dict[str, Any]]) -> None:
    """Writes a part beside its place and then puts it there."""
    from pyarrow import Table, parquet, schema

    assert chunk.path is not None
    table = Table.from_pylist(rows, schema=schema(_fields()))
    table = table.replace_schema_metadata({_KEY: chunk.key})
    handle, draft = tempfile.mkstemp(suffix=".draft", dir=os.path.dirname(chunk.path))
    os.close(handle)
    try:
        parquet.write_table(table, draft)
        os.replace(draft, chunk.path)
    except BaseException:
        os.unlink(draft)
        raise


def _fields() -> list[tuple[str, Any]]:
    import pyarrow

    text, number = pyarrow.string(), pyarrow.float64()
    return [(name, text if name in _TEXTS else number) for name in _COLUMNS]


def sail_part(chunk: Chunk, climate: Climate | None) -> list[dict[str, Any]]:
    """Does a part, and keeps it where there is a folder. Runs on a worker."""
    passages = json.loads(
        _offing.atlas(
            chunk.part,
            [(name, boat._voyage) for name, boat in chunk.boats],
            [(at, route._voyage) for at, route in chunk.drawn],
            winds_of(climate),
            chunk.spread,
        )
    )
    rows = [_row(passage) for passage in passages]
    if chunk.path is not None:
        _write(chunk, rows)
    return rows


def _row(passage: dict[str, Any]) -> dict[str, Any]:
    figures = passage["figures"] or {}
    found = {**passage, **figures, **figures.get("exposure", {})}
    return {name: found.get(name) for name in _COLUMNS}


Outcome = tuple[str, list[dict[str, Any]], "str | None"]


def _done(
    chunks: list[Chunk], climate: Climate | None, client: Client | None
) -> Iterable[Outcome]:
    """Each part with its rows, or what kept it from them."""
    if client is None:
        for chunk in chunks:
            try:
                yield chunk.name, sail_part(chunk, climate), None
            except Exception as error:
                yield chunk.name, [], str(error)
        return
    if not chunks:
        return
    yield from _spread_out(chunks, climate, client)


def _spread_out(
    chunks: list[Chunk], climate: Climate | None, client: Client
) -> Iterable[Outcome]:
    from dask.distributed import as_completed

    _look_at_workers(client)
    # As the result of a task the winds are made anew where the worker that has them is lost.
    winds = None if climate is None else client.submit(_same, climate, pure=False)
    futures = {}
    for chunk in chunks:
        future = client.submit(sail_part, chunk, winds, key=f"{chunk.name}-{chunk.key}", pure=False)
        futures[future] = chunk.name
    for future in as_completed(list(futures)):
        name = futures.pop(future)
        if future.status == "finished":
            yield name, future.result(), None
        else:
            error = future.exception()
            yield name, [], str(error) or type(error).__name__


def _same(climate: Climate) -> Climate:
    return climate


def _look_at_workers(client: Client) -> None:
    """Refuses a cluster whose workers lack the package, or have another build of it."""

    # A function within one goes to a worker as it is, and not as a name of the package to look up there.
    def version_there() -> str | None:
        try:
            from offing import _atlas
        except ImportError:
            return None
        return _atlas.version()

    here, workers = version(), client.run(version_there)
    if not workers:
        raise AtlasError("the cluster has no workers")
    for address, there in workers.items():
        if there is None:
            raise AtlasError(
                f"worker {address}: the package offing is not installed there; install the same wheel on "
                "all workers"
            )
        if there != here:
            raise AtlasError(
                f"worker {address}: has another build of the package offing than this process; install the "
                "same wheel on all workers"
            )


def _frame(rows: list[dict[str, Any]]) -> pandas.DataFrame:
    import pandas

    frame = pandas.DataFrame(rows)
    for name in frame.columns.difference(list(_TEXTS)):
        frame[name] = frame[name].astype(float)
    if "departure" in frame:
        frame["departure"] = pandas.to_datetime(frame["departure"])
    return frame


def _judge(frame: pandas.DataFrame, chunks: list[Chunk], strict: bool) -> None:
    if not len(frame):
        raise AtlasError("no passages: every destination is the origin")
    bad = frame[frame["problem"].notna()]
    if len(bad) == 0 or (len(bad) < len(frame) and not strict):
        return
    first = bad.iloc[0]
    raise AtlasError(
        f"{len(bad)} of {len(frame)} passages have a problem, the first of them {first.origin} to "
        f"{first.destination} on {first.departure:%Y-%m-%d}: {first.problem}",
        [chunk.path or chunk.name for chunk in chunks],
    )
