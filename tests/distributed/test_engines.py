"""The examples for Spark and Dask on a cluster of this machine alone: the same as in one process, order aside.

Each is skipped where its engine is not installed. Spark needs Java besides.
"""

from __future__ import annotations

import shutil

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import slopewright as sw

SLOPES = 50_000
COLUMNS = ["covered_area_m2", "whole_count", "cut_count", "batten_m"]


def slopes() -> pa.Table:
    chance = np.random.default_rng(11)
    pitch = chance.uniform(25, 60, SLOPES)
    pitch[::997] = 95.0
    wide, high = chance.uniform(2, 9, SLOPES), chance.uniform(1.5, 5, SLOPES)
    corners = [
        [[0.0, 0.0], [w, 0.0], [w - 0.5, h], [0.4, h]]
        for w, h in zip(wide.tolist(), high.tolist(), strict=True)
    ]
    return pa.table({"id": np.arange(SLOPES), "corners_m": corners, "pitch_deg": pitch})


@pytest.fixture(scope="module")
def table() -> pa.Table:
    return slopes()


@pytest.fixture(scope="module")
def expected(table) -> dict[int, tuple]:
    """What one process makes of them."""
    done = sw.take_off_batch(table, covering="plain-tile-265x165", rafter_spacing_mm=400)
    assert done.faulty_count == len(range(0, SLOPES, 997))
    totals = pa.table(done.totals)
    columns = [totals[name].to_pylist() for name in COLUMNS]
    found = {row[0]: (*row[1:], None) for row in zip(totals["id"].to_pylist(), *columns, strict=True)}
    errors = pa.table(done.errors)
    found |= dict.fromkeys(errors["id"].to_pylist(), (None, None, None, None, "pitch-out-of-range"))
    assert len(found) == SLOPES
    return found


def same(rows: list[dict], expected: dict[int, tuple]) -> None:
    found = {row["id"]: tuple(row[name] for name in [*COLUMNS, "fault"]) for row in rows}
    assert len(rows) == len(found) == SLOPES
    assert found == expected


def test_spark(table, expected, tmp_path):
    pytest.importorskip("pyspark", reason="Spark is not installed")
    if shutil.which("java") is None:
        pytest.skip("Spark needs Java, which is not installed")
    import estate_spark  # noqa: PLC0415

    pq.write_table(table, tmp_path / "slopes.parquet")
    spark = estate_spark.session(cores=2)
    try:
        rows = spark.read.parquet(str(tmp_path / "slopes.parquet")).repartition(4)
        same([row.asDict() for row in estate_spark.on_spark(rows).collect()], expected)
    finally:
        spark.stop()


def test_dask(table, expected, tmp_path):
    dask = pytest.importorskip("dask", reason="Dask is not installed")
    dd = pytest.importorskip("dask.dataframe", reason="Dask's tables are not installed")
    import estate_dask  # noqa: PLC0415

    pq.write_table(table, tmp_path / "slopes.parquet", row_group_size=SLOPES // 5)
    rows = dd.read_parquet(tmp_path / "slopes.parquet").repartition(npartitions=4)
    with dask.config.set(scheduler="processes", num_workers=2):
        done = estate_dask.on_dask(rows).compute()
    done = done.astype(object).where(done.notna(), None)
    same(done.to_dict("records"), expected)
