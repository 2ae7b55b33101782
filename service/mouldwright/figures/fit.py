"""A figure drawn twice, wide and narrow, so that its lettering keeps its size on every page."""

from __future__ import annotations

from collections.abc import Callable

from mouldwright.figures.pen import Drawing

# Draws at a width, under a key: ``lambda width_px, key: draw_section(picture, ...)``.
Draw = Callable[[float, str], Drawing]


def fitted(
    draw: Draw, *, key: str, wide_px: float = 760, narrow_px: float = 340
) -> tuple[str, Drawing]:
    """Return markup that shows the drawing that fits, and the wide drawing for its table.

    The page's style hides the other one, from the eye and from a screen reader.
    """
    wide, narrow = draw(wide_px, f"{key}-wide"), draw(narrow_px, f"{key}-narrow")
    markup = (
        f'<div class="fit"><div class="wide">{wide.inline()}</div>'
        f'<div class="narrow">{narrow.inline()}</div></div>'
    )
    return markup, wide
