"""A picture as SVG in mm: rectangles, lines, texts, each one element, and the sheet around them.

Only what our pictures need. Numbers are written with at most two decimals, so that the same picture gives
the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

MONO = "Atkinson Hyperlegible Mono, monospace"
SANS = "Atkinson Hyperlegible Next, sans-serif"
INK, GREY, PAPER = "#000000", "#4B535B", "#FFFFFF"


def number(value: float) -> str:
    """Return a number with at most two decimals."""
    return f"{round(value, 2):g}"


def rect(
    box: tuple[float, float, float, float],
    *,
    fill: str = PAPER,
    line: str = INK,
    width: float = 0.25,
    dash: str = "",
    radius: float = 0.0,
) -> str:
    """Return a rectangle of x, y, width, height in mm."""
    x, y, wide, high = map(number, box)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    round_ = f' rx="{number(radius)}"' if radius else ""
    return (
        f'<rect x="{x}" y="{y}" width="{wide}" height="{high}"{round_}'
        f' fill="{fill}" stroke="{line}" stroke-width="{number(width)}"{dashed}/>'
    )


def text(
    words: str,
    at: tuple[float, float],
    size: float,
    *,
    font: str = SANS,
    is_bold: bool = False,
    anchor: str = "start",
    fill: str = INK,
) -> str:
    """Return a line of text whose baseline begins, ends or has its middle at a point in mm."""
    x, y = map(number, at)
    bold = ' font-weight="bold"' if is_bold else ""
    place = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return (
        f'<text x="{x}" y="{y}"{place} font-family="{font}" font-size="{number(size)}"'
        f'{bold} fill="{fill}">{escape(words)}</text>'
    )


def polyline(
    points: Sequence[tuple[float, float]], *, line: str = INK, width: float = 0.3, dash: str = ""
) -> str:
    """Return a line through points in mm."""
    course = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<polyline points="{course}" fill="none" stroke="{line}" stroke-width="{number(width)}"'
        f' stroke-linejoin="round"{dashed}/>'
    )


def picture(width: float, height: float, elements: Iterable[str], *, title: str) -> str:
    """Return the elements on white paper of this size, with a title for those who do not see it."""
    wide, high = number(width), number(height)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm"'
        f' viewBox="0 0 {wide} {high}">'
    )
    paper = rect((0, 0, width, height), line="none", width=0)
    return "\n".join([head, f"<title>{escape(title)}</title>", paper, *elements, "</svg>", ""])
