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
    HeapInspection,
    Line,
    Need,
    Order,
    OrderDocument,
    OrderError,
    OrderLine,
    OutputError,
    QuantityError,
    Salvaged,
    SalvageDocument,
    SalvageError,
    SetOutError,
    SlopeLayout,
    SlopewrightError,
    StockError,
    Survey,
    SurveyError,
    Table,
    TakeOff,
    Tally,
    TallyEntry,
    Working,
    __version__,
    covering_keys,
    fault_kinds,
    inspect_heap,
    length_mm,
    pitch_deg,
)
from slopewright.building import Edge, Opening, Roof, read_survey
from slopewright.ordering import Prices, order, read_order
from slopewright.salvage import Salvage, add_count, merge_tallies, read_salvage, read_tally

__all__ = [
    "CatalogueError",
    "Edge",
    "Fault",
    "Finding",
    "HeapInspection",
    "Line",
    "Need",
    "Opening",
    "Order",
    "OrderDocument",
    "OrderError",
    "OrderLine",
    "OutputError",
    "Prices",
    "QuantityError",
    "Roof",
    "Salvage",
    "SalvageDocument",
    "SalvageError",
    "Salvaged",
    "SetOutError",
    "SlopeLayout",
    "SlopewrightError",
    "StockError",
    "Survey",
    "SurveyError",
    "Table",
    "TakeOff",
    "Tally",
    "TallyEntry",
    "Working",
    "__version__",
    "add_count",
    "covering_keys",
    "fault_kinds",
    "inspect_heap",
    "length_mm",
    "merge_tallies",
    "order",
    "pitch_deg",
    "read_order",
    "read_salvage",
    "read_survey",
    "read_tally",
]
