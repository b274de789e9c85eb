"""Orders in Python: currency, terms and prices from keyword arguments, and the order that follows."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from slopewright._amounts import given
from slopewright._native import Order, OrderDocument, Salvaged
from slopewright.salvage import _percent


def read_order(path: str | Path) -> OrderDocument:
    """Read an order document from a file: JSON if it is called so, else TOML.

    The price list that it names is read from the same folder.

    Raises:
        OSError: A file cannot be read.
        OrderError: Parts of a text cannot be read; `faults` lists all of them.

    """
    path = Path(path)
    text = path.read_text(encoding="utf-8")
    document = (
        OrderDocument.from_json(text) if path.suffix.lower() == ".json" else OrderDocument.from_toml(text)
    )
    if document.price_file is None:
        return document
    return document.with_csv((path.parent / document.price_file).read_text(encoding="utf-8"))


def _spare(
    allowance_percent: float | None, breakage_percent: float | None, sureness: float | None
) -> dict[str, Any] | None:
    if breakage_percent is not None or sureness is not None:
        if allowance_percent is not None:
            raise TypeError(
                "spare is stated twice: give allowance_percent, or breakage_percent with sureness"
            )
        if breakage_percent is None or sureness is None:
            raise TypeError("breakage_percent and sureness belong together")
        return {"by": "risk", "breakage": _percent(breakage_percent), "sureness": sureness}
    return None if allowance_percent is None else {"by": "allowance", "part": _percent(allowance_percent)}


class Prices:
    """Builds an order document: currency, terms and prices.

    Args:
        currency: The currency by its three capital letters.
        rounding: How amounts are rounded: half-up, half-even, half-down, up or down. There is no default.
        rounding_place: Where: per-line or per-total. There is no default.
        discount_percent: A discount on everything, after that of each item [%].
        allowance_percent: How much more is ordered than is needed, as a stated part [%].
        breakage_percent: Instead: the part that breaks on the way and on the site [%], with `sureness`.
        sureness: How sure it is to be that enough arrives; 0.95 is 95 %.
        lift_kg: What one lift may carry, as the machine's own figure says for its reach [kg].
        least_value: The least net value that is delivered.

    Amounts are decimals or texts, never doubles, so that they stay exact.

    Examples:
        >>> import slopewright as sw
        >>> prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line")
        >>> prices = prices.item("tile", price="612.50", per=1000, pack=6, tax_percent=20)
        >>> made = sw.order({"tile": 1000}, prices)
        >>> made.lines[0].ordered, made.gross
        (1002, Decimal('736.48'))

    """

    def __init__(
        self,
        *,
        currency: str,
        rounding: str,
        rounding_place: str,
        discount_percent: float = 0.0,
        allowance_percent: float | None = None,
        breakage_percent: float | None = None,
        sureness: float | None = None,
        lift_kg: Decimal | str | int | None = None,
        least_value: Decimal | str | int | None = None,
    ) -> None:
        self._currency = currency
        self._terms = given(
            rounding=rounding,
            rounding_place=rounding_place,
            discount=_percent(discount_percent),
            spare=_spare(allowance_percent, breakage_percent, sureness),
            lift_kg=_text(lift_kg, "lift_kg"),
            least_value=_text(least_value, "least_value"),
        )
        self._spares: list[dict[str, Any]] = []
        self._rows: list[dict[str, Any]] = []
        self._lists: list[str] = []

    def item(
        self,
        item: str,
        *,
        price: Decimal | str | int,
        per: int = 1,
        pack: int = 1,
        part_packs: bool = False,
        least: int = 0,
        discount_percent: float = 0.0,
        tax_percent: float = 0.0,
        mass_each_kg: Decimal | str | int | None = None,
        pallet: int = 0,
        description: str = "",
    ) -> Prices:
        """Add a price.

        Args:
            item: What it is: a unit by its format and kind, the key of an underlay or nail, or the words of the
                take-off; what is cut to a size ("soakers, lead code 3, 192 mm x 175 mm") also without the size, for
                every size that has no price of its own.
            price: The price before discount and tax.
            per: For how many that is.
            pack: How many are in a pack.
            part_packs: Whether packs are opened.
            least: The least number that is sold.
            discount_percent: The discount on this item [%].
            tax_percent: The tax on it [%].
            mass_each_kg: The mass of one [kg].
            pallet: How many are on a pallet; 0 if it does not come on one.
            description: What it is, in words.

        """
        self._rows.append(
            given(
                item=item,
                description=description,
                price=_text(price, "price"),
                per=per,
                pack=pack,
                part_packs=part_packs,
                least=least,
                discount=_percent(discount_percent),
                tax=_percent(tax_percent),
                mass_each_kg=_text(mass_each_kg, "mass_each_kg"),
                pallet=pallet,
            )
        )
        return self

    def csv(self, text: str) -> Prices:
        """Add a price list in comma-separated text, headed by at least `item` and `price`."""
        self._lists.append(text)
        return self

    def spare(
        self,
        item: str | None = None,
        *,
        part: str | None = None,
        allowance_percent: float | None = None,
        breakage_percent: float | None = None,
        sureness: float | None = None,
    ) -> Prices:
        """State the spare of one item, or of all for a part of the roof, where it is not that of the rest.

        Without a figure there is none. The spare of an item goes before that of its part.

        Args:
            item: The item ...
            part: ... or the part, as take-offs call it: covering for the units, battens, fixings, ridge ...
            allowance_percent: How much more is ordered than is needed, as a stated part [%].
            breakage_percent: Instead: the part that breaks on the way and on the site [%], with `sureness`.
            sureness: How sure it is to be that enough arrives; 0.95 is 95 %.

        """
        spare = _spare(allowance_percent, breakage_percent, sureness) or {"by": "none"}
        self._spares.append(given(item=item, part=part, spare=spare))
        return self

    def document(self) -> OrderDocument:
        """Return the order document built so far.

        Raises:
            OrderError: Parts of it cannot be read; `faults` lists all of them.

        """
        fields = {
            "slopewright": 1,
            "currency": self._currency,
            "terms": {**self._terms, "spares": self._spares},
            "prices": self._rows,
        }
        document = OrderDocument.from_json(json.dumps(fields))
        for text in self._lists:
            document = document.with_csv(text)
        return document

    def __repr__(self) -> str:
        return f"Prices({self._currency!r}, items={len(self._rows)})"


def _text(value: Decimal | str | int | None, name: str) -> str | None:
    if value is None:
        return None
    if isinstance(value, float):
        raise TypeError(f"{name} is a double, which is not exact: give a text or a decimal.Decimal")
    return str(value)


def order(wanted: Salvaged | Mapping[str, int], prices: Prices | OrderDocument) -> Order:
    """Order what is short after salvage, or so many of each item.

    After salvage the other materials of the take-offs are ordered too, as far as they have a price;
    `unpriced` names the rest.

    Raises:
        OrderError: Something has no price, or a figure is out of range; `faults` lists all of them.
        TypeError: An argument is something else than it should be.

    """
    document = prices.document() if isinstance(prices, Prices) else prices
    wrong: list[str] = []
    if not _is_one_of(wanted, Salvaged, Mapping):
        wrong.append(
            f"wanted: is {_kind(wanted)}; allowed: a result of salvage, or counts by item; what to do: reckon "
            "take-offs with sw.Salvage(...).reckon(take_off), or give {'membrane-1x50': 3}"
        )
    if not _is_one_of(document, OrderDocument):
        wrong.append(
            f"prices: is {_kind(prices)}; allowed: sw.Prices(...), or what sw.read_order returns; what to do: say the "
            "currency, the rounding and the prices"
        )
    if wrong:
        raise TypeError("\n".join(wrong))
    if isinstance(wanted, Salvaged):
        return document.order_for(wanted)
    return document.order(list(wanted.items()))


def _is_one_of(value: object, *kinds: type) -> bool:
    """Whether a value is what its type promises: who calls without a type checker may give anything."""
    return isinstance(value, kinds)


def _kind(value: object) -> str:
    return "nothing (None)" if value is None else f"a {type(value).__name__}"
