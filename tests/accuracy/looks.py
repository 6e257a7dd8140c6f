"""How each conductor of a page is drawn: width, colour or pair of colours, dashes, and its letters."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from accuracy.marks import WHITE, Rgb
from accuracy.style import WIRE_COLOURS, Style
from accuracy.wiring import Look, Wiring

_DASHES = ((2.0, 0.8), (1.2, 0.7), (3.0, 1.0), (0.8, 0.6))


def look_for_net(rng: Random, style: Style) -> Look:
    """Return the look of one net on a page of this style."""
    width = style.line_mm
    if style.mixed_widths:
        width = min(width * rng.choice([1, 1, 1, 1.5, 2, 3]), style.pitch_mm / 3.5)
    dash = rng.choice(_DASHES) if rng.random() < style.dashed_share else None
    colour, code = _colour_and_code(rng, style)
    stripe: Rgb | None = None
    if rng.random() < (0.5 if style.colouring == "striped" else 0.3):
        other, letters, long_letters = rng.choice(WIRE_COLOURS)
        if other != colour:
            code = f"{code}/{letters if len(code) == 1 else long_letters}"
            stripe = other if style.colouring == "striped" else None
    if stripe == WHITE or dash:
        stripe = None
    return Look(width, colour, stripe, dash, code)


def _colour_and_code(rng: Random, style: Style) -> tuple[Rgb, str]:
    colour, short, long = rng.choice(WIRE_COLOURS)
    code = short if style.dot_mm * 1000 % 2 < 1 else long
    if rng.random() < 0.3:
        code = f"{rng.choice(['0.5', '0.75', '1.0', '2.5', '4'])} {code}"
    return (colour if style.colouring in ("coloured", "striped") else style.ink), code


def change_colours(rng: Random, style: Style, wiring: Wiring) -> None:
    """On coloured pages let a few nets change colour at a join."""
    if style.colouring not in ("coloured", "striped"):
        return
    for vertex, arms in enumerate(wiring.arms):
        if len(arms) < 3 or rng.random() > 0.2:
            continue
        key = rng.choice(arms)
        branch = [key]
        at = wiring.edges[key].other(vertex)
        while len(wiring.arms[at]) == 2:
            branch.append(next(k for k in wiring.arms[at] if k != branch[-1]))
            at = wiring.edges[branch[-1]].other(at)
        look = look_for_net(rng, style)
        wiring.recolour(branch, replace(look, dash=wiring.edges[key].look.dash))
