"""The arrays of an xarray dataset, with what has to be known of them."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from . import _offing

if TYPE_CHECKING:
    import xarray

    from ._climate import Reading


class HeldField(NamedTuple):
    """One field: values of shape (steps, latitudes, longitudes)."""

    name: str
    units: str | None
    height_m: float | None
    values: np.ndarray


class HeldFields(NamedTuple):
    """Fields on one grid."""

    label: str
    time: str
    month_numbers: list[int] | None
    months_into_year: list[float] | None
    latitude: tuple[str, list[float]]
    longitude: tuple[str, list[float]]
    eastward_wind: HeldField
    northward_wind: HeldField
    wind_speed: HeldField | None
    air_temperature: HeldField | None


#: By role: standard name, axis, units, usual names.
_ROLES = {
    "time": ("time", "T", (), ("time", "month", "months", "mon", "moy", "t")),
    "latitude": (
        "latitude",
        "Y",
        ("degrees_north", "degree_north", "degree_n", "degrees_n", "degreen", "degreesn"),
        ("lat", "lats", "latitude", "latitudes", "nav_lat"),
    ),
    "longitude": (
        "longitude",
        "X",
        ("degrees_east", "degree_east", "degree_e", "degrees_e", "degreee", "degreese"),
        ("lon", "lons", "long", "longitude", "longitudes", "nav_lon"),
    ),
}

#: Attributes of numbers that are still packed.
_PACKED = ("scale_factor", "add_offset", "_FillValue", "missing_value")

_METRES = ("m", "metre", "metres", "meter", "meters")


def held_fields(ds: xarray.Dataset, label: str, reading: Reading) -> HeldFields:
    """The winds of a dataset.

    Raises OffingError where it has none, or where their dimensions, numbers or coordinates are none
    that winds have; units and values are looked at when a voyage is sailed.
    """
    if not hasattr(ds, "data_vars"):
        kind = type(ds).__name__
        raise TypeError(f"found an object of type {kind}; allowed: an xarray.Dataset")
    title = str(ds.attrs.get("title", "")).strip()
    label = f"{label} ({title})" if title else label
    names = list(ds.data_vars)
    named = [(str(name), ds[name].attrs.get("standard_name"), ds[name].ndim) for name in names]
    found = _offing.find_winds(named, label, reading)
    dims = _dims(ds[names[found[0]]], label)
    time, latitude, longitude = dims
    coordinates = {dim: ds[dim] for dim in dims if dim in ds.coords}
    for dim in (latitude, longitude):
        if dim not in coordinates:
            raise _refused(
                label, f"coordinate '{dim}' is a dimension without a variable that gives its degrees"
            )
    numbers, stamps = _months(ds, time)

    east, north, speed, air = (
        None if at is None else _field(ds[names[at]], dims, label) for at in found
    )
    assert east is not None and north is not None
    return HeldFields(
        label,
        str(time),
        numbers,
        stamps,
        (str(latitude), coordinates[latitude].values.astype(float).tolist()),
        (str(longitude), coordinates[longitude].values.astype(float).tolist()),
        east,
        north,
        speed,
        air,
    )


def _refused(label: str, words: str) -> _offing.OffingError:
    error = _offing.OffingError(f"wind climate {label}: {words}")
    error.faults = []
    return error


def _role(variable: xarray.DataArray, dim: Hashable) -> str | None:
    coordinate = variable.coords[dim] if dim in variable.coords else None
    attributes = {} if coordinate is None else coordinate.attrs
    standard_name = str(attributes.get("standard_name", "")).lower()
    units = str(attributes.get("units", "")).lower()
    if standard_name not in ("", "unknown"):
        return standard_name if standard_name in _ROLES else None
    if coordinate is not None and _is_dates(coordinate):
        return "time"
    for role, (_, _, known, _) in _ROLES.items():
        if units in known:
            return role
    for role, (_, _, _, usual) in _ROLES.items():
        if str(dim).lower() in usual:
            return role
    for role, (_, axis, _, _) in _ROLES.items():
        if str(attributes.get("axis", "")).upper() == axis and units not in (*_METRES, "km"):
            return role
    return None


def _dims(variable: xarray.DataArray, label: str) -> tuple[Hashable, Hashable, Hashable]:
    """The dimensions along the months, the latitudes and the longitudes."""
    by_role: dict[str, Hashable] = {}
    unusable = False
    for dim in variable.dims:
        role = _role(variable, dim)
        if role is not None:
            unusable = unusable or role in by_role
            by_role[role] = dim
        elif variable.sizes[dim] != 1:
            unusable = True
    if unusable or len(by_role) < len(_ROLES):
        found = ", ".join(f"{dim} = {size}" for dim, size in variable.sizes.items())
        raise _refused(
            label,
            f"variable '{variable.name}' has dimensions ({found}); expected latitude, longitude and time "
            "steps (12, one for each month), in any order, and no other dimension longer than 1",
        )
    return by_role["time"], by_role["latitude"], by_role["longitude"]


def _field(variable: xarray.DataArray, dims: tuple[Hashable, ...], label: str) -> HeldField:
    for attribute in _PACKED:
        if attribute in variable.attrs:
            raise _refused(
                label,
                f"variable '{variable.name}' has the attribute {attribute}, so its numbers are still "
                "packed; decode them first, with xarray.decode_cf",
            )
    others = [dim for dim in variable.dims if dim not in dims]
    grid = variable.isel({dim: 0 for dim in others if variable.sizes[dim] == 1})
    if set(grid.dims) != set(dims):
        found = ", ".join(f"{dim} = {size}" for dim, size in variable.sizes.items())
        expected = ", ".join(str(dim) for dim in dims)
        raise _refused(
            label,
            f"variable '{variable.name}' is on the grid ({found}), but the wind toward the east is on "
            f"({expected}); all must share one grid",
        )
    values = np.asarray(grid.transpose(*dims).data)
    if values.dtype not in (np.float32, np.float64) or not values.dtype.isnative:
        if values.dtype.kind not in "fiu":
            raise _refused(
                label, f"variable '{variable.name}' holds {values.dtype}; expected numbers"
            )
        values = values.astype(np.float64)
    units = variable.attrs.get("units")
    units = None if units is None else str(units)
    return HeldField(str(variable.name), units, _height_m(variable, label), values)


def _height_m(variable: xarray.DataArray, label: str) -> float | None:
    """The height its winds are for: by its attribute, else by a coordinate of one value."""
    height = variable.attrs.get("height")
    if height is not None:
        text = str(height).strip().lower()
        for unit in sorted(_METRES, key=len, reverse=True):
            text = text.removesuffix(unit)
        try:
            return float(text)
        except ValueError:
            raise _refused(
                label,
                f"variable '{variable.name}': attribute height is '{height}'; expected metres, like "
                "'10 m'",
            ) from None
    for name, coordinate in variable.coords.items():
        is_height = coordinate.attrs.get("standard_name") == "height"
        is_height = is_height or str(name).lower().startswith("height")
        if is_height and coordinate.size == 1 and coordinate.attrs.get("units") in _METRES:
            return float(coordinate.values.reshape(-1)[0])
    return None


def _is_dates(coordinate: xarray.DataArray) -> bool:
    if coordinate.dtype.kind == "M":
        return True
    # Dates of other calendars are objects with a month.
    return coordinate.dtype == object and hasattr(coordinate.values.flat[0], "month")


def _months(
    ds: xarray.Dataset, time: Hashable
) -> tuple[list[int] | None, list[float] | None]:
    """The number of each step's month, or how far into the year it stands; neither where nothing says."""
    if time not in ds.coords:
        return None, None
    coordinate = ds[time]
    if not _is_dates(coordinate):
        values = coordinate.values
        if values.dtype.kind in "fiu" and all(1 <= v <= 12 and v == int(v) for v in values):
            return [int(value) for value in values], None
        return None, None
    bounds = coordinate.attrs.get("bounds", coordinate.encoding.get("bounds"))
    if bounds in ds and ds[bounds].ndim == 2 and _is_dates(ds[bounds]):
        first, last = ds[bounds].values[:, 0], ds[bounds].values[:, 1]
        coordinate = coordinate.copy(data=first + (last - first) / 2)
    dates = coordinate.dt
    begun = (dates.day - 1) + (dates.hour + (dates.minute + dates.second / 60) / 60) / 24
    stamps = (dates.month - 1) + begun / dates.days_in_month
    return None, [float(stamp) for stamp in stamps.values]
