"""The winds a voyage is sailed through."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from . import _offing

if TYPE_CHECKING:
    import xarray


class Reading(NamedTuple):
    """How winds are read: names of variables where they are not found by themselves, and the rest."""

    eastward_wind: str | None
    northward_wind: str | None
    wind_speed: str | None
    air_temperature: str | None
    wind_height_m: float | None
    assumed_steadiness: float | None


class Climate:
    """Mean winds by calendar month on a grid.

    A voyage takes from it what its waters need when it is sailed. Currents are those the voyage names;
    where it names none, the climate's own if it has any, else the package's.
    """

    __slots__ = ("_recipe", "_winds")

    _winds: _offing.Winds
    #: How it is made anew in another process: what makes it, and its arguments.
    _recipe: tuple[Any, ...]

    def __init__(self) -> None:
        raise TypeError("use Climate.embedded(), Climate.open(path) or Climate.from_xarray(ds)")

    @classmethod
    def _made(cls, maker: str, *arguments: Any) -> Climate:
        """The climate of a recipe."""
        climate = cls.__new__(cls)
        climate._winds = getattr(_offing.Winds, maker)(*arguments)
        climate._recipe = (maker, *arguments)
        return climate

    def __reduce__(self) -> tuple[Any, ...]:
        """Arrays are pickled whole; a file is opened where it is unpickled, and must be there."""
        return Climate._made, self._recipe

    @classmethod
    def embedded(cls) -> Climate:
        """The winds that come with the package: means of ships' reports."""
        return cls._made("embedded")

    @classmethod
    def open(
        cls,
        path: str | os.PathLike[str],
        *,
        eastward_wind: str | None = None,
        northward_wind: str | None = None,
        wind_speed: str | None = None,
        air_temperature: str | None = None,
        wind_height_m: float | None = None,
        assumed_steadiness: float | None = None,
    ) -> Climate:
        """The winds of a NetCDF file with twelve monthly fields, or monthly means of several years.

        Only where the package is built with its feature ``netcdf``; else an OffingError says so, and
        :meth:`from_xarray` takes the file as xarray opens it.

        The file is read when a voyage is sailed. The C library that reads it does not survive every
        damaged file, and this process with it: have a stranger's file read by the command line, or by
        xarray, first. ``eastward_wind`` and so on name its variables where they are not found by
        themselves; ``wind_height_m`` is the height of its winds, metres, if not what the file says;
        ``assumed_steadiness`` is the mean wind vector over the mean speed, for a file without a speed.
        """
        reading = Reading(
            eastward_wind,
            northward_wind,
            wind_speed,
            air_temperature,
            wind_height_m,
            assumed_steadiness,
        )
        if not _offing.READS_NETCDF:
            error = _offing.OffingError(
                f"wind climate {path}: this build of the package reads no NetCDF files; use "
                "Climate.from_xarray(xarray.open_dataset(path))"
            )
            error.faults = []
            raise error
        return cls._made("open", Path(path), reading)

    @classmethod
    def from_xarray(
        cls,
        ds: xarray.Dataset,
        *,
        label: str = "xarray dataset",
        eastward_wind: str | None = None,
        northward_wind: str | None = None,
        wind_speed: str | None = None,
        air_temperature: str | None = None,
        wind_height_m: float | None = None,
        assumed_steadiness: float | None = None,
    ) -> Climate:
        """The winds of a dataset with twelve monthly fields.

        It needs the mean wind toward the east and toward the north, by standard name or a usual one (u10,
        uwnd ...) unless named here, each with its ``units``; the mean scalar speed and the air temperature
        are taken where it has them. Every field has the dimensions time, latitude and longitude in any
        order, of shape (12, rows, columns); NaN is no value. Time may be dates, the numbers 1 to 12, or
        without a coordinate. ``label`` is what reports call it. The rest as for :meth:`open`.

        Arrays of 32- or 64-bit floats in this machine's order are not copied: what a voyage's waters need
        is read from them each time it is sailed, so leave them as they are. Chunked arrays are computed
        now, others converted to 64 bits. Flags of what was observed and variances are not taken.
        """
        from ._fields import held_fields

        reading = Reading(
            eastward_wind,
            northward_wind,
            wind_speed,
            air_temperature,
            wind_height_m,
            assumed_steadiness,
        )
        return cls._made("hold", held_fields(ds, label, reading), reading)

    def __repr__(self) -> str:
        _, *arguments = self._recipe
        of = getattr(arguments[0], "label", arguments[0]) if arguments else "embedded"
        return f"<offing.Climate: {of}>"
