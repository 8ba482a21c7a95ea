#!/usr/bin/env python3
"""Draw what the proving ground found, and print its tables.

    cargo test --test proving_ground -- --ignored
    .venv/bin/python scripts/reference/proving_plot.py [--table FILE.csv] [--out FILE.svg]

The test writes the table, target/tmp/proving-ground.csv. The picture and the tables are those of
fixtures/reference/logbooks/README.md; the environment is that of scripts/reference/requirements.txt.
"""

import argparse
import csv
import statistics
from pathlib import Path

import matplotlib

matplotlib.use("svg")
matplotlib.rcParams.update({"svg.hashsalt": "offing", "svg.fonttype": "none", "font.size": 9})

import matplotlib.pyplot as plt  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
TABLE = ROOT / "target" / "tmp" / "proving-ground.csv"
OUT = ROOT / "fixtures" / "reference" / "logbooks" / "proving-ground.svg"
MARKERS = "osD^v<>P"
FEWEST = 10  # passages for a route to have a row or a mark of its own


def read(path):
    with open(path, newline="") as file:
        for row in csv.DictReader(file):
            for key in ("days", "p10", "p50", "p90", "rank"):
                row[key] = float(row[key])
            row["route"] = f"{row['from']} to {row['to']}"
            yield row


def inside(rows):
    return sum(0.1 <= row["rank"] < 0.9 for row in rows) / len(rows)


def fifths(rows):
    return [sum(min(int(row["rank"] * 5), 4) == fifth for row in rows) / len(rows) for fifth in range(5)]


def median_ratio(rows):
    return statistics.median(row["days"] / row["p50"] for row in rows)


def by_route(rows):
    """Rows by route, those with most passages first."""
    routes = {}
    for row in rows:
        routes.setdefault(row["route"], []).append(row)
    return sorted(routes.items(), key=lambda route: -len(route[1]))


def fleet_table(rows):
    print("| route | passages | inside P10 to P90 | in each fifth, quickest first | median made over predicted |")
    print("|---|---|---|---|---|")
    for name, those in [*by_route(rows), ("all", rows)]:
        if len(those) >= FEWEST:
            shares = " ".join(f"{share:.2f}" for share in fifths(those))
            print(f"| {name} | {len(those)} | {inside(those):.2f} | {shares} | {median_ratio(those):.2f} |")


def fleets_table(rows):
    """All the ships; the last column has each fleet's days divided by its own median ratio."""
    fleets = (
        ("Dutch, 1826 to 1854", lambda row: row["fleet"] == "true"),
        ("Dutch, before 1826", lambda row: row["nation"] == "NL" and row["fleet"] == "false"),
        ("British", lambda row: row["nation"] == "UK"),
        ("Spanish", lambda row: row["nation"] == "ES"),
    )
    print("| fleet | passages | inside P10 to P90 | median made over predicted | inside with a factor of its own |")
    print("|---|---|---|---|---|")
    for name, wanted in fleets:
        those = [row for row in rows if wanted(row)]
        slow = median_ratio(those)
        own = sum(row["p10"] <= row["days"] / slow <= row["p90"] for row in those) / len(those)
        print(f"| {name} | {len(those)} | {inside(those):.2f} | {slow:.2f} | {own:.2f} |")


def draw(rows, out):
    figure, (days, shares) = plt.subplots(1, 2, figsize=(9, 5), width_ratios=(2.6, 1), layout="constrained")
    longest = max(max(row["days"], row["p90"]) for row in rows) + 3
    days.plot((0, longest), (0, longest), color="black", linewidth=0.8)
    routes = [route for route in by_route(rows) if len(route[1]) >= FEWEST]
    for (name, those), marker in zip(routes, MARKERS):
        made, middle = [row["days"] for row in those], [row["p50"] for row in those]
        (marks,) = days.plot(made, middle, marker, markersize=3.5, label=f"{name} ({len(those)})")
        lows, highs = [row["p10"] for row in those], [row["p90"] for row in those]
        days.vlines(made, lows, highs, color=marks.get_color(), linewidth=0.5, alpha=0.45)
    days.set(xlim=(0, longest), ylim=(0, longest), xlabel="days made", ylabel="days predicted: median, P10 to P90")
    days.set_title("A mark a passage; on the line, made as predicted", fontsize=9)
    days.legend(fontsize=7.5, loc="upper left")
    shares.bar(range(1, 6), [100 * share for share in fifths(rows)], color="0.6", edgecolor="black")
    shares.axhline(20, color="black", linestyle="--", linewidth=0.8)
    shares.set(xticks=range(1, 6), xlabel="fifth of the prediction, quickest first", ylabel="passages made, %")
    shares.set_title("20 % each if the spread is right", fontsize=9)
    figure.savefig(out, metadata={"Date": None, "Title": "Passages made against passages predicted"})


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--table", type=Path, default=TABLE)
    parser.add_argument("--out", type=Path, default=OUT)
    arguments = parser.parse_args()
    table = list(read(arguments.table))
    for currents in ("true", "false"):
        rows = [row for row in table if row["currents"] == currents]
        print(f"\nCurrents {'on' if currents == 'true' else 'off'}:\n")
        fleet = [row for row in rows if row["fleet"] == "true"]
        fleet_table(fleet)
        print()
        fleets_table(rows)
        if currents == "true":
            draw(fleet, arguments.out)


if __name__ == "__main__":
    main()
