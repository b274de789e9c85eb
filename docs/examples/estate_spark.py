"""An estate on Spark: every partition of a table of slopes taken off where it lies.

Run it with a table of slopes (Parquet, with the columns of `take_off_batch`) and where to write to:

    python estate_spark.py slopes.parquet totals.parquet
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator

import pyarrow as pa
from pyspark.sql import DataFrame, SparkSession

import slopewright as sw

COVERING = "plain-tile-265x165"
#: The columns that are kept. Spark asks for their kinds beforehand.
SCHEMA = "id long, covered_area_m2 double, whole_count long, cut_count long, batten_m double, fault string"


def take_off(batches: Iterator[pa.RecordBatch]) -> Iterator[pa.RecordBatch]:
    """Take off the batches of one partition. A row with faults comes back with its first fault in place of amounts."""
    for batch in batches:
        # One thread: Spark starts as many workers as there are cores.
        done = sw.take_off_batch(pa.table(batch), covering=COVERING, rafter_spacing_mm=400, threads=1)
        totals = pa.table(done.totals)
        amounts = totals.select(["id", "covered_area_m2", "whole_count", "cut_count", "batten_m"])
        yield from with_faults(amounts, pa.table(done.errors)).to_batches()


def with_faults(amounts: pa.Table, errors: pa.Table) -> pa.Table:
    """Put the rows with faults behind those with amounts."""
    kinds = [pa.int64(), pa.float64(), pa.int64(), pa.int64(), pa.float64(), pa.string()]
    names = [column.split()[0] for column in SCHEMA.split(", ")]
    schema = pa.schema(list(zip(names, kinds, strict=True)))
    good = amounts.append_column("fault", pa.nulls(len(amounts), pa.string())).cast(schema)
    first: dict[int, str] = {}
    for row, kind in zip(errors["id"].to_pylist(), errors["kind"].to_pylist(), strict=True):
        first.setdefault(row, kind)
    bad = pa.Table.from_pylist([{"id": row, "fault": kind} for row, kind in first.items()], schema=schema)
    return pa.concat_tables([good, bad])


def on_spark(slopes: DataFrame) -> DataFrame:
    """Return the totals of a table of slopes, worked when they are asked for."""
    return slopes.mapInArrow(take_off, SCHEMA)


def session(cores: int) -> SparkSession:
    """Start Spark on this machine alone. On a cluster, leave master and address to its own settings."""
    # The workers must be of the same interpreter, or they do not find the package.
    os.environ["PYSPARK_PYTHON"] = sys.executable
    builder = SparkSession.builder.master(f"local[{cores}]").appName("estate")
    settings = {
        "spark.driver.bindAddress": "127.0.0.1",
        "spark.driver.host": "127.0.0.1",
        "spark.ui.enabled": "false",
    }
    for name, value in settings.items():
        builder = builder.config(name, value)
    return builder.getOrCreate()


if __name__ == "__main__":
    spark = session(cores=2)
    on_spark(spark.read.parquet(sys.argv[1])).write.parquet(sys.argv[2])
    spark.stop()
