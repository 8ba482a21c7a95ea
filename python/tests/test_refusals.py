"""Bad input is an exception that says what and where, in the words of the command line."""

import warnings

import numpy as np
import offing
import pytest
from conftest import MEMBERS, VOYAGE


def said_by(program, *arguments, cwd):
    """What the command line says of an error, without its first word."""
    return program(*arguments, code=2, cwd=cwd).removeprefix("error: ").strip()


@pytest.fixture
def voyage(folder, monkeypatch):
    monkeypatch.chdir(folder)
    return offing.Voyage("voyage.toml")


@pytest.fixture
def climate(dataset):
    return offing.Climate.from_xarray(dataset)


def refused(ask, *arguments, **options):
    with pytest.raises(offing.OffingError) as raised:
        ask(*arguments, **options)
    assert isinstance(raised.value, ValueError)
    return str(raised.value)


@pytest.mark.parametrize(
    "old, new",
    [
        ('polar = "cutter-12m.csv"', 'polar = "sloop.csv"'),
        ('name = "a cutter"', "nmae = 1"),
        ("departure = 2027-05-01", "departure = 1827-05-01"),
        ('"30 S, 110 E"', '"30 S, 200 E"'),
        ("[voyage]", "[voyage"),
    ],
)
def test_a_voyage_file_is_refused_as_on_the_command_line(folder, offing_cli, monkeypatch, old, new):
    monkeypatch.chdir(folder)
    (folder / "voyage.toml").write_text(VOYAGE.replace(old, new, 1))
    words = refused(offing.Voyage, "voyage.toml")
    assert words == said_by(offing_cli, "check", "voyage.toml", cwd=folder)


def test_faults_have_key_and_line(folder, monkeypatch):
    tomllib = pytest.importorskip("tomllib")
    monkeypatch.chdir(folder)
    text = VOYAGE.replace("name = \"a cutter\"", "nmae = 1\nfactr = 2")
    (folder / "voyage.toml").write_text(text)
    with pytest.raises(offing.OffingError) as raised:
        offing.Voyage("voyage.toml")
    faults = raised.value.faults
    assert [(fault["key"], fault["line"]) for fault in faults] == [
        ("boat.nmae", 6),
        ("boat.factr", 7),
    ]
    assert faults[1]["hint"] == "did you mean `factor`?"
    with pytest.raises(offing.OffingError) as raised:
        offing.Voyage.from_dict(tomllib.loads(text))
    assert [(fault["key"], fault["line"]) for fault in raised.value.faults] == [
        ("boat.nmae", None),
        ("boat.factr", None),
    ]
    # A dict has no lines: the message is the same but for them.
    assert str(raised.value).startswith("boat.nmae: unknown key; allowed: name, polar")


def test_what_no_voyage_file_holds_is_refused_with_its_place():
    with pytest.raises(TypeError, match=r"^boat\.name: a value is of type object; allowed: a dict"):
        offing.Voyage(departure="2027-05-01", boat={"name": object()}, routes=[])
    with pytest.raises(TypeError, match="a path|keyword arguments, not both"):
        offing.Voyage("voyage.toml", departure="2027-05-01")
    words = refused(offing.Voyage)
    assert "voyage.departure: missing" in words and "boat: missing" in words
    with pytest.raises(TypeError, match="allowed: an offing.Climate"):
        offing.Voyage.demo().compare({"u": 1})


def test_options_out_of_range(voyage, climate):
    assert refused(voyage.compare, members=1) == (
        "members: number of members is 1; allowed: 10 to 1000000"
    )
    assert refused(voyage.compare, persistence=0.0).startswith("persistence: correlation time is 0")
    assert refused(voyage.season, every_days=60).startswith("every_days: ")
    assert refused(voyage.shape, off_land_nm=-1.0).startswith("off_land_nm: distance off land is -1")
    assert refused(voyage.shape, trade_off="rain").startswith("trade_off: found 'rain'; allowed: head")
    assert refused(voyage.legs, by="week").startswith("by: allowed: day, whole degrees")
    assert refused(voyage.only, "South") == (
        "the voyage has no route 'South'; its routes: Direct, North"
    )
    found = voyage.compare(climate, members=MEMBERS, swings=False)
    assert refused(found.members, "South") == (
        "the answer has no route 'South'; its routes: Direct, North"
    )
    assert "crew: missing" in refused(voyage.stores, climate)


