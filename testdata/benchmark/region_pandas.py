"""The seeding window of one species at many stations, with pandas, NumPy and SciPy.

A companion to swardcast for measuring, for the files that cmd/weathergen writes (one
layout, in degrees Celsius, northern hemisphere, bermudagrass, tillered, earliest
cutoff), array by array; its only loops are over stations, seasons, and the runs of
equal values. The method is an earlier and lighter one of swardcast: dormancy by the
trailing week of soil, errors of dates as normal distributions, no trend of the air.
So it measures speed and is no second opinion on the dates. Of the checks of values it
leaves out those of whole stretches (swapped columns, repeated months, a change of
unit), which such files never need.

    python3 region_pandas.py SPECIES.csv COEFFICIENTS.go DIRECTORY > windows.csv

SPECIES.csv is what `swardcast species --format csv` prints, COEFFICIENTS.go is
forecast/soil/coefficients_gen.go.
"""

import csv
import os
import re
import sys

import numpy as np
import pandas as pd
from scipy.signal import lfilter
from scipy.special import ndtr

YEAR = 365.2425
FREEZE, OPEN, DORMANT = (28 - 32) / 1.8, (75 - 32) / 1.8, (55 - 32) / 1.8
EPOCH = np.datetime64("2000-01-01").astype(int)
RUNIN = 400


class Species:
    def __init__(self, name, species="perennial-ryegrass"):
        f = {r["parameter"]: float(r["value"]) for r in csv.DictReader(open(name)) if r["species"] == species}
        self.optimum, self.top, self.ceiling = f["optimum"], f["optimum"] + f["plateau"], f["ceiling"]
        self.need = f["tillered"]
        self.lot = np.hypot(0.20 * f["emerged"], 0.10 * (f["tillered"] - f["emerged"]))

    def warmth(self, t):
        w = np.minimum(t, self.optimum)
        w = np.where(t > self.top, self.optimum * (self.ceiling - t) / (self.ceiling - self.top), w)
        return np.where((t <= 0) | (t >= self.ceiling), 0.0, w)


class Soil:
    def __init__(self, name):
        text = open(name).read()
        rows = lambda key: np.array(re.findall(r"^\t\t(-?[\d.]+),", text.split(key + ": Row{")[1].split("}")[0], re.M), float)
        self.coef = np.column_stack([rows("Coef5"), rows("Coef10")])
        self.error = {}
        for depth in (5, 10):
            part = text.split("residual%d = Residual{" % depth)[1]
            value = lambda key: float(re.search(key + r":\s+([\d.]+)", part)[1])
            site = np.array(re.search(r"SiteSD:.*?\{([^}]*)\}", part)[1].split(","), float)
            self.error[depth] = (site, value("SeasonSD"), value("DaySD"), value("Slow"), value("SlowDays"), value("FastDays"))

    def site(self, depth, day):
        return self.error[depth][0][month(day) - 1]

    def mean_sd(self, depth, n):
        _, season, day, slow, slow_days, fast_days = self.error[depth]

        def variance(tau):
            r = np.exp(-1 / tau)
            cross = r * (n * (1 - r) - (1 - r**n)) / (1 - r) ** 2
            return (n + 2 * cross) / n**2

        return np.sqrt(season**2 + day**2 * (slow * variance(slow_days) + (1 - slow) * variance(fast_days)))


def month(day):
    return np.asarray(day).astype("datetime64[D]").astype("datetime64[M]").astype(int) % 12 + 1


def date(year, m, d):
    return np.datetime64("%04d-%02d-%02d" % (year, m, d)).astype(int)


def read(name):
    with open(name) as f:
        f.readline()
        latitude = float(re.search(r"Latitude: (-?[\d.]+)", f.readline())[1])
    t = pd.read_csv(name, skiprows=3, usecols=[0, 1, 2], parse_dates=[0])
    days = t["date"].values.astype("datetime64[D]").astype(int)
    return latitude, days, t["tmax_c"].to_numpy(), t["tmin_c"].to_numpy()


