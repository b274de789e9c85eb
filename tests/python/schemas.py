"""The fields of a document that take text, read out of its JSON schema; and how one is set in a document."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any
from urllib.parse import unquote

Path = tuple[str, ...]
#: Texts that are amounts: whatever is no amount there is a fault.
AMOUNTS = {"length", "pitch", "mass", "mass per area"}


def text_fields(schema: dict[str, Any]) -> list[Path]:
    """Paths of every field of text; `[]` stands for an item of a list, `{}` for an entry under a name."""
    return sorted(set(_fields(schema, schema, ())))


def _fields(schema: Any, root: dict[str, Any], path: Path) -> Iterator[Path]:
    if not isinstance(schema, dict):
        return
    if "$ref" in schema:
        name = unquote(schema["$ref"].rsplit("/", 1)[1])
        if name not in AMOUNTS:
            yield from _fields(root["$defs"][name], root, path)
        return
    kinds = schema.get("type")
    if (
        "string" in (kinds if isinstance(kinds, list) else [kinds])
        and "enum" not in schema
        and "const" not in schema
    ):
        yield path
    for name, field in schema.get("properties", {}).items():
        yield from _fields(field, root, (*path, name))
    for names in ("oneOf", "anyOf", "allOf"):
        for choice in schema.get(names, []):
            yield from _fields(choice, root, path)
    yield from _fields(schema.get("items"), root, (*path, "[]"))
    yield from _fields(schema.get("additionalProperties"), root, (*path, "{}"))


def with_text(document: dict[str, Any], path: Path, text: str) -> dict[str, Any]:
    """The document with the text in that field of its first item, and in every other place as it was."""
    return _set(copy.deepcopy(document), path, text)


def _set(value: Any, path: Path, text: str) -> Any:
    if not path:
        return text
    step, rest = path[0], path[1:]
    if step == "[]":
        items = value if isinstance(value, list) and value else [None]
        return [_set(items[0], rest, text), *items[1:]]
    fields = dict(value) if isinstance(value, dict) else {}
    name = next(iter(fields), "front") if step == "{}" else step
    fields[name] = _set(fields.get(name), rest, text)
    return fields
