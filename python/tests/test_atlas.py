"""Passages between many ports: alike on one machine and over Dask's workers, and what goes wrong."""

import os
import signal
import sys
import threading
import time

import offing
import pytest

pandas = pytest.importorskip("pandas")
pytest.importorskip("pyarrow")
distributed = pytest.importorskip("dask.distributed")

BOAT = {
    "generic": {
        "waterline_length_m": 10.2,
        "displacement_kg": 11_000,
        "sail_area_m2": 80,
        "rig": "cutter",
        "keel": "long",
    }
}
FREMANTLE, DURBAN = "Fremantle, Australia", "Durban, South Africa"
PORTS = [FREMANTLE, DURBAN, "Port Louis, Mauritius", ("Off Cocos", -12.3, 96.7)]
DAYS = ["2027-05-01", "2027-11-01"]
BOTH = ("great circle", "shaped")
INLAND = ("Inland", -25.0, 130.0)


def small(origins=PORTS, destinations=PORTS, departures=DAYS, **options):
    options = {"members": 16, "ways": "great circle", "grid_deg": 2.0, **options}
    return offing.atlas(origins, destinations, departures, {"Petrel": BOAT}, **options)


def same(found, expected):
    pandas.testing.assert_frame_equal(found, expected, check_exact=True)


def refused(**options):
    with pytest.raises(offing.OffingError) as raised:
        small(**options)
    return raised.value


@pytest.fixture(scope="module")
def alone():
    """The atlas of one process."""
    return small(ways=BOTH)


@pytest.fixture(scope="module")
def client():
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        yield client


def test_every_pair_has_a_row_and_is_what_compare_and_shape_say(alone):
    assert len(alone) == 4 * 3 * 2 * 2 and alone["problem"].isna().all()
    assert (alone["days_p10"] <= alone["days_p90"]).all()
    voyage = offing.Voyage(
        departure=DAYS[0], boat=BOAT, routes={"great circle": [FREMANTLE, DURBAN]}
    )
    by_pair = alone.set_index(["origin", "destination", "departure", "way"]).sort_index()
    row = by_pair.loc[(FREMANTLE, DURBAN, DAYS[0])]
    compared = voyage.compare(members=16, swings=False).to_dict()["routes"][0]
    great_circle = row.loc["great circle"]
    assert great_circle["days_p50"] == compared["ensemble"]["days"]["p50"]
    assert great_circle["expected_days"] == compared["expected"]["days"]
    assert great_circle["gale"] == compared["ensemble"]["exposure"]["gale"]
    shaped = voyage.shape(members=16, grid_deg=2.0).to_dict()["routes"][-1]
    # Searched for in one box of sea with the other ports, so that tables and corners differ a little.
    assert row.loc["shaped", "expected_days"] == pytest.approx(shaped["expected"]["days"], rel=0.01)


def test_a_course_to_one_port_alone_is_that_of_shape_bit_for_bit():
    ends = [("Off Recife", -8.1, -34.5), ("Off Cape Town", -33.9, 18.0)]
    found = small(ends[:1], ends[1:], DAYS[:1], ways="shaped")
    voyage = offing.Voyage(
        departure=DAYS[0], boat=BOAT, routes={"Straight": [end[1:] for end in ends]}
    )
    shaped = voyage.shape(members=16, grid_deg=2.0).to_dict()["routes"][-1]
    assert found["expected_days"][0] == shaped["expected"]["days"]
    assert found["distance_nm"][0] == shaped["distance_nm"]


def test_a_route_drawn_is_sailed_between_its_ports():
    found = small(
        [FREMANTLE], [DURBAN], DAYS[:1], ways=["drawn"], drawn={(FREMANTLE, DURBAN): [(-25, 80)]}
    )
    line = [FREMANTLE, (-25, 80), DURBAN]
    voyage = offing.Voyage(departure=DAYS[0], boat=BOAT, routes={"drawn": line})
    compared = voyage.compare(members=16, swings=False).to_dict()["routes"][0]
    assert found["days_p50"].tolist() == [compared["ensemble"]["days"]["p50"]]
    lacking = small([FREMANTLE], PORTS[1:3], DAYS[:1], ways=["great circle", "drawn"])
    assert lacking["problem"].notna().tolist() == [False, True] * 2
    assert "no route is drawn" in lacking["problem"][1]


def test_two_workers_give_the_same_numbers(alone, client):
    same(small(client=client, ways=BOTH), alone)