def clean(days, tmax, tmin):
    """Sets what cannot be believed to NaN, as package climate/check does."""
    both = (tmax == 0) & (tmin == 0) | (abs(tmax + 17.8) < 0.05) & (abs(tmin + 17.8) < 0.05) | (tmax < tmin - 1)
    d = days.astype("datetime64[D]")
    m0 = d.astype("datetime64[M]")
    slot = (np.cumsum([0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30])[m0.astype(int) % 12] + (d - m0.astype("datetime64[D]")).astype(int))
    year = d.astype("datetime64[Y]").astype(int)
    year -= year[0]
    out = []
    for y in (tmax, tmin):
        y = np.where((y < -89.4) | (y > 57.7), np.nan, y)
        step = np.diff(y)
        spike = np.zeros(len(y), bool)
        spike[1:-1] = (step[:-1] >= 25) & (step[1:] <= -25) | (step[:-1] <= -25) & (step[1:] >= 25)
        y[both | spike] = np.nan
        change = np.flatnonzero(np.diff(y, prepend=np.nan, append=np.nan) != 0)
        for a, n in zip(change, np.diff(change)):
            if n >= 20:
                y[a : a + n] = np.nan
        out.append(outliers(y, slot, year))
    return out


def outliers(y, slot, year):
    table = np.full((year[-1] + 1, 366 + 14), np.nan)
    table[year, slot + 7] = y
    table[:, :7], table[:, -7:] = table[:, 366:373], table[:, 7:14]
    known = ~np.isnan(table)
    value = np.where(known, table, 0)
    window = lambda x: np.convolve(x.sum(0), np.ones(15), "valid")
    n, s, q = window(known), window(value), window(value * value)
    mean = s / n
    far = np.flatnonzero(abs(y - mean[slot]) > 3 * np.sqrt(np.maximum(0, q / n - mean**2))[slot])
    slots, which = np.unique(slot[far], return_inverse=True)
    x = table[:, slots[:, None] + np.arange(15)].transpose(1, 0, 2).reshape(len(slots), -1)
    median = np.nanmedian(x, 1, keepdims=True)
    off = x - median
    mad = np.nanmedian(abs(off), 1, keepdims=True)
    u = off / (7.5 * mad)
    inside = abs(u) < 1
    v = 1 - u * u
    total = lambda a: np.where(inside, a, 0).sum(1)
    center = median[:, 0] + total(v**2 * off) / total(v**2)
    sd = np.sqrt((~np.isnan(x)).sum(1) * total(off**2 * v**4)) / abs(total(v * (1 - 5 * u * u)))
    bad = (abs(y[far] - center[which]) / sd[which] >= 6) & (n[slots][which] >= 100)
    y = y.copy()
    y[far[bad]] = np.nan
    return y


def basis(days, harmonics):
    a = 2 * np.pi * (days - EPOCH) / YEAR
    return np.column_stack([np.ones(len(days))] + [f(k * a) for k in range(1, harmonics + 1) for f in (np.cos, np.sin)])


def normal(b, y):
    known = ~np.isnan(y)
    x = b[known]
    return np.linalg.solve(x.T @ x, x.T @ y[known])


def fill(b, y):
    """Bridges gaps with what a first-order autoregressive process expects."""
    gone = np.flatnonzero(np.isnan(y))
    course = b @ normal(b, y)
    anomaly = y - course
    p, q = anomaly[:-1], anomaly[1:]
    ok = ~np.isnan(p) & ~np.isnan(q)
    rho = np.clip((p[ok] @ q[ok]) / ((p[ok] @ p[ok] + q[ok] @ q[ok]) / 2), 0, 0.95)
    if len(gone) == 0:
        return y
    known = np.flatnonzero(~np.isnan(y))
    right = np.searchsorted(known, gone)
    left = right - 1
    i = np.where(left >= 0, gone - known[left], np.inf)
    j = np.where(right < len(known), known[np.minimum(right, len(known) - 1)] - gone, np.inf)
    before, after = anomaly[known[left]], anomaly[known[np.minimum(right, len(known) - 1)]]
    y = y.copy()
    y[gone] = course[gone] + (rho**i * (1 - rho ** (2 * j)) * before + rho**j * (1 - rho ** (2 * i)) * after) / (1 - rho ** (2 * (i + j)))
    return y


def memory(x, tau):
    a = 1 - np.exp(-1 / tau)
    return lfilter([a], [1, a - 1], x, zi=[(1 - a) * x[0]])[0]


