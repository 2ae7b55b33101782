"""The one place where colours, faces and line weights of drawings and pages are named.

A page links ``tokens_css()`` and ``figure_css()`` and shares ``shared_defs()``, so its drawings
follow the reader's theme. A drawing that stands alone carries ``resolved_css(theme)`` instead:
plain colours, for viewers that know no custom properties.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Literal

Theme = Literal["light", "dark", "print"]

# Name: by day, by night, on paper. Ink is above 4.5:1 on sheet, inset and closed in each.
TOKENS: Mapping[str, tuple[str, str, str]] = {
    "ground": ("#e9ebe6", "#161817", "#ffffff"),
    "sheet": ("#f8f9f5", "#1f2221", "#ffffff"),
    "inset": ("#ffffff", "#282c2a", "#ffffff"),
    "ink": ("#1a2325", "#e8e6dc", "#000000"),
    "ink-2": ("#445055", "#bcbdb3", "#333333"),
    "ink-3": ("#59656a", "#a2a69d", "#444444"),
    "on-ink": ("#f8f9f5", "#1a1d1c", "#ffffff"),
    "edge": ("#737f84", "#808780", "#737f84"),
    "hair": ("#c5cac5", "#434a46", "#aaaaaa"),
    "frame": ("#1a2325", "#8d928a", "#000000"),
    "closed": ("#e3e6e1", "#2b302e", "#ebebeb"),
    "amber-text": ("#824a00", "#f0b45c", "#824a00"),
    "amber-line": ("#b96a05", "#e09a35", "#b96a05"),
    "amber-wash": ("#fbf0d8", "#3d311c", "#fbf0d8"),
    "warn-text": ("#9c2218", "#ff9e8f", "#9c2218"),
    "warn-line": ("#bf3426", "#ee7765", "#bf3426"),
    "warn-wash": ("#f9e1dc", "#4a2722", "#f9e1dc"),
    "mark-0": ("#2d4a63", "#93b7d3", "#2d4a63"),
    "mark-1": ("#1f6558", "#7cc7b4", "#1f6558"),
    "mark-2": ("#6a4476", "#caa5d8", "#6a4476"),
    "mark-3": ("#4d5a1c", "#b9c878", "#4d5a1c"),
    "mark-4": ("#4b4f5c", "#b4b9c9", "#4b4f5c"),
    "mark-5": ("#5f4630", "#d3b99b", "#5f4630"),
}
_THEMES: tuple[Theme, ...] = ("light", "dark", "print")

# Faces that come with the systems in use; all have figures of one width.
TEXT_FACES = (
    '"Segoe UI", "Helvetica Neue", Roboto, "Nimbus Sans", "Liberation Sans", Arial, sans-serif'
)
TEXT_PX = 13.0
NOTE_PX = 12.0

INKS = 6
PATTERNS = 6
# A mark is a pattern in an ink: the first six differ in both, the next six are the same
# patterns in the next ink, and so on.
MARKS = INKS * PATTERNS
# States of one room are told apart by so many shades.
STATE_SHADES = 3

# Each tile: size, and what is drawn on it. The ground is drawn first, so that a bar hides shade.
_TILES: tuple[tuple[int, int, str], ...] = (
    (7, 7, '<path d="M-1.5 1.5L1.5-1.5M0 7L7 0M5.5 8.5L8.5 5.5"/>'),
    (7, 7, '<circle cx="1.75" cy="1.75" r="1.15"/><circle cx="5.25" cy="5.25" r="1.15"/>'),
    (8, 4, '<path d="M0 2H8"/>'),
    (10, 7, '<path d="M0 6L5 1.5L10 6"/>'),
    (8, 8, '<path d="M4 1.5V6.5M1.5 4H6.5"/>'),
    (5, 8, '<path d="M2.5 0V8"/>'),
)
# Solid, dots, dashes and so on: a line is told by its stroke as well as by its ink.
_DASHES = ("", ".1 5", "9 4", "12 3 2 3", "4 3", "16 4")

_RULES = """
.fig{display:block;overflow:visible}
.fig text{font-family:@faces;font-size:13px;font-weight:400;fill:var(--ink)}
.fig text{font-variant-numeric:tabular-nums lining-nums}
.fig .note{font-size:12px}
.fig .strong{font-weight:700}
.fig .quiet{fill:var(--ink-2)}
.fig .warn{fill:var(--warn-text);font-weight:700}
.fig .amber{fill:var(--amber-text);font-weight:700}
.fig .halo{paint-order:stroke;stroke:var(--sheet);stroke-width:4px;stroke-linejoin:round}
.fig .on{paint-order:stroke;stroke:var(--inset);stroke-width:4px;stroke-linejoin:round}
.fig .inked{fill:var(--on-ink);font-weight:700}
.fig .ground{fill:var(--sheet)}
.fig .blank{fill:var(--inset)}
.fig .outline{stroke:var(--ink);stroke-width:1.5;stroke-linejoin:round}
.fig .bare{fill:none}
.fig .thin{stroke:var(--ink-2);stroke-width:1;fill:none}
.fig .hair{stroke:var(--hair);stroke-width:1;fill:none}
.fig .edge{stroke:var(--edge);stroke-width:1;fill:none}
.fig .axis{stroke:var(--ink);stroke-width:1.25;fill:none}
.fig .thick{stroke:var(--ink);stroke-width:3;fill:none}
.fig .chain{stroke:var(--ink-3);stroke-width:1;stroke-dasharray:14 3 3 3;fill:none}
.fig .hidden{stroke:var(--ink-3);stroke-width:1;stroke-dasharray:6 3;fill:none}
.fig .cut{stroke:var(--ink);stroke-width:2.5;fill:none}
.fig .arrow{fill:var(--ink-2)}
.fig .arrow-load{fill:var(--ink)}
.fig .arrow-amber{fill:var(--amber-text)}
.fig .arrow-warn{fill:var(--warn-line)}
.fig .load{stroke:var(--ink);stroke-width:1.5;fill:none}
.fig .limit{stroke:var(--warn-line);stroke-width:1.5;stroke-dasharray:8 4;fill:none}
.fig .rod{fill:var(--ink);stroke:var(--inset);stroke-width:1}
.fig .dot{stroke:var(--sheet);stroke-width:1}
.fig .here{fill:var(--amber-line);stroke:var(--ink);stroke-width:1.5}
.fig .asked{stroke:var(--amber-line);stroke-width:2;fill:none}
.fig .closed{fill:var(--closed)}
.fig .edge-line{stroke:var(--edge);stroke-width:1}
.fig .open-time{fill:none;stroke:var(--edge);stroke-width:1}
.fig .free{fill:none;stroke:var(--edge);stroke-width:1;stroke-dasharray:3 3}
.fig .lost{fill:var(--amber-wash);stroke:var(--amber-line);stroke-width:1}
.fig .lost-line{stroke:var(--amber-text);stroke-width:1;fill:none}
.fig .lost-word{fill:var(--amber-text);font-weight:700;font-size:12px}
.fig .lost-word{paint-order:stroke;stroke:var(--amber-wash);stroke-width:6px}
.fig .day-line{stroke:var(--edge);stroke-width:1}
.fig .row-line{stroke:var(--hair);stroke-width:1}
.fig .now{stroke:var(--amber-line);stroke-width:2}
.fig .now-tab{fill:var(--amber-text)}
.fig .now-word{fill:var(--sheet);font-weight:700;font-size:12px}
.fig .due{fill:var(--ink)}
.fig .due-late{fill:var(--warn-line)}
.fig .late-bar{fill:var(--warn-line)}
.fig .bind{stroke:var(--warn-line);stroke-width:1.5;stroke-dasharray:5 3;fill:none}
.fig .chosen-box{fill:none;stroke:var(--amber-line);stroke-width:3}
.fig .late-edge{stroke:var(--warn-line);stroke-width:2;fill:none}
.fig .past{fill:var(--sheet);fill-opacity:.45}
.fig .line{fill:none;stroke-width:2;stroke-linejoin:round;stroke-linecap:butt}
.fig .wall{stroke:none}
.fig .best{stroke:var(--ink)}
.fig .bound{stroke:var(--ink-3);stroke-width:1.5;stroke-dasharray:4 3}
.fig .parting{fill:none;stroke:var(--sheet);stroke-width:1}
.fig .break{stroke:var(--sheet);stroke-width:2}
.fig .bubble{fill:var(--inset);stroke:var(--ink);stroke-width:1.25}
.fig .task:focus{outline:none}
.fig .task:focus-visible rect{stroke:var(--amber-line);stroke-width:3}
.fig a.task:hover rect{stroke:var(--amber-line);stroke-width:2}
.fig .parted{stroke:var(--sheet);stroke-width:.75}
.fig .hands.tooling{fill:var(--ink-3)}
.fig .state{fill:none;stroke:var(--ink-3);stroke-width:1;stroke-dasharray:3 2}
.fig .state.s0,.fig .state.s1,.fig .state.s2{fill:var(--ink-3);stroke-dasharray:none}
.fig .state.s0{fill-opacity:.1}
.fig .state.s1{fill-opacity:.22}
.fig .state.s2{fill-opacity:.34}
.fig .outline-tool{stroke:var(--ink-3)}
.fig .level{stroke:var(--ink-2);stroke-width:1}
.fig .tile-ground{fill:var(--inset)}
.fig .tool{stroke:var(--ink-3);stroke-width:1.4;fill:none}
"""

_INK_RULES = """
.fig .hands.k{k}{{fill:var(--mark-{k})}}
.fig .alone.k{k}{{stroke:var(--mark-{k});stroke-width:1}}
.fig .line.k{k}{{stroke:var(--mark-{k})}}
.fig .dot.k{k}{{fill:var(--mark-{k})}}
.fig .word.k{k}{{fill:var(--mark-{k})}}
.fig .tile.k{k} path{{stroke:var(--mark-{k});stroke-width:1.4;fill:none}}
.fig .tile.k{k} circle{{fill:var(--mark-{k})}}
"""


def ink_of(mark: int) -> int:
    """Return which ink a mark is drawn in."""
    return (mark + mark // PATTERNS) % INKS


def pattern_of(mark: int) -> int:
    """Return which pattern a mark is filled with, and which strokes its line has."""
    return mark % PATTERNS


def mark_class(mark: int) -> str:
    """Return the classes of what is drawn with a mark: its pattern's and its ink's."""
    return f"p{pattern_of(mark)} k{ink_of(mark)}"


def tokens_css() -> str:
    """Return the custom properties: the device's theme, unless ``data-theme`` on the root says."""
    day, night, paper = (_properties(theme) for theme in _THEMES)
    return (
        f":root{{color-scheme:light;{day}}}\n"
        "@media (prefers-color-scheme:dark){:root:not([data-theme=light])"
        f"{{color-scheme:dark;{night}}}}}\n"
        f":root[data-theme=dark]{{color-scheme:dark;{night}}}\n"
        f"@media print{{:root,:root[data-theme=dark]{{color-scheme:light;{paper}}}}}\n"
        f"@media (forced-colors:active){{:root{{{_FORCED}}}}}\n"
    )


