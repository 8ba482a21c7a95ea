"""The package's numbers are the command line's, bit for bit."""

import json
import pickle
import subprocess
import sys

import numpy as np
import offing
import pytest
from conftest import MEMBERS, VOYAGE
from offing import _offing


@pytest.fixture(scope="module")
def demo():
    return offing.Voyage.demo()


@pytest.mark.parametrize("seed", [1, 7])
def test_compare(demo, cli_json, seed):
    found = demo.compare(members=MEMBERS, seed=seed)
    assert found.to_dict() == cli_json("compare", "--seed", seed)


def test_compare_prints_the_same_text(demo, offing_cli):
    found = demo.compare(members=MEMBERS)
    assert found.to_json() == offing_cli("compare", "--json", "--members", MEMBERS)


def test_compare_in_a_real_year(demo, cli_json):
    found = demo.compare(members=MEMBERS, real_year=1987)
    assert found.to_dict() == cli_json("compare", "--real-year", 1987)


def test_season(demo, cli_json):
    found = demo.season(members=MEMBERS, every_days=30)
    assert found.to_dict() == cli_json("season", "--every", 30)


def test_legs(demo, cli_json):
    found = demo.legs(members=MEMBERS, by="5deg")
    assert found.to_dict() == cli_json("legs", "--by", "5deg")


def test_stores(demo, cli_json):
    found = demo.stores(members=MEMBERS, confidence_percent=80)
    assert found.to_dict() == cli_json("stores", "--confidence", 80)


def test_years(demo, cli_json):
    assert demo.years(members=MEMBERS).to_dict() == cli_json("years")


def test_shape(demo, cli_json):
    found = demo.shape(members=MEMBERS, grid_deg=4, not_south_of=-34, off_land_nm=5)
    printed = cli_json("shape", "--grid", 4, "--not-south-of", "34S", "--off-land", 5)
    assert found.to_dict() == printed
    assert found.corners[0] == demo.waypoints("Trades")[0][1:]


def test_a_voyage_file_and_a_dict_of_it(folder, cli_json, monkeypatch):
    tomllib = pytest.importorskip("tomllib")
    text = VOYAGE.replace('[climate]\nfile = "winds.nc"\n', "")
    (folder / "voyage.toml").write_text(text)
    printed = cli_json("compare", "voyage.toml", cwd=folder)
    # The polar is looked for in the folder, by the program and here.
    monkeypatch.chdir(folder)
    assert offing.Voyage("voyage.toml").compare(members=MEMBERS).to_dict() == printed
    tables = tomllib.loads(text)
    assert offing.Voyage.from_dict(tables).compare(members=MEMBERS).to_dict() == printed
    voyage = offing.Voyage(
        name="Across",
        departure="2027-05-01",
        boat=tables["boat"],
        routes=tables["route"],
    )
    assert voyage.compare(members=MEMBERS).to_dict() == printed


def test_winds_of_a_dataset_are_those_of_its_file(folder, dataset, cli_json, monkeypatch):
    monkeypatch.chdir(folder)
    printed = cli_json("compare", "voyage.toml", cwd=folder)
    voyage = offing.Voyage("voyage.toml")
    for turned in [
        dataset,
        dataset.transpose("lon", "time", "lat"),
        dataset.isel(lat=slice(None, None, -1)),
        dataset.astype("f8"),
        dataset.roll(time=5, roll_coords=True),
        dataset.expand_dims(height=[10.0]),
    ]:
        climate = offing.Climate.from_xarray(turned, label="winds.nc")
        assert voyage.compare(climate, members=MEMBERS).to_dict() == printed
    shaped = voyage.shape(
        offing.Climate.from_xarray(dataset, label="winds.nc"), members=MEMBERS, grid_deg=5
    )
    assert shaped.to_dict() == cli_json("shape", "voyage.toml", "--grid", 5, cwd=folder)


def test_dates_are_told_as_those_of_a_file_are(folder, dataset, cli_json, monkeypatch):
    monkeypatch.chdir(folder)
    middles = np.array([f"2001-{month:02}-16" for month in range(1, 13)], dtype="datetime64[ns]")
    ends = np.array([f"2001-{month:02}-01" for month in range(2, 13)] + ["2002-01-01"])
    for stamps in [middles, ends.astype("datetime64[ns]")]:
        dated = dataset.assign_coords(time=stamps)
        dated.to_netcdf(folder / "winds.nc")
        climate = offing.Climate.from_xarray(dated, label="winds.nc")
        found = offing.Voyage("voyage.toml").compare(climate, members=MEMBERS)
        assert found.to_dict() == cli_json("compare", "voyage.toml", cwd=folder)


def test_arrays_are_read_where_they_lie(folder, dataset):
    voyage = offing.Voyage(folder / "voyage.toml")
    own = dataset.copy(deep=True)
    climate = offing.Climate.from_xarray(own)
    before = voyage.compare(climate, members=MEMBERS, swings=False).to_dict()
    own["u10"].values *= 0.5
    after = voyage.compare(climate, members=MEMBERS, swings=False).to_dict()
    assert before["routes"][0]["ensemble"]["days"] != after["routes"][0]["ensemble"]["days"]


