# %% [markdown]
# # A small atlas: twelve ports, four seasons
#
# How many days from each port of the Atlantic to each other, leaving in January, April, July or October, shared out over two
# worker processes of this machine. On a cluster, give the `Client` of its scheduler instead.

# %%
import offing
import pandas as pd

PORTS = [
    ("Off Halifax", 44.3, -63.3),
    ("Off Bermuda", 32.6, -64.5),
    ("Off Barbados", 13.1, -59.2),
    ("Off Recife", -8.1, -34.5),
    ("Off Rio de Janeiro", -23.3, -43.0),
    ("Off Tristan da Cunha", -37.2, -12.0),
    ("Off Cape Town", -33.9, 18.0),
    ("Off Saint Helena", -15.8, -5.9),
    ("Off Mindelo", 17.1, -25.4),
    ("Off Las Palmas", 28.5, -15.2),
    ("Off Horta", 38.4, -29.0),
    ("Off Falmouth", 49.9, -5.2),
]
SEASONS = ["2027-01-15", "2027-04-15", "2027-07-15", "2027-10-15"]
BOAT = {
    "generic": {
        "waterline_length_m": 10.2,
        "displacement_kg": 11_000,
        "sail_area_m2": 80,
        "rig": "cutter",
        "keel": "long",
    }
}


# %% [markdown]
# Worker processes are started anew and read this file first: what starts them stands in a function, and is
# called from the notebook alone. `folder` would keep each origin's rows in a file, so that a run that was
# broken off goes on where it was. `ways=("great circle", "shaped")` would look for the fastest course too,
# which round a continent is the only one: great circles over land are none to sail.


# %%
def make_atlas() -> pd.DataFrame:
    from dask.distributed import Client, LocalCluster

    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):
        return offing.atlas(PORTS, PORTS, SEASONS, {"a cutter": BOAT}, members=40, client=client)


# %% [markdown]
# ## A matrix of passage times
#
# The median of the days, by origin and destination; left blank where the great circle crosses land.


# %%
def draw(atlas: pd.DataFrame) -> None:
    import matplotlib.pyplot as plt

    names = atlas["origin"].unique()
    sailed = atlas[atlas["over_land_nm"] == 0]
    figure, places = plt.subplots(2, 2, figsize=(11, 10), layout="constrained", sharey=True)
    most = sailed["days_p50"].max()
    for axes, (day, of_day) in zip(places.flat, sailed.groupby("departure"), strict=True):
        days = of_day.pivot(index="origin", columns="destination", values="days_p50")
        days = days.reindex(index=names, columns=names)
        shown = axes.imshow(days, vmin=0, vmax=most, cmap="cividis")
        for (row, column), value in [
            ((row, column), days.iat[row, column])
            for row in range(len(names))
            for column in range(len(names))
        ]:
            if pd.notna(value):
                colour = "white" if value < 0.6 * most else "black"
                axes.text(column, row, f"{value:.0f}", ha="center", va="center", color=colour)
        labels = [name.split(",")[0] for name in names]
        axes.set_xticks(range(len(names)), labels, rotation=60, ha="right")
        axes.set_yticks(range(len(names)), labels)
        axes.set_title(f"Leaving {day:%-d %B}: days, median")
    figure.colorbar(shown, ax=places, label="days", shrink=0.6)
    figure.savefig("atlas.png", dpi=120)


# %%
if __name__ == "__main__":
    atlas = make_atlas()
    print(f"{len(atlas)} passages, {int((atlas['over_land_nm'] == 0).sum())} of them clear of land")
    print(atlas.groupby("departure")[["days_p10", "days_p50", "days_p90"]].median().to_string())
    draw(atlas)
    print("A planning aid from averages, not a forecast. The skipper decides.")
