"""One run of very many slopes through polars, in a process of its own so that its memory can be told."""

from __future__ import annotations

import json
import resource
import sys
import time

import numpy as np
import polars as pl

import slopewright as sw

PLANTED = 1000


def main() -> None:
    count = int(sys.argv[1])
    chance = np.random.default_rng(7)
    wide, high = chance.uniform(3, 12, count), chance.uniform(2, 7, count)
    nothing = np.zeros(count)
    corners = np.stack([nothing, nothing, wide, nothing, wide - 0.8, high, nothing + 0.6, high], axis=1)
    pitch = chance.uniform(25, 60, count)
    bad = np.sort(chance.choice(count, PLANTED, replace=False))
    pitch[bad] = 95.0
    rows = pl.DataFrame(
        {
            "id": np.arange(count),
            "corners_m": pl.Series(corners.reshape(count, 4, 2)).cast(pl.List(pl.Array(pl.Float64, 2))),
            "pitch_deg": pitch,
        }
    )
    del wide, high, nothing, corners
    start = time.perf_counter()
    batch = sw.take_off_batch(rows, covering="interlocking-420x330", rafter_spacing_mm=400)
    spent = time.perf_counter() - start
    totals, errors = pl.DataFrame(batch.totals), pl.DataFrame(batch.errors)
    good = np.setdiff1d(np.arange(count), bad)
    print(
        json.dumps(
            {
                "rows": batch.row_count,
                "totals": len(totals),
                "faulty": batch.faulty_count,
                "planted": PLANTED,
                "found": len(errors),
                "exact": bool(
                    (errors["row_number"].to_numpy() == bad).all()
                    and (errors["id"].to_numpy() == bad).all()
                    and (totals["id"].to_numpy() == good).all()
                ),
                "slopes_per_second": round(count / spent),
                "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
            }
        )
    )


if __name__ == "__main__":
    main()
