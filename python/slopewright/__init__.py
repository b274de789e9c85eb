"""Roofing materials take-off: what a roof needs, course by course, what to buy, and why.

Examples:
    >>> import slopewright as sw
    >>> roof = sw.Roof(name="shed", covering="plain-tile-265x165", rafter_spacing_mm=400)
    >>> roof = roof.rectangle("front", eaves_m=6.0, rafter_m=4.2, pitch_deg=40)
    >>> take_off = roof.take_off()
    >>> [line.item for line in take_off.lines][:2]
    ['area covered', 'whole units']

"""

from typing import TYPE_CHECKING

from slopewright._native import (
    ArrowTable,
    Batch,
    Batches,
    CatalogueError,
    CityModel,
    Cutting,
    DeliveryChoice,
    Drawing,
    Fault,
    Finding,
    HeapInspection,
    Joint,
    Line,
    Need,
    Order,
    OrderDocument,
    OrderError,
    OrderLine,
    OutputError,
    Placing,
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
    TapeRange,
    Working,
    __version__,
    covering_keys,
    drawing_layers,
    fault_kinds,
    inspect_heap,
    length_mm,
    page,
    pitch_deg,
    second_delivery,
)

# What is written in Python is loaded when it is first asked for: a program that only counts need not wait for what
# builds, reads and writes documents.
if TYPE_CHECKING:
    from slopewright.building import Roof
    from slopewright.estates import read_city_model, study, take_off_batch, take_off_batches
    from slopewright.ordering import Prices, order, read_order
    from slopewright.parts import Edge, Opening
    from slopewright.reading import read_survey
    from slopewright.salvage import Salvage, add_count, merge_tallies, read_salvage, read_tally

_LATER = {
    "building": ["Roof"],
    "estates": ["read_city_model", "study", "take_off_batch", "take_off_batches"],
    "ordering": ["Prices", "order", "read_order"],
    "parts": ["Edge", "Opening"],
    "reading": ["read_survey"],
    "salvage": ["Salvage", "add_count", "merge_tallies", "read_salvage", "read_tally"],
}


del TYPE_CHECKING


def __getattr__(name: str) -> object:
    from importlib import import_module  # noqa: PLC0415

    for module, names in _LATER.items():
        if name in names:
            found = getattr(import_module(f"{__name__}.{module}"), name)
            globals()[name] = found
            return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})


__all__ = [
    "ArrowTable",
    "Batch",
    "Batches",
    "CatalogueError",
    "CityModel",
    "Cutting",
    "DeliveryChoice",
    "Drawing",
    "Edge",
    "Fault",
    "Finding",
    "HeapInspection",
    "Joint",
    "Line",
    "Need",
    "Opening",
    "Order",
    "OrderDocument",
    "OrderError",
    "OrderLine",
    "OutputError",
    "Placing",
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
    "TapeRange",
    "Working",
    "__version__",
    "add_count",
    "covering_keys",
    "drawing_layers",
    "fault_kinds",
    "inspect_heap",
    "length_mm",
    "merge_tallies",
    "order",
    "page",
    "pitch_deg",
    "read_city_model",
    "read_order",
    "read_salvage",
    "read_survey",
    "read_tally",
    "second_delivery",
    "study",
    "take_off_batch",
    "take_off_batches",
]
