"""Voyages made in Python, and how answers look in a notebook."""

import datetime
from html.parser import HTMLParser
from pathlib import Path

import offing
import pytest

GENERIC = {
    "waterline_length_m": 10.2,
    "displacement_kg": 11_000,
    "sail_area_m2": 80,
    "rig": "cutter",
    "keel": "long",
}


def made(**more):
    return offing.Voyage(
        name="To Durban",
        departure=datetime.date(2027, 5, 1),
        boat={"generic": GENERIC},
        routes={
            "Direct": ["Fremantle, Australia", "Durban, South Africa"],
            "North": ["Fremantle, Australia", (-26, 75.5), "Durban, South Africa"],
        },
        **more,
    )


def test_keyword_arguments_are_the_tables_of_a_file():
    voyage = made(handling={"heave_to_kn": 40})
    assert (voyage.name, voyage.departure) == ("To Durban", datetime.date(2027, 5, 1))
    assert voyage.routes == ["Direct", "North"] and voyage.boat_name is None
    assert voyage.waypoints("North")[1] == ("Waypoint 2", -26.0, 75.5)
    found = voyage.compare(members=50).to_dict()
    assert found["voyage"]["boat"]["heave_to_kn"] == 40.0
    assert found["voyage"]["boat"]["generic"]["sail_area_m2"] == 80.0
    assert repr(voyage) == "<offing.Voyage 'To Durban', 2027-05-01, routes: Direct, North>"


def test_another_day_or_one_route_leaves_the_voyage_as_it_is():
    voyage = made()
    later = voyage.leaving("2027-10-01").only("North")
    assert (later.departure, later.routes) == (datetime.date(2027, 10, 1), ["North"])
    assert (voyage.departure, len(voyage.routes)) == (datetime.date(2027, 5, 1), 2)
    with pytest.raises(offing.OffingError, match="^departure: "):
        voyage.leaving("tomorrow")


def test_a_polar_may_be_given_as_text():
    polar = (Path(__file__).parents[2] / "fixtures/demo/cutter-12m.csv").read_text()
    tables = {
        "voyage": {"name": "A voyage", "departure": "2027-05-01"},
        "boat": {"polar": "mine.csv"},
        "route": [
            {
                "name": "Direct",
                "waypoint": [
                    {"name": "From", "position": "30 S, 110 E"},
                    {"name": "To", "position": "28 S, 100 E"},
                ],
            }
        ],
    }
    with pytest.raises(offing.OffingError, match="mine.csv"):
        offing.Voyage.from_dict(tables)
    voyage = offing.Voyage.from_dict(tables, polars={"mine.csv": polar})
    assert voyage.compare(members=50).to_dict()["routes"][0]["ensemble"]["days"]["p50"] > 2


class Cells(HTMLParser):
    """The texts of a table's cells; fails on an element that is not closed."""

    def __init__(self):
        super().__init__()
        self.open, self.texts = [], []

    def handle_starttag(self, tag, _):
        self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.texts.append(data)


@pytest.mark.filterwarnings("ignore::offing.OffingWarning")
def test_a_notebook_shows_a_table_of_each_answer():
    voyage = offing.Voyage.demo()
    boats = {"<b>Petrel</b>": voyage, "Gannet": {"generic": GENERIC}}
    for found in [
        voyage.compare(members=50, swings=False),
        voyage.season(members=50, every_days=31),
        voyage.legs(members=50),
        voyage.stores(members=50),
        voyage.years(members=50),
        voyage.shape(members=50, grid_deg=5),
        offing.rally(boats, voyage, members=50),
    ]:
        cells = Cells()
        cells.feed(found._repr_html_())
        assert not cells.open
        assert any("Trades" in text for text in cells.texts)
        assert any("not a forecast" in text for text in cells.texts)
        assert "<b>" not in found._repr_html_()
        assert found.cautions and "Trades" in repr(found)


def test_a_rally_has_its_boats_in_the_order_to_be_expected():
    pandas = pytest.importorskip("pandas")
    voyage = offing.Voyage.demo()
    small = {**GENERIC, "waterline_length_m": 7.0, "displacement_kg": 4_000, "sail_area_m2": 35}
    boats = {
        "Small": {"boat": {"generic": small}, "handling": {"heave_to_kn": 40}},
        "Large": {"generic": GENERIC},
    }
    found = offing.rally(boats, voyage, members=200)
    frame = found.to_dataframe()
    assert list(frame["route"].unique()) == voyage.routes
    assert len(frame) == 2 * len(voyage.routes)
    for _, of_route in frame.groupby("route"):
        assert list(of_route["order"]) == [1, 2]
        assert of_route["mean_place"].is_monotonic_increasing
        assert of_route["chance_first"].sum() == pytest.approx(1)
        assert (of_route["days_p10"] < of_route["days_p90"]).all()
    assert pandas.api.types.is_datetime64_any_dtype(frame["arrival_p50"])

    # Places are those of the members: counted here anew.
    route = voyage.routes[0]
    days = {name: found.members(route, name)["days"] for name in boats}
    large_first = (days["Large"] < days["Small"]).mean()
    row = frame[(frame.route == route) & (frame.boat == "Large")].iloc[0]
    assert row["chance_first"] == pytest.approx(large_first)
    assert row["mean_place"] == pytest.approx(2 - large_first)

    notes = found.to_dict()["notes"]
    assert any(note.startswith("Small: ") for note in notes)
    with pytest.raises(offing.OffingError, match="has no boat 'Gannet'; its boats: Small, Large"):
        found.members(route, "Gannet")
    with pytest.raises(offing.OffingError, match=r"^boats\[1\]: missing; one of several boats needs a name"):
        offing.rally([made()], voyage)
    with pytest.raises(offing.OffingError, match="^a rally needs boats: found none"):
        offing.rally([], voyage)


def test_names_of_the_package_are_documented():
    for name in offing.__all__:
        documented = getattr(offing, name)
        assert documented.__doc__, name
        for method, found in vars(documented).items():
            if callable(found) and not method.startswith("_"):
                assert found.__doc__, f"{name}.{method}"