def test_a_dataset_without_winds(dataset):
    words = refused(offing.Climate.from_xarray, dataset.drop_vars(["u10", "v10"]))
    assert words.startswith("wind climate xarray dataset: has no eastward wind: no variable has")
    assert words.endswith("the file has: wspd")
    words = refused(offing.Climate.from_xarray, dataset, northward_wind="v100")
    assert "has no variable 'v100', named for northward wind; it has: u10, v10, wspd" in words
    with pytest.raises(TypeError, match="allowed: an xarray.Dataset"):
        offing.Climate.from_xarray(dataset["u10"])


def test_wrong_units_are_refused_as_in_a_file(voyage, folder, dataset, offing_cli):
    for units in [None, "K", "furlongs"]:
        wrong = dataset.copy()
        wrong["v10"] = wrong["v10"].copy()
        wrong["v10"].attrs = {} if units is None else {"units": units}
        wrong.to_netcdf(folder / "winds.nc")
        words = refused(voyage.compare, offing.Climate.from_xarray(wrong, label="winds.nc"))
        assert "variable 'v10' has " in words and "allowed: m s-1, knots or km h-1" in words
        assert words == said_by(offing_cli, "compare", "voyage.toml", cwd=folder)


def test_no_values_over_the_route(voyage, folder, dataset, offing_cli):
    hole = dataset.where(~((dataset.lat < -20) & (dataset.lon > 80) & (dataset.lon < 95)))
    hole.to_netcdf(folder / "winds.nc")
    words = refused(voyage.compare, offing.Climate.from_xarray(hole, label="winds.nc"))
    assert words.startswith("route 'Direct', ") and "nm from its start: no wind data around 31°" in words
    assert " in April; " in words
    assert words == said_by(offing_cli, "compare", "voyage.toml", cwd=folder)


def test_fields_that_are_no_twelve_months(voyage, dataset):
    words = refused(voyage.compare, offing.Climate.from_xarray(dataset.isel(time=slice(6))))
    assert "variable 'u10' has 6 time step(s); expected 12, one for each month" in words
    twice = dataset.assign_coords(time=[1, *range(1, 12)])
    words = refused(voyage.compare, offing.Climate.from_xarray(twice))
    assert "puts steps 1 and 2 both in January" in words
    words = refused(offing.Climate.from_xarray, dataset.isel(time=0, drop=True))
    assert "variable 'u10' has dimensions (lat = 17, lon = 37); expected latitude" in words
    words = refused(offing.Climate.from_xarray, dataset.expand_dims(member=3))
    assert "no other dimension longer than 1" in words
    packed = dataset.copy()
    packed["u10"] = packed["u10"].assign_attrs(scale_factor=0.01)
    assert "decode them first" in refused(offing.Climate.from_xarray, packed)
    mixed = dataset.copy()
    mixed["v10"] = mixed["v10"].isel(lon=0, drop=True)
    assert "variable 'v10' is on the grid (time = 12, lat = 17)" in refused(
        offing.Climate.from_xarray, mixed
    )
    wild = dataset.copy(deep=True)
    wild["u10"].values[4, 8, 20] = np.inf
    words = refused(voyage.compare, offing.Climate.from_xarray(wild))
    assert "variable 'u10' is inf m/s in May at 30°00.0'S 090°00.0'E" in words


def test_a_route_over_land_warns_or_is_refused(folder, climate, monkeypatch, offing_cli):
    monkeypatch.chdir(folder)
    over = VOYAGE.replace("30 S, 110 E", "24 S, 50 E").replace("28 S, 60 E", "24 S, 42 E")
    over = over[: over.index('[[route]]\nname = "North"')]
    (folder / "voyage.toml").write_text(over)
    voyage = offing.Voyage("voyage.toml")
    with pytest.warns(offing.OffingWarning, match="^route 'Direct' crosses land once"):
        voyage.compare(climate, members=MEMBERS)
    words = refused(voyage.compare, climate, members=MEMBERS, strict=True)
    assert words.startswith("land in the way:\n  route 'Direct', leg 1 from Start to End, crosses")
    said = offing_cli("compare", "voyage.toml", "--strict", code=2, cwd=folder)
    assert said.startswith(f"error: {words}")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        offing.Voyage.demo().compare(members=MEMBERS, swings=False)


def test_a_port_on_land(voyage, climate):
    # Kalgoorlie, 300 km from the sea, from memory.
    words = refused(voyage.shape, climate, start=(-30.7, 121.5), end=(-28.0, 60.0))
    assert words.startswith("the start of the passage, 30°42.0'S 121°30.0'E, is on land")
