"""One page from one seed: layout, routing, changes, dressing, decoys, and the truth of it all."""

from __future__ import annotations

from accuracy.cables import place_cables
from accuracy.changes import free_lines, link_lines, mark_lines, offset_arms, set_symbols
from accuracy.conductors import draw_conductors
from accuracy.crossings import Events, dress_crossings
from accuracy.decoys import place_decoys
from accuracy.draft import Draft
from accuracy.furniture import draw_frame, draw_title_block, place_pictures
from accuracy.layouts import banks, current_paths, place_transistors, scatter
from accuracy.looks import change_colours, look_for_net
from accuracy.marks import DrawnPage, Net, Point, Terminal
from accuracy.routing import connect, wire_up
from accuracy.style import style_for
from accuracy.texts import current_arrows, set_rings, write_on_wires

_INTO_LINE_MM = 0.4  # a terminal lies this far inside its line, so that it is on ink


def draw_page(seed: int) -> DrawnPage:
    """Return the page with this seed; the same seed gives the same page, always."""
    draft = Draft(seed, style_for(seed))
    _lay_out(draft)
    connect(draft)
    if draft.style.dashed_share:
        draft.tags.add("dashes")
    looks = {net: look_for_net(draft.rng, draft.style) for net in range(1, draft.nets + 1)}
    wire_up(draft, looks)
    _change(draft)
    events = Events()
    dress_crossings(draft, events)
    write_on_wires(draft, events)
    current_arrows(draft, draft.rng.choice([0, 0, 0.05]))
    place_decoys(draft)
    lines = draw_conductors(draft, events)
    draft.marks = lines + draft.marks + draft.over
    return _with_truth(draft)


def _lay_out(draft: Draft) -> None:
    draw_frame(draft)
    draw_title_block(draft)
    manners = ["rows", "columns", "paths", "scatter", "cables"]
    manner = draft.rng.choices(manners, [4, 3, 3, 3, 1])[0]
    draft.tags.add(f"layout {manner}")
    if manner == "paths":
        current_paths(draft)
    elif manner == "scatter":
        scatter(draft)
    elif manner == "cables":
        place_cables(draft, 14)
    else:
        banks(draft, upright=manner == "columns")
    place_transistors(draft, draft.rng.choice([0, 0, 1, 3]))
    place_cables(draft, draft.rng.choice([0, 0, 1, 2, 4]))
    place_pictures(draft)


def _change(draft: Draft) -> None:
    rng, style = draft.rng, draft.style
    if not draft.wiring.edges:
        return
    offset_arms(draft, 1.0 if style.joins == "bare" else 0.4)
    mark_lines(draft)
    if style.free_angles:
        open_pins = [pin for pin in draft.pins if pin.net == 0]
        rng.shuffle(open_pins)
        pairs = list(zip(open_pins[::2], open_pins[1::2], strict=False))
        if free_lines(draft, look_for_net(rng, style), pairs):
            draft.tags.add("free angle")
            mark_lines(draft)
    change_colours(rng, style, draft.wiring)
    set_symbols(draft, rng.choice([0, 10, 30, 60]))
    if style.rings:
        set_rings(draft, rng.choice([0.05, 0.2]))
        link_lines(draft, rng.choice([0, 8, 20]), rings=True)
    link_lines(draft, rng.choice([0, 0, 10]), rings=False)


def _with_truth(draft: Draft) -> DrawnPage:
    wiring = draft.wiring
    terminals: list[Terminal] = []
    nets = []
    for piece in wiring.pieces():
        members = []
        for vertex in piece:
            end = wiring.ends.get(vertex)
            if end is not None:
                members.append(len(terminals))
                at = wiring.points[vertex]
                inside: Point = (
                    at[0] + end.outward[0] * _INTO_LINE_MM,
                    at[1] + end.outward[1] * _INTO_LINE_MM,
                )
                name = f"{end.body}:{end.name}"
                terminals.append(Terminal(name, inside, end.outward, end.body))
        keys = sorted({key for vertex in piece for key in wiring.arms[vertex]})
        if members:
            nets.append(Net(tuple(members), tuple(wiring.segment(key) for key in keys)))
    return DrawnPage(
        draft.seed,
        draft.style.width_mm,
        draft.style.height_mm,
        tuple(draft.marks),
        tuple(terminals),
        tuple(nets),
        tuple(draft.bodies),
        tuple(draft.joins),
        tuple(draft.crossings),
        tuple(sorted(draft.tags)),
        tuple(draft.features),
        tuple(draft.words),
    )
