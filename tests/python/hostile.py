"""Text that would do harm where it is not escaped, and jobs with it in every field that a user may fill."""

from __future__ import annotations

import slopewright as sw

HOSTILE = [
    '=HYPERLINK("https://example.invalid","click")',
    "<script>window.hit=1;alert(1)</script>",
    "\"><img src=x onerror='window.hit=1;alert(2)'>",
    "]]></script><svg onload=alert(3)>",
    "'};window.hit=1;//</textarea></title></style>",
    "\u202egnol\u2066 \u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627",
    "line\u2028break\u2029 <!-- --> &lt;b&gt; {{7*7}} ${1}",
    "W" * 10_000,
]

#: The survey takes names of up to 200 characters; everything else as it comes.
LONGEST_NAME = 200


def hostile_parts(text: str) -> tuple[sw.TakeOff, sw.Salvaged, sw.Order]:
    """A take-off, salvage and order with the text in every field that is a text of the user's."""
    name = text[:LONGEST_NAME]
    window = sw.Opening(name=name, from_left_m=1.5, from_eaves_m=1, width_mm=780, height_mm=1180)
    roof = sw.Roof(name=name, covering="plain-tile-265x165", rafter_spacing_mm=400, underlay="membrane-1x50")
    take_off = roof.rectangle(name, eaves_m=5, rafter_m=3.2, pitch_deg=40, openings=[window]).take_off()
    salvage = sw.Salvage()
    salvage.graded("plain-tile-265x165 whole", sound=300, doubtful=3, broken=9, label=text)
    salvage.hold_back("plain-tile-265x165 whole", roof=text, count=12)
    salvaged = salvage.reckon(take_off)
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line")
    for kind in ("whole", "cut", "tile-and-a-half", "eaves", "top"):
        unit = f"plain-tile-265x165 {kind}"
        prices.item(unit, price="612.50", per=1000, pack=6, tax_percent=20, description=text)
    return take_off, salvaged, sw.order(salvaged, prices)


def hostile_page(text: str) -> str:
    """The page of that job."""
    take_off, salvaged, order = hostile_parts(text)
    return sw.page(take_off, salvaged=salvaged, order=order)
