"""Amounts as the texts that documents have: every digit, with its unit.

What is not a number goes into the document as it is: the check of the document says which field holds it, what is
allowed and what to do, together with all other faults. A text with its unit is read there as in any document.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, cast


def figure(value: float) -> str:
    """Write a number of any kind with all its digits and without an exponent."""
    return format(Decimal(repr(float(value))), "f")


def in_unit(value: object, unit: str) -> object:
    """Return a number as a text with its unit, and all else as it is, as far as a document can hold it."""
    if value is None or isinstance(value, bool | str):
        return value
    try:
        return f"{figure(value)} {unit}"  # type: ignore[arg-type]
    except (TypeError, ValueError):
        return storable(value)
    except OverflowError:
        return f"{value} {unit}"


def mm(value: float | None) -> object:
    return in_unit(value, "mm")


def metres(value: float | None) -> object:
    return in_unit(value, "m")


def degrees(value: float | None) -> object:
    return in_unit(value, "deg")


def storable(value: object) -> object:
    """Return what a document can hold: mappings and sequences as they are, all else by its text."""
    if isinstance(value, Mapping):
        return {str(name): storable(of) for name, of in cast("Mapping[object, object]", value).items()}
    if isinstance(value, list | tuple):
        return [storable(of) for of in cast("Sequence[object]", value)]
    return value if value is None or isinstance(value, bool | int | float | str) else repr(value)


def given(**fields: object) -> dict[str, Any]:
    """Return the fields that are given."""
    return {name: value for name, value in fields.items() if value is not None}
