"""The texts of the repository: their fenced blocks, links and headings."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TEXTS = [ROOT / name for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md")]
TEXTS += sorted((ROOT / "docs").rglob("*.md"))
NOTEBOOKS = sorted((ROOT / "docs" / "notebooks").glob("*.ipynb"))

FENCE = re.compile(r"^```([^\n]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")


def named(path: Path) -> str:
    """The path as the repository has it."""
    return path.relative_to(ROOT).as_posix()


@dataclass(frozen=True)
class Block:
    """A fenced block, with the line that its text begins on, and what is printed under it."""

    path: Path
    line: int
    language: str
    text: str
    output: str | None = None

    @property
    def place(self) -> str:
        return f"{named(self.path)}:{self.line}"


def blocks_of(path: Path) -> list[Block]:
    """Every fenced block of a text. A block of `text` right after another is what that one prints."""
    text = path.read_text(encoding="utf-8")
    found = list(FENCE.finditer(text))
    blocks = []
    for at, one in enumerate(found):
        after = found[at + 1] if at + 1 < len(found) else None
        line = text.count("\n", 0, one.start()) + 2
        is_output = after is not None and after[1] == "text" and not text[one.end() : after.start()].strip()
        blocks.append(
            Block(path, line, one[1], one[2], after[2] if after is not None and is_output else None)
        )
    return blocks


def blocks(language: str) -> list[Block]:
    """Every block of that language."""
    return [block for path in TEXTS for block in blocks_of(path) if block.language == language]


def prose_of(path: Path) -> str:
    """A text without its code; of a notebook its cells of text."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".ipynb":
        cells = json.loads(text)["cells"]
        text = "\n\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    return re.sub(r"`[^`\n]*`", "`", FENCE.sub("", text))


def links_of(path: Path) -> list[str]:
    """Where the links and pictures of a text point."""
    return LINK.findall(prose_of(path))


def anchors_of(path: Path) -> set[str]:
    """What the headings of a text can be called by in a link."""
    text = FENCE.sub("", path.read_text(encoding="utf-8"))
    titles = re.findall(r"^#+ +(.*)$", text, flags=re.MULTILINE)
    return {re.sub(r"[\s]+", "-", re.sub(r"[^\w\s-]", "", title.lower()).strip()) for title in titles}


def as_pattern(shown: str) -> re.Pattern[str]:
    """What a block shows as a pattern: `...` alone on a line is any lines, within a line any text."""
    parts = []
    for line in shown.splitlines():
        if line.strip() == "...":
            parts.append(r"(?:.*\n)*?")
        else:
            parts.append(r".*".join(re.escape(part) for part in line.split("...")) + r"\n")
    return re.compile("".join(parts))
