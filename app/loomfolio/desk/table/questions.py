"""The two questions that the table asks, each next to its place and answered by one printed key.

Joined or apart, where lines meet, cross, nearly touch or break off; and which one, where several
conductors are about as near to the pointer: then nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import replace

from loomfolio.desk.table.events import Event, PointerEvent
from loomfolio.desk.table.intents import Answer, Remove
from loomfolio.desk.table.layout import SheetPlace
from loomfolio.desk.table.preview import (
    Again,
    Choice,
    Done,
    Picked,
    Preview,
    Question,
)
from loomfolio.desk.table.scene import Scene
from loomfolio.desk.table.snapping import held_place
from loomfolio.desk.table.things import Thing
from loomfolio.nets import Spot

_SEEN = {
    "junction": "Conductors meet here",
    "crossing": "Two conductors cross here",
    "gap": "A conductor is broken here",
    "touch": "Two conductors nearly touch here",
    "end": "A conductor ends in the open here",
}
MOST_RIVALS = 9
"""One digit key for each."""


def joined_or_apart(thing: Thing, spot: Spot) -> Generator[Preview, Event, tuple[Done, ...]]:
    """Ask whether what meets at a place is joined; Delete takes an answer of the person back."""
    choices = [Choice("J", "joined"), Choice("A", "apart")]
    if thing.record is not None:
        choices.append(Choice("Del", "take back"))
    question = Question(thing.place, spot_text(spot), (*choices, Choice("Esc", "leave")))
    while True:
        event = yield Preview(hint=question.text, question=question)
        if isinstance(event, PointerEvent):
            if event.action in ("press", "double"):
                return (Again(event),)
        elif event.key == "escape":
            return ()
        elif event.key == "delete" and thing.record is not None:
            return (Remove((thing.record,)),)
        elif event.text.casefold() == "j":
            return (Answer(thing.sheet, spot.at, "joined"),)
        elif event.text.casefold() == "a":
            return (Answer(thing.sheet, spot.at, "apart"),)


def spot_text(spot: Spot) -> str:
    """Return in plain words what is drawn at a spot and what holds there.

    >>> spot_text(Spot("crossing", MmPoint(0, 0), "apart", is_doubt=False))
    'Two conductors cross here; taken as apart.'
    """
    if spot.answer:
        return f"{_SEEN[spot.kind]}; you said {spot.answer}."
    unsure = "read with doubt as" if spot.is_doubt else "taken as"
    return f"{_SEEN[spot.kind]}; {unsure} {spot.taken}."


def which_one(
    scene: Scene, place: SheetPlace, rivals: Sequence[int], shown: Preview
) -> Generator[Preview, Event, int | PointerEvent | None]:
    """Ask which of several conductors is meant, each lit with its number beside it.

    Returns the conductor, None on Escape, or the press that went elsewhere.
    """
    asked = tuple(rivals[:MOST_RIVALS])
    words = tuple(Choice(str(i), _word(scene, place, rival)) for i, rival in enumerate(asked, 1))
    question = Question(place, "Which one?", (*words, Choice("Esc", "leave")))
    lit = tuple(held_place(scene, place, rival) for rival in asked)
    preview = replace(
        shown,
        hint="Which one? Its number says it.",
        question=question,
        lit=lit,
        lit_conductors=asked,
    )
    while True:
        event = yield preview
        if isinstance(event, PointerEvent):
            if event.action in ("press", "double"):
                return event
        elif event.key == "escape":
            return None
        elif event.text.isdecimal() and 1 <= int(event.text) <= len(asked):
            return asked[int(event.text) - 1]


def pick_one(thing: Thing, scene: Scene) -> Generator[Preview, Event, tuple[Done, ...]]:
    """After a click between several conductors: ask, then pick."""
    chosen = yield from which_one(scene, thing.place, thing.rivals, Preview())
    if isinstance(chosen, PointerEvent):
        return (Again(chosen),)
    return () if chosen is None else (Picked(held_place(scene, thing.place, chosen), chosen),)


def _word(scene: Scene, place: SheetPlace, conductor: int) -> str:
    """What tells a conductor from the others: its name, else its first pin, else that it has none."""
    net = scene.net(scene.net_of(place.sheet, conductor))
    if net is None:
        return "conductor"
    if net.name:
        return net.name
    return scene.pin_text(net.pins[0]) if net.pins else "conductor without a pin"
