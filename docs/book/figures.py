"""The drawings of the chapter on the trade, made by the library itself when the book is built."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import slopewright as sw

PLAIN, INTERLOCKING = "plain-tile-265x165", "interlocking-420x330"


def write(folder: Path) -> None:
    """Write every figure as an SVG file."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, draw in FIGURES.items():
        (folder / name).write_text(draw().svg, encoding="utf-8")


def _strip(covering: str = PLAIN, **terms: str) -> sw.TakeOff:
    """Return a slope small enough that every unit can be seen."""
    roof = sw.Roof(
        name="small slope", covering=covering, rafter_spacing_mm=400, underlay="membrane-1x50", **terms
    )
    return roof.rectangle("a small slope", eaves_m=2.4, rafter_m=1.5, pitch_deg=40).take_off()


def _slope() -> sw.Drawing:
    return _strip().drawing(layers=["rafters", "dimensions"])


def _double_lap() -> sw.Drawing:
    return _strip().drawing(layers=["units", "dimensions"])


def _single_lap() -> sw.Drawing:
    return _strip(INTERLOCKING).drawing(layers=["units", "dimensions"])


def _hip() -> sw.Drawing:
    roof = sw.Roof(name="hip", covering=PLAIN, rafter_spacing_mm=400)
    return (
        roof.hip_end("hip end", eaves_m=3.0, rafter_m=2.2, pitch_deg=45).take_off().drawing(layers=["units"])
    )


def _battens() -> sw.Drawing:
    roof = sw.Roof(name="long", covering=PLAIN, rafter_spacing_mm=400, batten_stock_m=[3.6, 4.8])
    take_off = roof.rectangle("a long slope", eaves_m=7.0, rafter_m=2.0, pitch_deg=40).take_off()
    return take_off.drawing(layers=["rafters", "battens"])


def _underlay() -> sw.Drawing:
    return _strip().drawing(layers=["rafters", "underlay", "dimensions"])


def _plan() -> sw.Drawing:
    roof = sw.Roof(name="House with a wing", covering=PLAIN, rafter_spacing_mm=400)
    roof.winged(
        "house",
        length_m=11.0,
        span_m=7.0,
        pitch_deg=42,
        wing_span_m=4.6,
        wing_length_m=2.4,
        wing_from_left_m=5.4,
    )
    return roof.take_off().plan_drawing()


def _window() -> sw.Drawing:
    roof = sw.Roof(name="window", covering=PLAIN, rafter_spacing_mm=400)
    window = sw.Opening(
        name="window",
        kind="roof-window",
        from_left_m=1.2,
        from_eaves_m=0.9,
        width_mm=780,
        height_mm=980,
        clearance_mm=40,
    )
    slope = roof.rectangle("front", eaves_m=3.4, rafter_m=2.7, pitch_deg=40, openings=[window])
    return slope.take_off().drawing(layers=["units", "openings", "dimensions"])


def _bars() -> sw.Drawing:
    roof = sw.Roof(name="hip end", covering=PLAIN, rafter_spacing_mm=400, batten_stock_m=[3.6, 4.8])
    return roof.hip_end("hip end", eaves_m=5.0, rafter_m=2.4, pitch_deg=45).take_off().cut_battens().drawing()


FIGURES: dict[str, Callable[[], sw.Drawing]] = {
    "slope.svg": _slope,
    "double-lap.svg": _double_lap,
    "single-lap.svg": _single_lap,
    "hip.svg": _hip,
    "battens.svg": _battens,
    "underlay.svg": _underlay,
    "plan.svg": _plan,
    "window.svg": _window,
    "bars.svg": _bars,
}
