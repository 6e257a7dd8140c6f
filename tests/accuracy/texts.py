"""What is written on and beside conductors, and the rings and arrows that sit on them."""

from __future__ import annotations

from accuracy.changes import Run, is_open_beside, run_of
from accuracy.crossings import Event, Events
from accuracy.draft import Draft
from accuracy.lettering import width_of
from accuracy.marks import Point, Role, Stroke, WordKind

_INK_MM = 1.7  # line left between a gap for text and the next crossing


def write_on_wires(draft: Draft, events: Events) -> None:
    """Write colour letters in, through, on or beside lines that are long enough."""
    rng, style = draft.rng, draft.style
    if style.wire_text == "none":
        return
    height = min(rng.choice([1.3, 1.6, 1.9, 2.2]), style.pitch_mm * 0.95)
    for key in sorted(draft.wiring.edges):
        run, look = run_of(draft, key), draft.wiring.edges[key].look
        if run is None or look.dash or not look.code or rng.random() > 0.6:
            continue
        manner = style.wire_text
        if manner == "mixed":
            manner = rng.choice(["beside", "gap", "struck", "touching"])
        across = run.along[0] == 0 and manner == "gap" and rng.random() < 0.3
        long = height if across else width_of(look.code, height)
        wide = width_of(look.code, height) if across else height
        if run.length < long + 6:
            continue
        at = rng.uniform(long / 2 + 2.8, run.length - long / 2 - 2.8)
        turned = run.along[0] == 0 and not across
        _write_one(
            draft, events, (run, at, manner), (look.code, height, long / 2, wide / 2, turned)
        )


def _write_one(
    draft: Draft,
    events: Events,
    place: tuple[Run, float, str],
    text: tuple[str, float, float, float, bool],
) -> None:
    run, at, manner = place
    letters, height, half_long, half_wide, turned = text
    gap = half_long + draft.rng.choice([0.4, 0.6, 0.9])  # half of what the line leaves free
    beyond = gap + _INK_MM if manner == "gap" else half_long + 1.2
    span = (at - beyond, at + beyond)
    if manner in ("gap", "struck"):
        if not is_open_beside(draft, run, span, half_wide + 0.35):
            return
        middle = run.at(at)
        if manner == "gap":
            events.add(run.key, Event(at, gap, "gap"))
    else:
        clear = {"beside": 0.35, "touching": 0.1}[manner] + draft.style.line_mm / 2
        offset = -(half_wide + clear) if run.along[0] > 0 or run.along[1] > 0 else half_wide + clear
        sides = sorted((offset - half_wide, offset + half_wide))
        if sides[0] < 0 < sides[1] or not draft.empty.is_free(
            run.box(*span, *_off_line(sides[0], sides[1]))
        ):
            return
        middle = run.at(at, offset)
    draft.note(f"text {manner}", middle)
    draft.over += draft.letters(letters, middle, height, turned=turned, kind=WordKind.COLOUR)
    draft.empty.fill(draft.text_box(letters, middle, height, turned=turned))
    draft.empty.fill(run.box(*span, -0.5, 0.5))


def _off_line(low: float, high: float) -> tuple[float, float]:
    """A band beside a line, kept off the cells of the line itself."""
    return (max(low, 0.45), high + 0.35) if high > 0 else (low - 0.35, min(high, -0.45))


def set_rings(draft: Draft, share: float) -> None:
    """Set terminal rings into some lines; the line runs on through them."""
    rng = draft.rng
    for key in sorted(draft.wiring.edges):
        run = run_of(draft, key)
        if run is None or run.length < 7 or rng.random() > share:
            continue
        radius = rng.choice([0.45, 0.6, 0.8])
        at = rng.uniform(2.5, run.length - 2.5)
        if draft.wiring.edges[key].look.dash or not is_open_beside(
            draft, run, (at - radius - 1.8, at + radius + 1.8), radius + 0.5
        ):
            continue
        draft.wiring.rings[draft.wiring.split(key, run.at(at))] = radius
        draft.empty.fill(run.box(at - radius - 1, at + radius + 1, -radius, radius))
        draft.note("in-line ring", run.at(at))
        _name_ring(draft, run, at, radius)


def _name_ring(draft: Draft, run: Run, at: float, radius: float) -> None:
    text, height = f"X{draft.rng.randint(1, 9)}:{draft.rng.randint(1, 40)}", 1.5
    half = width_of(text, height) / 2
    turned = run.along[0] != 0
    middle = run.at(at, radius + 0.6 + half)
    box = draft.text_box(text, middle, height, turned=turned)
    if draft.empty.is_free(box):
        draft.write(text, middle, height, turned=turned)


def current_arrows(draft: Draft, share: float) -> None:
    """Set small filled arrowheads on some lines, as current arrows are drawn."""
    rng = draft.rng
    for key in sorted(draft.wiring.edges):
        run = run_of(draft, key)
        if run is None or run.length < 7 or rng.random() > share:
            continue
        at = rng.uniform(2.5, run.length - 2.5)
        if draft.wiring.edges[key].look.dash or not is_open_beside(
            draft, run, (at - 1.8, at + 1.8), 1.1
        ):
            continue
        head: tuple[Point, ...] = (
            run.at(at + 0.9),
            run.at(at - 0.9, 0.55),
            run.at(at - 0.9, -0.55),
        )
        look = draft.wiring.edges[key].look
        draft.over.append(Stroke(head, 0.0, look.colour, Role.DECOY, True, look.colour))
        draft.empty.fill(run.box(at - 1.2, at + 1.2, -0.6, 0.6))
        draft.note("current arrow", run.at(at))
