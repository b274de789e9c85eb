"""Writes tests/oracle/salvage_chances.json: 500 random cases of the chances that the salvage room computes.

Run from the root of the repository with scipy installed:

    python tests/oracle/salvage_chances.py

Probabilities of counts are made twice: with scipy and, where the numbers stay handy, with exact whole-number arithmetic
(math.comb and fractions). Where the two differ by more than 1e-10 the exact one is written, since scipy loses
digits on large lots; the number of such cases is written into the file. Everything else is scipy alone.
"""

import decimal
import json
import math
import random
from fractions import Fraction
from pathlib import Path

import scipy
from scipy import stats

SEED = 20_240_501
CASES_EACH = 100
LARGEST_EXACT_LOT = 20_000

random.seed(SEED)
replaced = 0


def log_between(low: float, high: float) -> float:
    return math.exp(random.uniform(math.log(low), math.log(high)))


def near(mean: float, deviation: float, least: int, most: int) -> int:
    """A whole number around the mean, now and then far out."""
    spread = random.choice([0.5, 2.0, 6.0])
    return min(max(round(random.gauss(mean, spread * deviation + 0.5)), least), most)


def better(exact: Fraction | None, from_scipy: float) -> float:
    global replaced  # noqa: PLW0603 - a count of the whole run
    if exact is None:
        return from_scipy
    value = float(exact)
    if value > 0 and abs(from_scipy - value) > 1e-10 * value:
        replaced += 1
    return value


def hypergeometric() -> dict:
    while True:
        lot = round(log_between(2, 1e6))
        sound = random.randint(0, lot)
        drawn = min(lot, round(log_between(1, lot)))
        share = sound / lot
        deviation = math.sqrt(drawn * share * (1 - share) * (lot - drawn) / max(lot - 1, 1))
        least, most = max(0, drawn + sound - lot), min(sound, drawn)
        k = near(drawn * share, deviation, least, most)
        of = stats.hypergeom(lot, sound, drawn)
        if of.pmf(k) > 1e-250:
            break
    pmf = cdf = sf = None
    if lot <= LARGEST_EXACT_LOT:
        ways = [math.comb(sound, j) * math.comb(lot - sound, drawn - j) for j in range(least, most + 1)]
        total = math.comb(lot, drawn)
        pmf = Fraction(ways[k - least], total)
        cdf = Fraction(sum(ways[: k - least + 1]), total)
        sf = Fraction(sum(ways[k - least + 1 :]), total)
    elif drawn <= LARGEST_EXACT_LOT:
        # One exact probability, then exact ratios summed to 40 digits, down from k and up from k.
        pmf = Fraction(math.comb(sound, k) * math.comb(lot - sound, drawn - k), math.comb(lot, drawn))
        with decimal.localcontext() as context:
            context.prec = 40
            start = decimal.Decimal(pmf.numerator) / decimal.Decimal(pmf.denominator)

            def walk(step: int) -> decimal.Decimal:
                term, total, at = start, decimal.Decimal(0), k
                towards_peak = True
                while least <= at <= most and (towards_peak or term > total * decimal.Decimal("1e-30")):
                    total += term
                    if step > 0:
                        up = (sound - at) * (drawn - at)
                        term = term * up / ((at + 1) * (lot - sound - drawn + at + 1))
                    else:
                        down = at * (lot - sound - drawn + at)
                        term = term * down / ((sound - at + 1) * (drawn - at + 1))
                    at += step
                    towards_peak = step * (at - drawn * share) < 0
                return total

            cdf = Fraction(walk(-1))
            sf = Fraction(0) if k == most else Fraction(walk(1) - start)
    share = random.choice([0.01, 0.05, 0.5, 0.9, 0.95, 0.99, random.random()])
    return {
        "lot": lot, "sound": sound, "drawn": drawn, "k": k,
        "pmf": better(pmf, float(of.pmf(k))),
        "cdf": better(cdf, float(of.cdf(k))),
        "sf": better(sf, float(of.sf(k))),
        "exact": cdf is not None,
        "share": share, "quantile": int(of.ppf(share)),
    }  # fmt: skip