# A reader who has set the system's own colours gets those; patterns tell the processes apart.
_FORCED = "".join(
    f"--{name}:{system};"
    for system, names in {
        "Canvas": ("ground", "sheet", "inset", "closed", "on-ink", "amber-wash", "warn-wash"),
        "CanvasText": ("ink", "ink-2", "ink-3", "edge", "frame", "amber-text", "warn-text"),
        "GrayText": ("hair",),
        "Highlight": ("amber-line", "warn-line"),
    }.items()
    for name in names
) + "".join(f"--mark-{ink}:CanvasText;" for ink in range(INKS))


def _properties(theme: Theme) -> str:
    at = _THEMES.index(theme)
    return "".join(f"--{name}:{values[at]};" for name, values in TOKENS.items())


def figure_css() -> str:
    """Return the rules of every drawing, in terms of the custom properties."""
    inks = "".join(_INK_RULES.format(k=k) for k in range(INKS)).replace("\n\n", "\n")
    dashes = "".join(
        f".fig .line.p{at}{{stroke-dasharray:{dash}}}\n" for at, dash in enumerate(_DASHES) if dash
    )
    round_dots = ".fig .line.p1{stroke-width:3.5;stroke-linecap:round}\n"
    thin = ".fig .line.fails{stroke-width:1}\n"
    return _RULES.replace("@faces", TEXT_FACES).lstrip() + inks + dashes + round_dots + thin