def test_a_climate_of_ones_own_and_the_packages(folder, dataset, cli_json, monkeypatch):
    monkeypatch.chdir(folder)
    voyage, own = offing.Voyage("voyage.toml"), offing.Climate.from_xarray(dataset, label="winds.nc")
    other = voyage.compare(offing.Climate.embedded(), members=MEMBERS).to_dict()
    assert other["voyage"]["winds"]["own_file"] is False
    second = voyage.compare(own, members=MEMBERS, also=offing.Climate.embedded()).to_dict()
    assert second["voyage"]["winds"]["own_file"] is True
    assert second == cli_json("compare", "voyage.toml", "--also", "built-in", cwd=folder)


def test_a_file_is_read_only_by_a_package_built_for_it(folder, cli_json, monkeypatch):
    monkeypatch.chdir(folder)
    voyage = offing.Voyage("voyage.toml")
    if _offing.READS_NETCDF:
        printed = cli_json("compare", "voyage.toml", cwd=folder)
        assert voyage.compare(members=MEMBERS).to_dict() == printed
        climate = offing.Climate.open("winds.nc")
        assert voyage.compare(climate, members=MEMBERS).to_dict() == printed
        return
    with pytest.raises(offing.OffingError, match="winds.nc: cannot be read: this program was built"):
        voyage.compare(members=MEMBERS)
    with pytest.raises(offing.OffingError, match=r"winds.nc: .* use Climate.from_xarray"):
        offing.Climate.open("winds.nc")


def test_voyages_and_climates_go_to_other_processes(folder, dataset, monkeypatch):
    monkeypatch.chdir(folder)
    climate = offing.Climate.from_xarray(dataset, label="mine")
    voyage = offing.Voyage("voyage.toml").leaving("2027-09-01").only("North")
    here = voyage.compare(climate, members=MEMBERS).to_json()
    # A process of its own, in another folder: nothing is shared but the pickle and the files.
    asks = (
        "import pickle, sys\n"
        "voyage, climate = pickle.load(sys.stdin.buffer)\n"
        f"sys.stdout.write(voyage.compare(climate, members={MEMBERS}).to_json())\n"
    )
    there = subprocess.run(
        [sys.executable, "-c", asks],
        input=pickle.dumps((voyage, climate)),
        stdout=subprocess.PIPE,
        check=True,
        cwd=folder.parent,
    )
    assert there.stdout.decode() == here
    for made in [offing.Voyage.demo(), offing.Climate.embedded()]:
        assert repr(pickle.loads(pickle.dumps(made))) == repr(made)
    assert repr(climate) == "<offing.Climate: mine>"


def test_members_are_those_of_the_percentiles(demo):
    found = demo.compare(members=500, swings=False)
    for route in found.to_dict()["routes"]:
        arrays = found.members(route["name"])
        days = route["ensemble"]["days"]
        assert arrays["days"].shape == (500,)
        for share, name in [(0.1, "p10"), (0.5, "p50"), (0.9, "p90")]:
            assert np.quantile(arrays["days"], share) == pytest.approx(days[name], rel=1e-12)
        assert arrays["ran_dry"].dtype == bool
        assert arrays["ran_dry"].mean() == route["ensemble"]["chance"]["dry_tanks"]
        hours = route["ensemble"]["exposure_hours"]["under_power"]["mean"]
        assert arrays["under_power_hours"].mean() == pytest.approx(hours, rel=1e-12)
        assert 0.5 <= arrays["boat_factor"].min() < 1 < arrays["boat_factor"].max() <= 1.5
    season = demo.season(members=50, every_days=31)
    table = season.to_dict()["departures"]
    days = season.days("Trades")
    assert days.shape == (len(table), 50) and season.departures[0] == "2027-05-01"
    medians = [departure["routes"][0]["ensemble"]["days"]["p50"] for departure in table]
    assert np.median(days, axis=1) == pytest.approx(medians, rel=1e-12)


def test_data_frames_are_the_csv(demo, offing_cli, tmp_path):
    pandas = pytest.importorskip("pandas")
    for command, found in [
        ("compare", demo.compare(members=MEMBERS)),
        ("season", demo.season(members=MEMBERS)),
        ("legs", demo.legs(members=MEMBERS)),
        ("stores", demo.stores(members=MEMBERS)),
        ("years", demo.years(members=MEMBERS)),
    ]:
        file = tmp_path / f"{command}.csv"
        offing_cli(command, "--csv", file, "--members", MEMBERS)
        written = pandas.read_csv(file, keep_default_na=False, na_values=[""])
        frame = found.to_dataframe()
        assert list(frame.columns) == list(written.columns)
        if command == "season":
            assert frame["departure"].dt.strftime("%Y-%m-%d").tolist() == list(written["departure"])
        else:
            pandas.testing.assert_frame_equal(frame, written)
        json.dumps(found.to_dict())
