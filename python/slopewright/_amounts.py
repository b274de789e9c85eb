"""Amounts as the texts that documents have: every digit, with its unit."""

from __future__ import annotations

from decimal import Decimal
from typing import Any


def figure(value: float) -> str:
    """Write a number of any kind with all its digits and without an exponent."""
    return format(Decimal(repr(float(value))), "f")


def mm(value: float | None) -> str | None:
    return None if value is None else f"{figure(value)} mm"


def metres(value: float | None) -> str | None:
    return None if value is None else f"{figure(value)} m"


def degrees(value: float | None) -> str | None:
    return None if value is None else f"{figure(value)} deg"


def given(**fields: object) -> dict[str, Any]:
    """Return the fields that are given."""
    return {name: value for name, value in fields.items() if value is not None}
