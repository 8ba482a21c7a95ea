"""The voyage file: waypoints, engine, handling; and the header every fixture carries."""

import hashlib
import importlib.metadata
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
VOYAGE = ROOT / "fixtures/demo/fremantle-durban.toml"
POLAR = ROOT / "fixtures/demo/cutter-12m.csv"
CLIMATE = ROOT / "fixtures/climate/ship-winds.nc"
CURRENTS = ROOT / "fixtures/climate/currents.nc"
OUT = ROOT / "fixtures/reference/passage"
PINNED = ("numpy", "scipy", "xarray", "netCDF4", "pyproj")


@dataclass(frozen=True)
class Waypoint:
    latitude_deg: float
    longitude_deg: float
    leg: str


@dataclass(frozen=True)
class Voyage:
    routes: dict[str, list[Waypoint]]
    motor_speed_kn: float
    litres_per_hour: float
    fuel_litres: float
    heave_to_kn: float
    motor_below_kn: float


def degrees(text: str) -> float:
    """`32 03.0 S` to -32.05."""
    whole, minutes, half = re.fullmatch(r"\s*(\d+)\s+([\d.]+)\s+([NSEW])\s*", text).groups()
    value = int(whole) + float(minutes) / 60
    return -value if half in "SW" else value


def read_voyage(path: Path = VOYAGE) -> Voyage:
    doc = tomllib.loads(path.read_text())
    routes = {}
    for route in doc["route"]:
        routes[route["name"]] = [
            Waypoint(*map(degrees, w["position"].split(",")), w.get("leg", "great-circle"))
            for w in route["waypoint"]
        ]
    engine, handling = doc["boat"]["engine"], doc["handling"]
    return Voyage(
        routes,
        engine["motor_speed_kn"],
        engine["litres_per_hour"],
        engine["fuel_litres"],
        handling["heave_to_kn"],
        handling["motor_below_kn"],
    )


def header(what: str, script: str, *notes: str, inputs: tuple[Path, ...] = ()) -> str:
    """Comment lines: what, command, versions, inputs by SHA-256, then the notes."""
    versions = ", ".join(f"{p} {importlib.metadata.version(p)}" for p in PINNED)
    lines = [what, f"command: python scripts/reference/{script}", f"versions: {versions}"]
    for path in inputs:
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
        lines.append(f"input: {path.name} sha256 {digest[:16]}")
    return "".join(f"# {line}\n" for line in (*lines, *notes))
