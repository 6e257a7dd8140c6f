"""What the search field finds: actions, pins, parts, nets and sheets, best match first; no Qt here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.desk.derived import Derived
from loomfolio.project import Anchor, PinKey, all_pins, natural_order

EntryKind = Literal["action", "pin", "net", "part", "sheet", "word"]
MOST_SHOWN = 40
_ICONS: dict[EntryKind, str] = {
    "action": "next",
    "pin": "piece_pin",
    "net": "names",
    "part": "part",
    "sheet": "sheets",
    "word": "search",
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that can be found: what it is called, and what it is for."""

    kind: EntryKind
    title: str
    hint: str
    target: str | PinKey | int | Anchor
    """The id of an action, part or sheet; the key of a pin; the number of a net; where a word stands."""
    own_icon: str = ""

    @property
    def icon(self) -> str:
        """The name of its icon."""
        return self.own_icon or _ICONS[self.kind]


def entries_of(state: Derived) -> tuple[Entry, ...]:
    """Return everything of a document that can be found by its name."""
    project, netlist = state.project, state.netlist
    found = [
        Entry("pin", state.pin_word(pin), _net_name(state, pin), pin) for pin in all_pins(project)
    ]
    found += [
        Entry("net", net.name, f"{len(net.pins)} pins", net.number)
        for net in netlist.nets
        if net.name
    ]
    found += [Entry("part", part.name, part.kind, part.id) for part in project.parts]
    found += [Entry("sheet", sheet.title, sheet.kind, sheet.id) for sheet in project.sheets]
    titles = {sheet.id: sheet.title for sheet in project.sheets}
    found += [
        Entry("word", word.text, titles[sheet], Anchor(sheet=sheet, at=word.middle))
        for sheet, words in state.words.items()
        for word in words
    ]
    return tuple(found)


def best_matches(entries: Iterable[Entry], words: str) -> Sequence[Entry]:
    """Return the entries that hold every typed word, those that begin with the first one ahead.

    Nothing typed finds nothing.
    """
    wanted = words.casefold().split()
    if not wanted:
        return ()
    hits = [entry for entry in entries if _holds(entry, wanted)]
    hits.sort(key=lambda entry: _rank(entry, wanted[0]))
    return hits[:MOST_SHOWN]


def _holds(entry: Entry, wanted: Sequence[str]) -> bool:
    text = f"{entry.title} {entry.hint} {entry.kind}".casefold()
    return all(word in text for word in wanted)


def _rank(entry: Entry, first: str) -> tuple[object, ...]:
    title = entry.title.casefold()
    begins = title.startswith(first)
    begins_word = any(word.startswith(first) for word in title.replace(":", " ").split())
    return (
        title != first,
        entry.kind == "word",
        not begins,
        not begins_word,
        len(title),
        natural_order(title),
    )


def _net_name(state: Derived, pin: PinKey) -> str:
    net = state.net_of(pin)
    return net.name if net is not None else ""