def radiation(latitude, days):
    d = days.astype("datetime64[D]")
    j = (d - d.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
    n = np.arange(367)
    phi, delta = np.radians(latitude), 0.409 * np.sin(2 * np.pi * n / 365 - 1.39)
    ws = np.arccos(np.clip(-np.tan(phi) * np.tan(delta), -1, 1))
    ra = 24 * 60 / np.pi * 0.0820 * (1 + 0.033 * np.cos(2 * np.pi * n / 365))
    ra *= ws * np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.sin(ws)
    return np.maximum(0, ra)[j]


def soil_temperature(model, latitude, days, tmax, tmin, filled):
    air = (tmax + tmin) / 2
    early = np.arange(days[0] - RUNIN, days[0])
    t = np.concatenate([basis(early, 2) @ normal(basis(days, 2), air), air])
    ra = radiation(latitude, np.concatenate([early, days]))
    t1, t3, t8, t20, t60 = (memory(t, tau) for tau in (1, 3, 8, 20, 60))
    ra40 = memory(ra, 40)
    square = (air - t8[RUNIN:])[~filled] ** 2
    m = month(days[~filled])
    variability = np.clip(np.sqrt((np.bincount(m, square)[1:] / np.bincount(m)[1:]).mean()), 3.5, 4.6) - 3.8
    columns = [np.ones(len(t)), t - t1, t1 - t8, t8 - t60, t60, np.minimum(t, 0), np.minimum(t3, 0), np.minimum(t20, 0),
               ra - ra40, ra40, np.full(len(t), variability), (ra - ra40) * (t20 - 12) / 10]
    return (np.column_stack(columns)[RUNIN:] @ model.coef).T


def trailing(y):
    s = np.cumsum(y)
    out = np.full(len(y), np.nan)
    out[6] = s[6] / 7
    out[7:] = (s[7:] - s[:-7]) / 7
    return out


def quantile(p, v):
    """Type 8 of Hyndman & Fan 1996; v is sorted and may hold infinities."""
    n = len(v)
    h = (n + 1 / 3) * p + 1 / 3
    if abs(h - round(h)) < 1e-9:
        h = round(h)
    k = int(np.floor(h))
    if h <= 1:
        return v[0]
    if h >= n:
        return v[-1]
    a, b = v[k - 1], v[k]
    return a if h == k or a == b or np.isinf(a) else a + (h - k) * (b - a)


def leap(year):
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def offset(season, day):
    n = day - date(season, 7, 1)
    return n - (leap(season + 1) & (day >= date(season + 1, 2, 28) + 1))


def told(season, n):
    if not np.isfinite(n):
        return ""
    day = date(season, 7, 1) + int(n)
    if leap(season + 1) and day >= date(season + 1, 2, 28) + 1:
        day += 1
    return str(np.datetime64(int(day), "D"))


def station(name, species, model):
    latitude, days, tmax, tmin = read(name)
    tmax, tmin = clean(days, tmax, tmin)
    filled = np.isnan(tmax) | np.isnan(tmin)
    b = basis(days, 2)
    tmax, tmin = fill(b, tmax), fill(b, tmin)
    soil5, soil10 = soil_temperature(model, latitude, days, tmax, tmin, filled)
    b = basis(days, 3)
    normal10 = normal(b, soil10)
    week = trailing(soil10)
    warmth = species.warmth(soil5)
    total = np.concatenate([[0], np.cumsum(warmth)])
    freezing = np.flatnonzero(tmin <= FREEZE + 0.05)
    first, last = int(days[0]), int(days[-1])
    fall = lambda day: np.maximum(0.05, np.diff(basis(np.array([day + 15, day - 15]), 3) @ normal10)[0] / 30)

    opens, latest, cutoffs, freezes, dormancies = [], [], [], [], []
    first_year, last_year = (int(str(np.datetime64(int(d), "D"))[:4]) for d in (first, last))
    for year in range(first_year - 1, last_year + 1):
        begin, half, end = date(year, 7, 1), date(year, 12, 31), date(year + 1, 4, 30)
        if begin > last or half < first:
            continue
        record_end = min(end, last)
        i0, i1 = max(begin - first, 0), record_end - first
        stop = min(half - first, i1)
        warm = np.flatnonzero(week[i0 : stop + 1] > OPEN)
        open_day = first + i0 + warm[-1] + 1 if len(warm) else begin
        k = np.searchsorted(freezing, i0)
        freeze = first + freezing[k] if k < len(freezing) and freezing[k] <= i1 else None
        k = max(open_day - first + 1, i0)
        cold = np.flatnonzero(week[k : i1 + 1] <= DORMANT)
        dormant = first + k + cold[0] if len(cold) else None
        cutoff = min((d for d in (freeze, dormant) if d is not None), default=None)
        by_dormancy = cutoff is not None and cutoff != freeze
        if record_end < half or cutoff is None and record_end < end:
            continue
        decided = end if cutoff is None else cutoff
        j = decided - first
        made = np.flatnonzero(total[i0 : j + 1] + species.need <= total[j + 1])
        i = i0 + made[-1] if len(made) else None
        look, to = (begin if i is None else first + i), decided
        if open_day > begin:
            look, to = min(look, open_day), max(open_day, decided)
        if first > look - 90 and first <= look - 20:
            continue
        a = look - 20 - first
        gaps = np.concatenate([np.ones(max(0, -a), bool), filled[max(a, 0) : to - first + 1]])
        run = np.diff(np.flatnonzero(np.concatenate([[True], ~gaps, [True]]))).max() - 1
        if run > 4 or gaps.sum() > 10:
            continue

        if i is None:
            latest.append((-np.inf, 0.0, 0.0))
        else:
            n = j - i + 1
            at = max(1.0, warmth[max(i - 3, 0) : i + 4].mean())
            site, own = model.site(5, (first + i + decided) // 2) * n, model.mean_sd(5, n) * n
            if by_dormancy:
                slope = warmth[max(j - 3, 0) : j + 4].mean() / fall(decided)
                site += model.site(10, decided) * slope
                own += model.mean_sd(10, 7) * slope
            latest.append((offset(year, first + i), np.hypot(site, species.lot) / at, own / at))
        slope = fall(open_day)
        opens.append((offset(year, open_day), model.site(10, open_day) / slope, model.mean_sd(10, 7) / slope))
        cutoffs.append(np.inf if cutoff is None else offset(year, cutoff))
        if freeze is not None or record_end == end:
            freezes.append(np.inf if freeze is None else offset(year, freeze))
        if dormant is not None or record_end == end:
            dormancies.append(np.inf if dormant is None else offset(year, dormant))

    opens, latest = np.array(opens[-30:]), np.array(latest[-30:])
    cutoffs = cutoffs[-30:]
    season = last_year
    sow = np.arange(date(season, 7, 1), date(season + 1, 4, 30) + 1)
    x = offset(season, sow)[:, None]
    sd = lambda d: np.hypot(d[:, 1], d[:, 2])
    with np.errstate(divide="ignore", invalid="ignore"):
        inside = np.maximum(0, ndtr((latest[:, 0] + 0.5 - x) / sd(latest)) - ndtr((opens[:, 0] - 0.5 - x) / sd(opens))).mean(1)
    best = ""
    if inside.max() >= 0.01:
        top = inside >= inside.max() - 1e-6
        i = j = int(np.argmax(top))
        while j + 1 < len(top) and top[j + 1]:
            j += 1
        best = str(np.datetime64(int(sow[(i + j) // 2]), "D"))
    at = lambda p, v, f: told(season, f(quantile(p, np.sort(v))))
    row = [name, len(opens)]
    row += [at(p, opens[:, 0], np.ceil) for p in (0.2, 0.5, 0.8)]
    row += [at(1 - p, latest[:, 0], np.floor) for p in (0.5, 0.8, 0.9)]
    row += [best]
    row += [at(p, cutoffs, np.floor) for p in (0.1, 0.5, 0.9)]
    row += [at(0.5, freezes[-30:], np.floor), at(0.5, dormancies[-30:], np.floor)]
    return row


def main():
    species, model = Species(sys.argv[1]), Soil(sys.argv[2])
    out = csv.writer(sys.stdout)
    out.writerow("file seasons_used opens_p20 opens_p50 opens_p80 last_safe_p50 last_safe_p80 last_safe_p90 best_sowing "
                 "cutoff_p10 cutoff_p50 cutoff_p90 freeze_p50 dormancy_p50".split())
    for name in sorted(os.listdir(sys.argv[3])):
        if name.endswith(".csv"):
            out.writerow(station(os.path.join(sys.argv[3], name), species, model))


if __name__ == "__main__":
    main()
