"""Write python/slopewright/_native.pyi from the native module; with --check, only say whether it is up to date.

    python crates/slopewright-python/make_stubs.py [--check]

It needs maturin and ruff. maturin reads the signatures out of a library built with the feature `stubs`; what it cannot
read (the exceptions, which a macro of PyO3 makes, and the version) is added from the built module itself.
"""

from __future__ import annotations

import importlib.machinery
import importlib.util
import inspect
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
STUBS = ROOT / "python" / "slopewright" / "_native.pyi"
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))


def main() -> int:
    """Make the stubs and write or compare them."""
    with tempfile.TemporaryDirectory() as folder:
        manifest = ROOT / "crates" / "slopewright-python" / "Cargo.toml"
        made = Path(folder) / "slopewright" / "_native.pyi"
        build = ["generate-stubs", "--quiet", "--manifest-path", str(manifest), "--features", "stubs"]
        run("maturin", *build, "--target-dir", str(TARGET), "--out", folder)
        made.write_text(completed(made.read_text(encoding="utf-8"), native()), encoding="utf-8")
        run("ruff", "check", "--quiet", "--fix", "--config", str(ROOT / "pyproject.toml"), str(made))
        run("ruff", "format", "--quiet", "--config", str(ROOT / "pyproject.toml"), str(made))
        text = made.read_text(encoding="utf-8")
    if "--check" in sys.argv[1:]:
        if STUBS.exists() and STUBS.read_text(encoding="utf-8") == text:
            return 0
        print(f"{STUBS.relative_to(ROOT)} is not what the native module says: run {Path(__file__).name}")
        return 1
    STUBS.write_text(text, encoding="utf-8")
    return 0


def run(*command: str) -> None:
    """Run one of the tools of this interpreter's environment."""
    tool = Path(sys.executable).parent / command[0]
    subprocess.run([str(tool) if tool.exists() else command[0], *command[1:]], check=True, cwd=ROOT)


def native() -> ModuleType:
    """Load the module that was just built."""
    library = next(
        path for path in (TARGET / "maturin").iterdir() if path.stem.removeprefix("lib") == "_native"
    )
    loader = importlib.machinery.ExtensionFileLoader("_native", str(library))
    module = importlib.util.module_from_spec(importlib.util.spec_from_loader("_native", loader))
    loader.exec_module(module)
    return module


def completed(stubs: str, module: ModuleType) -> str:
    """Put the exceptions and the version in the place of the mark for what is missing."""
    kinds = [
        kind
        for _, kind in inspect.getmembers(module, lambda it: isinstance(it, type))
        if issubclass(kind, Exception)
    ]
    # The base comes first.
    kinds.sort(key=lambda kind: (len(kind.__mro__), kind.__name__))
    classes = ""
    for kind in kinds:
        classes += (
            f'class {kind.__name__}({kind.__base__.__name__}):\n    """\n    {kind.__doc__}\n    """\n\n'
        )
        if "faults" in vars(kind):
            classes += "    faults: tuple[Fault, ...]\n\n"
    missing = re.compile(r"^def __getattr__\(name: str\) -> Incomplete: \.\.\.\n", re.MULTILINE)
    if not missing.search(stubs):
        raise SystemExit("the stubs have no mark for what is missing: has maturin changed?")
    names = "".join(f'    "{name}",\n' for name in sorted(module.__all__))
    classes = f"__all__ = [\n{names}]\n\n{classes}"
    stubs = missing.sub(f"{classes}__version__: str\n", stubs)
    # Rows of a table are annotated by hand in the Rust source, and that name is not imported.
    if not re.search(r"^from typing import .*\bAny\b", stubs, flags=re.MULTILINE):
        stubs = re.sub(r"^from typing import ", "from typing import Any, ", stubs, count=1, flags=re.MULTILINE)
    return re.sub(r"^from _typeshed import Incomplete(\n|, )", _without_incomplete, stubs, flags=re.MULTILINE)


def _without_incomplete(found: re.Match[str]) -> str:
    return "" if found[1] == "\n" else "from _typeshed import "


if __name__ == "__main__":
    sys.exit(main())
