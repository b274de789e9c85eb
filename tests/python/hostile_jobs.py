"""A job whose documents have every field that takes any text, and the same job with a text in all of them."""

from __future__ import annotations

import copy
import json
from typing import Any

import slopewright as sw
from harmless import Job
from schemas import with_text

KEY = "plain-tile-265x165"
#: Everything at once, no longer than a name may be; and far more than anybody shows.
ALL_AT_ONCE = (
    '=HYPERLINK("https://example.invalid")<script>window.hit=1</script>]]>'
    "\"' onload=hit() \u202egnol\u2066\u2028|`"
)
TEXTS = {"all at once": ALL_AT_ONCE, "long": "=W" + "W" * 9_998}

WINDOW = {"name": "window", "from_left": "1.5 m", "from_eaves": "1 m", "width": "780 mm", "height": "980 mm"}
SLOPE = {
    "name": "front",
    "shape": "rectangle",
    "eaves": "5 m",
    "rafter": "3.2 m",
    "pitch": "40 deg",
    "opening": [WINDOW],
}
SURVEY: dict[str, Any] = {
    "slopewright": 1,
    "name": "shed",
    "covering": {"format": KEY},
    "battens": {"rafter_spacing": "400 mm"},
    "underlay": {"format": "membrane-1x50"},
    "measuring": "uk-nrm2",
    "slope": [SLOPE],
    "form": [{"name": "annex", "form": "gable", "length": "4 m", "span": "4 m", "pitch": "40 deg"}],
}
SALVAGE: dict[str, Any] = {
    "slopewright": 1,
    "heaps": [
        {"label": "wall", "unit": f"{KEY} whole", "counted": {"by": "grades", "sound": 300, "broken": 9}}
    ],
    "reckoning": {"basis": {"on": "likely"}},
    "old_coverings": [
        {
            "unit": f"{KEY} whole",
            "area": "12 m2",
            "gauge": "100 mm",
            "cover_width": "165 mm",
            "allowed": "5 %",
        }
    ],
    "sharing": {
        "manner": "whole-slopes",
        "ranks": [{"slope": "front", "rank": 1}],
        "formats": [{"format": "old-tile", "length": "265 mm", "width": "165 mm"}],
        "substitutes": [{"old": "old-tile", "new": KEY, "length_within": "5 mm", "width_within": "5 mm"}],
        "reserves": [{"roof": "annex", "unit": f"{KEY} whole", "hold": {"by": "number", "count": 5}}],
    },
}
ORDER: dict[str, Any] = {
    "slopewright": 1,
    "currency": "EUR",
    "terms": {"rounding": "half-up", "rounding_place": "per-line", "spares": []},
    "prices": [{"item": "scaffold ties", "price": "2.40", "description": "of another job"}]
    + [
        {"item": f"{KEY} {kind}", "price": "0.64", "pack": 6, "tax": "20 %", "description": "clay"}
        for kind in ("whole", "cut", "tile-and-a-half", "eaves", "top")
    ],
}
#: The fields that take any text of a name's length.
FREE = {
    "survey": {
        ("name",),
        ("form", "[]", "name"),
        ("slope", "[]", "name"),
        ("slope", "[]", "opening", "[]", "name"),
    },
    "salvage": {
        ("heaps", "[]", "label"),
        ("sharing", "reserves", "[]", "roof"),
        ("sharing", "ranks", "[]", "roof"),
        ("sharing", "ranks", "[]", "slope"),
        ("sharing", "formats", "[]", "format"),
        ("sharing", "substitutes", "[]", "old"),
        ("sharing", "substitutes", "[]", "new"),
    },
    "order": {("price_file",), ("prices", "[]", "description"), ("prices", "[]", "item")},
}

#: Of those, the fields that name a thing of another field: any text, as long as both have it.
TIED = {
    "survey": {("slope", "[]", "name")},
    "salvage": {("sharing", "ranks", "[]", "roof"), ("sharing", "ranks", "[]", "slope")},
    "order": set(),
}


def job_of(survey: dict[str, Any], salvage: dict[str, Any], order: dict[str, Any]) -> Job:
    """Everything that follows from the three documents."""
    read = sw.Survey.from_json(json.dumps(survey))
    take_off = read.take_off()
    salvaged = sw.SalvageDocument.from_json(json.dumps(salvage)).reckon(take_off)
    prices = sw.OrderDocument.from_json(json.dumps(order))
    return Job(read, take_off, salvaged, prices.order_for(salvaged), prices)


def everywhere(text: str) -> Job:
    """The job with the text in every field that takes any, and in what the user calls a covering of their own."""
    documents = copy.deepcopy({"survey": SURVEY, "salvage": SALVAGE, "order": ORDER})
    for kind, paths in FREE.items():
        for path in sorted(paths):
            # No form may have the name of a slope.
            ending = " 2" if path[0] == "form" else ""
            documents[kind] = with_text(documents[kind], path, text + ending)
    survey, salvage, order = documents.values()
    own = {"key": "own", "like": KEY, "name": text, "material": text, "source": "own-leaf"}
    source = {"key": "own-leaf", "title": text, "edition": text, "place": text, "standing": "user"}
    survey["catalogue"] = {"covering": [own], "source": [source]}
    survey["covering"]["format"] = "own"
    # With both of its formats called the same, leave for one to lie in place of the other says nothing.
    salvage["sharing"]["substitutes"] = []
    for row in order["prices"]:
        row["item"] = row["item"].replace(KEY, "own")
    return job_of(survey, salvage, order)
