"""An estate on Dask: every partition of a table of slopes taken off where it lies.

Run it with a table of slopes (Parquet, with the columns of `take_off_batch`) and where to write to:

    python estate_dask.py slopes.parquet totals.parquet
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import dask.dataframe as dd
import pandas as pd
import pyarrow as pa

import slopewright as sw

if TYPE_CHECKING:
    from dask.dataframe import DataFrame

COVERING = "plain-tile-265x165"
#: The columns that are kept. Dask asks for their kinds beforehand.
META = pd.DataFrame(
    {
        "id": pd.Series(dtype="int64"),
        "covered_area_m2": pd.Series(dtype="float64"),
        "whole_count": pd.Series(dtype="Int64"),
        "cut_count": pd.Series(dtype="Int64"),
        "batten_m": pd.Series(dtype="float64"),
        "fault": pd.Series(dtype="str"),
    }
)


def take_off(slopes: pd.DataFrame) -> pd.DataFrame:
    """Take off one partition. A row with faults comes back with its first fault in place of amounts."""
    # One thread: Dask starts as many workers as there are cores.
    rows = pa.Table.from_pandas(slopes, preserve_index=False)
    done = sw.take_off_batch(rows, covering=COVERING, rafter_spacing_mm=400, threads=1)
    totals = pa.table(done.totals).to_pandas()
    errors = pa.table(done.errors).to_pandas().drop_duplicates("id")
    bad = errors[["id"]].assign(fault=errors["kind"])
    # Whole numbers stay whole beside rows that have none.
    good = totals.reindex(columns=META.columns).astype({"whole_count": "Int64", "cut_count": "Int64"})
    return pd.concat([good, bad.reindex(columns=META.columns)]).astype(META.dtypes.to_dict())


def on_dask(slopes: DataFrame) -> DataFrame:
    """Return the totals of a table of slopes, worked when they are asked for."""
    return slopes.map_partitions(take_off, meta=META)


if __name__ == "__main__":
    on_dask(dd.read_parquet(sys.argv[1])).to_parquet(sys.argv[2])