def resolved_css(theme: Theme) -> str:
    """Return the same rules with the colours of one theme written out."""
    at = _THEMES.index(theme)
    return re.sub(r"var\(--([a-z0-9-]+)\)", lambda m: TOKENS[m.group(1)][at], figure_css())


def colour(name: str, theme: Theme) -> str:
    """Return one token's colour in one theme."""
    return TOKENS[name][_THEMES.index(theme)]


def defs(marks: Iterable[int] = range(MARKS)) -> str:
    """Return the patterns and arrow heads that drawings point at by id."""
    tiles = "".join(_tile(mark) for mark in sorted({m % MARKS for m in marks}))
    arrows = "".join(
        f'<marker id="fig-{name}" viewBox="0 0 10 6" refX="9.5" refY="3" markerWidth="10" '
        f'markerHeight="6" markerUnits="userSpaceOnUse" orient="auto-start-reverse">'
        f'<path class="{name}" d="M0 .6L10 3L0 5.4Z"/></marker>'
        for name in ("arrow", "arrow-load", "arrow-amber", "arrow-warn")
    )
    tool = (
        '<pattern id="fig-tool" width="7" height="7" patternUnits="userSpaceOnUse">'
        '<rect class="tile-ground" width="7" height="7"/>'
        '<path class="tool" d="M0 7L7 0M0 0L7 7"/></pattern>'
        '<pattern id="fig-ground" width="6" height="6" patternUnits="userSpaceOnUse">'
        '<path class="tool" d="M-1 1L1-1M0 6L6 0M5 7L7 5"/></pattern>'
    )
    return f"<defs>{tiles}{tool}{arrows}</defs>"


def _tile(mark: int) -> str:
    width, height, drawn = _TILES[pattern_of(mark)]
    return (
        f'<pattern id="fig-m{mark}" width="{width}" height="{height}" '
        f'patternUnits="userSpaceOnUse"><rect class="tile-ground" width="{width}" '
        f'height="{height}"/><g class="tile {mark_class(mark)}">{drawn}</g></pattern>'
    )


def shared_defs() -> str:
    """Return an element for the top of a page, whose patterns all its drawings share."""
    return f'<svg class="fig" width="0" height="0" aria-hidden="true">{defs()}</svg>'
