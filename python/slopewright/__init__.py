"""Roofing materials take-off: what a roof needs, course by course, what to buy, and why.

>>> import slopewright as sw
>>> roof = sw.Roof(name="shed", covering="plain-tile-265x165", rafter_spacing_mm=400)
>>> roof = roof.rectangle("front", eaves_m=6.0, rafter_m=4.2, pitch_deg=40)
>>> take_off = roof.take_off()
>>> [line.item for line in take_off.lines][:2]
['area covered', 'whole units']
"""

from slopewright._native import (
    CatalogueError,
    Fault,
    Finding,
    Line,
    OrderError,
    OutputError,
    Placing,
    QuantityError,
    SalvageError,
    SetOutError,
    SlopeLayout,
    SlopewrightError,
    StockError,
    Survey,
    SurveyError,
    Table,
    TakeOff,
    Working,
    __version__,
    covering_keys,
    fault_kinds,
    length_mm,
    pitch_deg,
)
from slopewright.building import Edge, Opening, Roof, read_survey

__all__ = [
    "CatalogueError",
    "Edge",
    "Fault",
    "Finding",
    "Line",
    "Opening",
    "OrderError",
    "OutputError",
    "Placing",
    "QuantityError",
    "Roof",
    "SalvageError",
    "SetOutError",
    "SlopeLayout",
    "SlopewrightError",
    "StockError",
    "Survey",
    "SurveyError",
    "Table",
    "TakeOff",
    "Working",
    "__version__",
    "covering_keys",
    "fault_kinds",
    "length_mm",
    "pitch_deg",
    "read_survey",
]
