"""Writes tests/oracle/order_money.json: 200 random orders, reckoned with Python's decimal under every rounding mode.

Run from the root of the repository:

    python tests/oracle/order_money.py

Amounts are kept as exact fractions (a price for three has no end as a decimal) and rounded by decimal's quantize.
Half of
the prices end in a way that makes ties at the half cent likely, since that is where the modes differ.
"""

import json
import math
import random
from decimal import (
    ROUND_DOWN,
    ROUND_HALF_DOWN,
    ROUND_HALF_EVEN,
    ROUND_HALF_UP,
    ROUND_UP,
    Decimal,
    getcontext,
)
from fractions import Fraction
from pathlib import Path

SEED = 20_240_503
ORDERS = 200
getcontext().prec = 60
MODES = {
    "half-up": ROUND_HALF_UP,
    "half-even": ROUND_HALF_EVEN,
    "half-down": ROUND_HALF_DOWN,
    "up": ROUND_UP,
    "down": ROUND_DOWN,
}
# The decimals of the smallest coin (ISO 4217).
CURRENCIES = {"EUR": 2, "GBP": 2, "USD": 2, "JPY": 0, "KWD": 3}

choose = random.Random(SEED)


def price() -> str:
    if choose.random() < 0.5:
        return f"{choose.randint(0, 4_000)}.{choose.choice(['005', '125', '025', '5', '375', '50', '25'])}"
    return f"{choose.randint(1, 10**7) / 10 ** choose.randint(0, 4):.{choose.randint(0, 4)}f}"


def percent(most: int) -> str:
    common = choose.choice(["0", "0", "2.5", "5", "7.5", "10", "12.5"])
    return choose.choice([common, common, str(choose.randint(0, most)), f"{choose.uniform(0, most):.2f}"])


def line(number: int) -> dict:
    pack = choose.choice([1, 1, 6, 10, 24, 288])
    return {
        "item": f"item {number}",
        "need": choose.choice([1, 3, choose.randint(1, 50), choose.randint(1, 20_000)]),
        "pack": pack,
        "part_packs": choose.random() < 0.3,
        "least": choose.choice([0, 0, 0, 100]),
        "price": price(),
        "per": choose.choice([1, 1, 1, 100, 1000, 12, 3]),
        "discount": percent(60),
        "tax": choose.choice(["0", "5", "5.5", "19", "20", "23"]),
    }


def part(percent: str) -> Fraction:
    return Fraction(percent) / 100


def reckon(lines: list[dict], discount: str, decimals: int, mode: str, per_line: bool) -> dict:
    coin = Decimal(1).scaleb(-decimals)

    def rounded(amount: Fraction) -> Fraction:
        # A tie has an end as a decimal, so the 60 digits hold it exactly.
        return Fraction(
            (Decimal(amount.numerator) / Decimal(amount.denominator)).quantize(coin, rounding=mode)
        )

    nets, taxes = [], {}
    for row in lines:
        exact = Fraction(row["ordered"]) * Fraction(row["price"]) / row["per"]
        net = exact * (1 - part(row["discount"])) * (1 - part(discount))
        if per_line:
            net = rounded(net)
            tax = rounded(net * part(row["tax"]))
        else:
            tax = net * part(row["tax"])
        nets.append(net)
        taxes[row["tax"]] = taxes.get(row["tax"], Fraction(0)) + tax
    net = rounded(sum(nets))
    tax = sum((rounded(tax) for tax in taxes.values()), Fraction(0))

    def shown(amount: Fraction) -> str:
        return str((Decimal(amount.numerator) / Decimal(amount.denominator)).quantize(coin))

    return {
        "net": shown(net),
        "tax": shown(tax),
        "gross": shown(net + tax),
        "lines": [shown(net) for net in nets] if per_line else [],
    }


orders = []
for _ in range(ORDERS):
    lines = [line(number) for number in range(choose.randint(1, 6))]
    for row in lines:
        wanted = max(row["need"], row["least"])
        packs = math.ceil(Fraction(wanted, row["pack"]))
        row["ordered"] = wanted if row["part_packs"] else packs * row["pack"]
    currency = choose.choice(list(CURRENCIES))
    discount = choose.choice(["0", "0", "2", "3", "2.5"])
    orders.append(
        {
            "currency": currency,
            "discount": discount,
            "lines": lines,
            "results": [
                {
                    "mode": name,
                    "place": place,
                    **reckon(lines, discount, CURRENCIES[currency], mode, place == "per-line"),
                }
                for name, mode in MODES.items()
                for place in ("per-line", "per-total")
            ],
        }
    )

path = Path(__file__).with_suffix(".json")
path.write_text("[\n" + ",\n".join(json.dumps(order) for order in orders) + "\n]\n", encoding="utf-8")
differ = sum(len({result["gross"] for result in order["results"]}) > 1 for order in orders)
print(f"{ORDERS} orders; in {differ} of them the mode or the place changes what is paid")
