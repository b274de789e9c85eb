"""Pictures of drawings, for what cannot show SVG.

The renderer is a package of its own (the extra `png`), so that the wheel of slopewright carries neither it nor
fonts: everything that shows drawings day by day, browsers and notebooks, takes the SVG.
"""

from __future__ import annotations

import importlib

__all__ = ["png_of"]


def png_of(svg: str, width_px: int | None = None) -> bytes:
    """Return an SVG as a PNG picture.

    Args:
        svg: The drawing.
        width_px: How wide it is to be, in pixels; by default as it is.

    Raises:
        ImportError: The extra `png` is not installed.

    """
    try:
        resvg = importlib.import_module("resvg_py")
    except ImportError as error:
        raise ImportError("pictures need the extra png: python3 -m pip install 'slopewright[png]'") from error
    return bytes(resvg.svg_to_bytes(svg_string=svg, width=width_px))
