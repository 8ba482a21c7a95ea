"""Rows for checks of distributions: Rice, the lag correlation of the wind, quantiles.

Run:
    python3 -m venv .venv && .venv/bin/pip install -r scripts/reference/requirements.txt
    .venv/bin/python scripts/reference/ks_rows.py
"""

import numpy as np
from scipy import stats

from passage_parts.voyage import OUT, header

RICE_M_S = ((0.0, 4.0), (6.0, 3.0), (7.0, 2.0), (4.0, 6.0), (8.0, 4.0), (8.0, 0.5))
PROBABILITIES = (0.01, *np.round(np.arange(0.05, 0.951, 0.05), 2), 0.99)
STEP_H, TAU_H = 3.0, 36.0
LAGS = (0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 48, 96)
SHARES = (0.0, 0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95, 1.0)
SAMPLES = {
    "one value": (41.5,),
    "two values": (38.0, 52.0),
    "five, unsorted": (44.1, 39.6, 51.3, 40.2, 47.8),
    "ten with ties": (40.0, 40.0, 41.0, 41.0, 41.0, 43.5, 47.0, 47.0, 52.25, 60.0),
    "negative and zero": (-3.0, -1.5, 0.0, 0.0, 2.25, 9.0, -7.75),
    "squares of 0 to 20": tuple(float(k * k) for k in range(21)),
}


def write(name, what, columns, rows, *notes):
    head = header(what, "ks_rows.py", *notes)
    body = "".join(",".join(str(x) for x in row) + "\n" for row in rows)
    (OUT / name).write_text(f"{head}{columns}\n{body}")
    print(f"{name}: {len(rows)} rows")


def rice_rows():
    """Scipy's Rice has shape b = m / s and scale s; the quantile is put back through the CDF."""
    for m, s in RICE_M_S:
        law = stats.rice(b=m / s, scale=s)
        for p in PROBABILITIES:
            speed = law.ppf(p)
            yield m, s, float(p), f"{speed:.9f}", f"{law.cdf(speed):.9f}", f"{law.mean():.9f}"


def correlation_rows():
    """The correlation of z(t + dt) = r z(t) + sqrt(1 - r^2) e with itself, in closed form."""
    r = np.exp(-STEP_H / TAU_H)
    for k in LAGS:
        yield STEP_H, TAU_H, k, k * STEP_H, f"{r**k:.12f}"


def quantile_rows():
    for name, sample in SAMPLES.items():
        values = " ".join(str(x) for x in sample)
        for share in SHARES:
            yield name.replace(",", ""), values, share, f"{np.quantile(sample, share, method='linear'):.12g}"


def main():
    OUT.mkdir(parents=True, exist_ok=True)
    write(
        "rice_quantiles.csv",
        "Rice distribution of wind speed for a vector mean m and component deviation s (scipy.stats.rice).",
        "m_m_s,s_m_s,probability,speed_m_s,cdf,mean_speed_m_s",
        list(rice_rows()),
        "cdf is the distribution function at the printed speed before rounding; units m/s.",
        "claimed accuracy: 1e-7 in probability, 1e-6 m/s in speed.",
    )
    write(
        "lag_correlation.csv",
        "Correlation of a wind component with itself k steps later, r^k, r = exp(-step / tau).",
        "step_h,tau_h,lag_steps,lag_h,correlation",
        list(correlation_rows()),
        "claimed accuracy: 1e-12.",
    )
    write(
        "type7_quantiles.csv",
        "Quantiles of type 7 (Hyndman and Fan 1996, The American Statistician 50:361-365): numpy method"
        " 'linear'.",
        "sample,values,share,quantile",
        list(quantile_rows()),
        "values are parted by spaces and not sorted; claimed accuracy: 1e-11 relative.",
    )


if __name__ == "__main__":
    main()
