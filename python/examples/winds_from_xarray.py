# %% [markdown]
# # Two routes through winds from xarray
#
# The winds are whatever an xarray dataset holds: twelve monthly means of the wind toward the east and the
# north, and of its speed. Here they are made up, so that this runs anywhere; a file of one's own is
# `xarray.open_dataset("winds.nc")`.

# %%
import numpy as np
import xarray

latitude = xarray.DataArray(np.arange(-50.0, -9.0, 2.5), dims="latitude")
longitude = xarray.DataArray(np.arange(20.0, 131.0, 2.5), dims="longitude")
month = xarray.DataArray(np.arange(1, 13), dims="month")

# Trade winds north of 30 degrees south, westerlies south of it; both move with the sun.
sun = 5 * np.cos(2 * np.pi * (month - 1) / 12)
belt = np.tanh((latitude + 30 + sun) / 6)
u = (-1.5 - 6 * belt + 0 * longitude).assign_attrs(units="m s-1")
v = (2.0 + 1.0 * belt + 0 * longitude).assign_attrs(units="m s-1")
speed = (np.hypot(u, v) + 2.5).assign_attrs(units="m s-1")
winds = xarray.Dataset(
    {"u10": u, "v10": v, "wind_speed": speed},
    coords={"latitude": latitude, "longitude": longitude, "month": month},
    attrs={"title": "made-up winds"},
)

# %% [markdown]
# ## Two routes
#
# Ports go by name and country, places between by latitude and longitude.

# %%
import offing

voyage = offing.Voyage(
    name="Fremantle to Durban",
    departure="2027-05-01",
    boat={
        "name": "an invented cutter",
        "generic": {
            "waterline_length_m": 10.2,
            "displacement_kg": 11_000,
            "sail_area_m2": 80,
            "rig": "cutter",
            "keel": "long",
        },
    },
    routes={
        "Direct": ["Fremantle, Australia", "Durban, South Africa"],
        "By the trades": [
            "Fremantle, Australia",
            (-25.0, 100.0),
            (-25.0, 60.0),
            "Durban, South Africa",
        ],
    },
)
climate = offing.Climate.from_xarray(winds)
answer = voyage.compare(climate, members=1000)
answer

# %%
frame = answer.to_dataframe()
print(frame.set_index("route").filter(like="days_p").T.to_string())

# %% [markdown]
# ## The spread of days
#
# Every simulated passage by itself, from NumPy arrays.

# %%
import matplotlib.pyplot as plt

figure, axes = plt.subplots(figsize=(7, 4), layout="constrained")
for route, style in zip(voyage.routes, ["-", "--"], strict=True):
    days = np.sort(answer.members(route)["days"])
    share = np.arange(1, len(days) + 1) / len(days)
    axes.step(days, 100 * share, style, where="post", label=route)
axes.set_xlabel("Days under way")
axes.set_ylabel("Passages that have arrived, %")
axes.set_title(f"{voyage.name}, leaving {voyage.departure:%-d %B %Y}")
axes.legend()
figure.savefig("spread.png", dpi=150)

# %% [markdown]
# A planning aid from averages, not a forecast:

# %%
for caution in answer.cautions:
    print("-", caution)