def test_a_worker_killed_half_way_changes_nothing(alone, client, tmp_path):
    alone = alone[alone["way"] == "great circle"].reset_index(drop=True)
    workers = client.run(os.getpid)
    killed = []

    def kill():
        while not list(tmp_path.glob("*.parquet")):
            time.sleep(0.01)
        address, pid = next(iter(workers.items()))
        killed.append(len(list(tmp_path.glob("*.parquet"))))
        os.kill(pid, signal.SIGKILL)

    killing = threading.Thread(target=kill)
    killing.start()
    found = small(client=client, folder=tmp_path)
    killing.join()
    same(found, alone)
    assert killed and killed[0] < 4
    files = sorted(tmp_path.iterdir())
    assert [file.name for file in files] == [
        "0001-fremantle.parquet",
        "0002-durban.parquet",
        "0003-port-louis.parquet",
        "0004-off-cocos.parquet",
    ]

    # Asked again, what is there is not done again; what is not, is.
    files[1].unlink()
    written = [file.stat().st_mtime_ns for file in files if file.exists()]
    same(small(folder=tmp_path), alone)
    assert [file.stat().st_mtime_ns for i, file in enumerate(files) if i != 1] == written

    error = refused(folder=tmp_path, seed=2)
    assert isinstance(error, offing.AtlasError)
    assert "0001-fremantle.parquet: is a part of another atlas" in str(error)


def test_parts_of_some_days_are_the_same_passages(tmp_path):
    ports = PORTS[:2]
    found = small(ports, ports, folder=tmp_path, departures_a_part=1)
    assert len(list(tmp_path.iterdir())) == 4
    same(found, small(ports, ports))


def test_one_port_on_land_does_not_lose_the_others():
    found = small([FREMANTLE], [DURBAN, INLAND], DAYS[:1], ways=BOTH)
    problems = found.set_index(["destination", "way"])["problem"]
    assert problems["Durban, South Africa"].isna().all()
    assert problems["Inland"].str.contains("the end of the passage, 25°00.0'S").all()
    error = refused(origins=[FREMANTLE], destinations=[DURBAN, INLAND], strict=True)
    assert "2 of 4 passages have a problem" in str(error) and "to Inland on 2027-05-01" in str(error)
    error = refused(origins=[INLAND], destinations=[DURBAN])
    assert isinstance(error, offing.AtlasError) and "is on land" in str(error)


def test_a_gap_in_the_winds_is_named_where_it_is_met(dataset):
    climate = offing.Climate.from_xarray(dataset)
    found = small([FREMANTLE], [DURBAN, PORTS[2]], DAYS[:1], climate=climate, ways=BOTH)
    by_port = found.set_index(["destination", "way"])["problem"]
    # The winds begin at 40 E.
    assert by_port["Durban, South Africa"].notna().all()
    assert by_port["Port Louis, Mauritius"].isna().all()


def test_parts_that_fail_are_named_beside_those_kept(monkeypatch, tmp_path):
    sail_part = offing._atlas.sail_part

    def fails(chunk, climate):
        if "durban" in chunk.name:
            raise OSError("no space left")
        return sail_part(chunk, climate)

    monkeypatch.setattr(offing._atlas, "sail_part", fails)
    error = refused(folder=tmp_path)
    assert "1 of 4 parts of the atlas failed, the first of them 0002-durban: no space" in str(error)
    assert list(error.failed) == ["0002-durban"] and len(error.done) == 3
    assert sorted(error.done) == sorted(map(str, tmp_path.iterdir()))


def test_a_worker_without_the_package_is_named(client):
    def take_away():
        sys.offing_before = sys.modules.get("offing")
        sys.modules["offing"] = None

    def give_back():
        del sys.modules["offing"]
        if sys.offing_before is not None:
            sys.modules["offing"] = sys.offing_before

    client.run(take_away)
    try:
        assert "the package offing is not installed there" in str(refused(client=client))
    finally:
        client.run(give_back)


@pytest.mark.parametrize(
    "options, words",
    [
        ({"origins": ["Fremantel, Australia"]}, "origins[1]: no port 'Fremantel, Australia' is known"),
        ({"origins": [FREMANTLE, FREMANTLE]}, "origins: 'Fremantle, Australia' is there twice"),
        ({"destinations": [("Off", 100, 0)]}, "Off: "),
        ({"destinations": [3]}, "destinations[1]: found 3"),
        ({"departures": ["1 May"]}, "departures: found '1 May'"),
        ({"ways": ["rhumb"]}, "ways: found 'rhumb'; allowed: drawn, great circle, shaped"),
        ({"members": 1}, "members"),
        ({"drawn": {("A", "B"): []}}, "drawn: ('A', 'B') is not a pair"),
    ],
)
def test_what_is_asked_wrongly_is_refused(options, words):
    assert words in str(refused(**options))
