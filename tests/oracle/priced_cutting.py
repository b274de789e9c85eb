"""Makes priced_cutting.json: random small cutting problems with two or three priced lengths, each solved by a
mixed-integer solver of another kind (HiGHS through scipy.optimize.milp) over all maximal cutting patterns.

The cost is recounted from the columns in whole pennies; the solver's own objective is not used. Where the solver ends
without proof, only its bound and its cost are kept. Run: python tests/oracle/priced_cutting.py
"""

import json
import random
from math import floor
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

rng = random.Random(20240611)


def patterns(lengths, counts, room):
    """Every way to cut a bar that leaves no room for one more piece."""
    found = []

    def grow(place, left, take):
        if place == len(lengths):
            if all(left < long or t == c for long, t, c in zip(lengths, take, counts, strict=True)):
                found.append(tuple(take))
            return
        for count in range(min(counts[place], left // lengths[place]), -1, -1):
            grow(place + 1, left - count * lengths[place], [*take, count])
            if len(found) > 60000:
                return

    grow(0, room, [])
    return found


def problem():
    kinds = rng.choice([2, 2, 3])
    bars = sorted(rng.sample(range(3600, 6001, 300), kinds))
    rate = rng.uniform(0.08, 0.14)
    prices = [round(bar * rate * rng.uniform(0.92, 1.08)) for bar in bars]
    total = rng.randint(5, 40)
    kinds_of_piece = rng.randint(2, 11)
    lengths = sorted({rng.randint(600, bars[0]) for _ in range(kinds_of_piece)}, reverse=True)
    counts = [1] * len(lengths)
    for _ in range(max(0, total - len(lengths))):
        counts[rng.randrange(len(lengths))] += 1
    return bars, prices, lengths, counts


out = []
while len(out) < 300:
    bars, prices, lengths, counts = problem()
    columns, costs = [], []
    for bar, price in zip(bars, prices, strict=True):
        for take in patterns(lengths, counts, bar):
            columns.append(take)
            costs.append(price)
    if len(columns) > 20000:
        continue
    matrix = np.array(columns).T
    result = milp(
        np.array(costs),
        constraints=LinearConstraint(matrix, lb=np.array(counts)),
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, max(counts)),
        options={"time_limit": 5.0, "mip_rel_gap": 0.0},
    )
    if result.x is None:
        continue
    uses = np.rint(result.x).astype(int)
    assert (matrix @ uses >= np.array(counts)).all()
    cost = int(sum(int(u) * c for u, c in zip(uses, costs, strict=True)))
    least = cost if result.status == 0 else floor(result.mip_dual_bound - 1e-6)
    out.append(
        {
            "bars_mm": bars,
            "prices_pence": prices,
            "lengths_mm": lengths,
            "counts": counts,
            "cost_pence": cost,
            "bound_pence": least,
            "proved": result.status == 0,
        }
    )
    print(len(out), cost, least, flush=True)
Path(__file__).with_suffix(".json").write_text("[\n" + ",\n".join(json.dumps(row) for row in out) + "\n]\n")
