"""Notebooks as pages: run by nbmake, with what comes out of every cell under it."""

from __future__ import annotations

import base64
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

#: The richest first: what a notebook would show.
KINDS = ("image/svg+xml", "text/html", "image/png", "text/plain")


def write(folder: Path) -> None:
    """Run the notebooks of a folder in their places, and put a Markdown page in the place of each."""
    found = sorted(folder.glob("*.ipynb"))
    # Warnings of the notebook server's own libraries are no faults of a notebook.
    run = [sys.executable, "-m", "pytest", "--nbmake", "--overwrite", "-q", "-W", "default"]
    subprocess.run(
        [*run, "--rootdir", str(folder), "-c", "/dev/null", *map(str, found)], check=True, cwd=folder
    )
    for notebook in found:
        _page(notebook)


def _page(notebook: Path) -> None:
    parts: list[str] = []
    for number, cell in enumerate(json.loads(notebook.read_text(encoding="utf-8"))["cells"]):
        source = "".join(cell["source"])
        if cell["cell_type"] == "markdown":
            parts.append(source)
            continue
        parts.append(f"```python\n{source}\n```")
        for at, output in enumerate(cell["outputs"]):
            parts.append(_shown(output, notebook.parent, f"{notebook.stem}-{number}-{at}"))
    parts.append(
        f"*This page is the notebook `docs/notebooks/{notebook.name}`, run when the book was built.*"
    )
    notebook.with_suffix(".md").write_text("\n\n".join(filter(None, parts)) + "\n", encoding="utf-8")
    notebook.unlink()


def _shown(output: dict[str, Any], folder: Path, name: str) -> str:
    if output["output_type"] == "stream":
        return f"```text\n{''.join(output['text']).rstrip()}\n```"
    data = output.get("data", {})
    kind = next((kind for kind in KINDS if kind in data), None)
    if kind is None:
        return ""
    content = "".join(data[kind])
    if kind == "text/plain":
        return f"```text\n{content.rstrip()}\n```"
    if kind == "text/html":
        # One line, so that Markdown takes it as it is.
        return f'<div class="shown">{" ".join(content.split())}</div>'
    ending = "svg" if kind == "image/svg+xml" else "png"
    raw = content.encode() if ending == "svg" else base64.b64decode(content)
    (folder / f"{name}.{ending}").write_bytes(raw)
    return f"![What the cell shows]({name}.{ending})"