def binomial() -> dict:
    while True:
        trials = round(log_between(1, 1e6))
        chance = random.choice([random.random(), log_between(1e-5, 0.2), 1 - log_between(1e-5, 0.2)])
        k = near(trials * chance, math.sqrt(trials * chance * (1 - chance)), 0, trials)
        of = stats.binom(trials, chance)
        if of.pmf(k) > 1e-250:
            break
    pmf = cdf = sf = None
    if trials <= 2_000:
        p = Fraction(chance)
        wanted = [k] if trials > 150 else range(trials + 1)
        terms = [math.comb(trials, j) * p**j * (1 - p) ** (trials - j) for j in wanted]
        pmf = terms[0] if trials > 150 else terms[k]
        if trials <= 150:
            cdf, sf = sum(terms[: k + 1]), sum(terms[k + 1 :], Fraction(0))
    share = random.choice([0.01, 0.05, 0.5, 0.9, 0.95, 0.99, random.random()])
    return {
        "trials": trials, "chance": chance, "k": k,
        "pmf": better(pmf, float(of.pmf(k))),
        "cdf": better(cdf, float(of.cdf(k))),
        "sf": better(sf, float(of.sf(k))),
        "share": share, "quantile": int(of.ppf(share)),
    }  # fmt: skip


def poisson() -> dict:
    while True:
        mean = log_between(1e-3, 1e5)
        k = near(mean, math.sqrt(mean), 0, 10**9)
        of = stats.poisson(mean)
        if of.pmf(k) > 1e-250:
            break
    share = random.choice([0.01, 0.05, 0.5, 0.9, 0.95, 0.99, random.random()])
    return {
        "mean": mean, "k": k, "pmf": float(of.pmf(k)), "cdf": float(of.cdf(k)), "sf": float(of.sf(k)),
        "share": share, "quantile": int(of.ppf(share)),
    }  # fmt: skip


def beta() -> dict:
    a, b = log_between(0.3, 1e6), log_between(0.3, 1e6)
    of = stats.beta(a, b)
    share = random.choice([0.01, 0.025, 0.05, 0.5, 0.95, 0.975, random.uniform(0.001, 0.999)])
    x = float(of.ppf(random.uniform(0.001, 0.999)))
    return {
        "a": a, "b": b, "x": x, "cdf": float(of.cdf(x)), "sf": float(of.sf(x)),
        "share": share, "quantile": float(of.ppf(share)),
    }  # fmt: skip


def finite_lot() -> dict:
    """The least number sound for which the sample is not too rare, by plain search with exact whole numbers."""
    lot = round(log_between(2, 3_000))
    inspected = random.randint(1, min(lot, 300))
    sound = round(inspected * random.choice([random.random(), random.uniform(0.6, 1.0)]))
    sureness = random.choice([0.8, 0.9, 0.95, 0.99])
    risk = 1 - Fraction(str(sureness))

    def as_good(in_lot: int) -> Fraction:
        ways = sum(
            math.comb(in_lot, j) * math.comb(lot - in_lot, inspected - j)
            for j in range(sound, min(inspected, in_lot) + 1)
        )
        return Fraction(ways, math.comb(lot, inspected))

    low, high = sound, lot - (inspected - sound)
    while low < high:
        middle = (low + high) // 2
        if as_good(middle) > risk:
            high = middle
        else:
            low = middle + 1
    proportion = stats.binomtest(sound, inspected).proportion_ci(sureness, method="exact")
    return {
        "lot": lot, "inspected": inspected, "sound": sound, "sureness": sureness, "at_least": low,
        "proportion_low": float(proportion.low), "proportion_high": float(proportion.high),
    }  # fmt: skip


table = {
    kind.__name__: [kind() for _ in range(CASES_EACH)]
    for kind in (hypergeometric, binomial, poisson, beta, finite_lot)
}
table["about"] = (
    f"scipy {scipy.__version__}, seed {SEED}; {replaced} values where exact arithmetic replaced scipy's"
)
path = Path(__file__).with_suffix(".json")
path.write_text(json.dumps(table, indent=0) + "\n", encoding="utf-8")
print(table["about"])
