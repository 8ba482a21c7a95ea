"""What the tests share: winds of their own, and the command line to compare with."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest

#: Few passages: what is compared is compared bit for bit.
MEMBERS = 60

VOYAGE = """\
[voyage]
name = "Across"
departure = 2027-05-01

[boat]
name = "a cutter"
polar = "cutter-12m.csv"

[climate]
file = "winds.nc"

[[route]]
name = "Direct"
waypoint = [
    { name = "Start", position = "30 S, 110 E" },
    { name = "End", position = "28 S, 60 E" },
]

[[route]]
name = "North"
waypoint = [
    { name = "Start", position = "30 S, 110 E" },
    { name = "Corner", position = "22 S, 85 E" },
    { name = "End", position = "28 S, 60 E" },
]
"""


@pytest.fixture(scope="session")
def offing_cli():
    """Runs the command line and gives what it prints; its path is in the environment."""
    program = os.environ.get("OFFING")
    if program is None:
        pytest.fail("set OFFING to the path of the program `offing`, as scripts/test-python does")

    def run(*arguments, code=0, cwd=None):
        ended = subprocess.run(
            [program, *map(str, arguments)], cwd=cwd, capture_output=True, text=True
        )
        assert ended.returncode == code, ended.stderr
        return ended.stdout if code == 0 else ended.stderr

    return run


@pytest.fixture(scope="session")
def cli_json(offing_cli):
    """The same, with --json, read."""
    return lambda *arguments, cwd=None: json.loads(
        offing_cli(*arguments, "--json", "--members", MEMBERS, cwd=cwd)
    )


@pytest.fixture(scope="session")
def dataset():
    """Twelve months of made-up winds over the southern Indian Ocean, single precision."""
    np = pytest.importorskip("numpy")
    xarray = pytest.importorskip("xarray")
    latitudes = np.arange(-50.0, -9.0, 2.5)
    longitudes = np.arange(40.0, 131.0, 2.5)
    month = np.arange(12).reshape(-1, 1, 1)
    latitude = latitudes.reshape(1, -1, 1)
    longitude = longitudes.reshape(1, 1, -1)
    u = 5 * np.cos((latitude + 30) / 8) - 4 + np.cos(month / 2) + longitude / 100
    v = 2 * np.sin(longitude / 15) + 0.1 * month + latitude / 50
    dims = ("time", "lat", "lon")
    metres = {"units": "m s-1"}
    return xarray.Dataset(
        {
            "u10": (dims, (u + 0 * longitude).astype("f4"), metres),
            "v10": (dims, v.astype("f4"), metres),
            "wspd": (dims, (np.hypot(u, v) * 1.1 + 3).astype("f4"), metres),
        },
        coords={
            "time": ("time", np.arange(1, 13), {"long_name": "month"}),
            "lat": ("lat", latitudes, {"units": "degrees_north"}),
            "lon": ("lon", longitudes, {"units": "degrees_east"}),
        },
    )


@pytest.fixture
def folder(tmp_path: Path, dataset):
    """A folder with a voyage file, a polar and a file of those winds."""
    (tmp_path / "voyage.toml").write_text(VOYAGE)
    polar = Path(__file__).parents[2] / "fixtures/demo/cutter-12m.csv"
    (tmp_path / "cutter-12m.csv").write_bytes(polar.read_bytes())
    dataset.to_netcdf(tmp_path / "winds.nc")
    return tmp_path
