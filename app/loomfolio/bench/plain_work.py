"""What is going to be done to a vehicle, in the words of its owner: from the gaps, without names of pins."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from loomfolio.bench.sheet_words import counted
from loomfolio.project import Part, Project
from loomfolio.retrofit import Gap, GapKind

_CLAUSE_END = re.compile(r"[,;:(\n]")
_PARTS: Final[frozenset[GapKind]] = frozenset(
    {"device missing", "device position of a lower grade"}
)


@dataclass(frozen=True, slots=True)
class _Work:
    """A piece of work that closes gaps of some kinds; `count` stands for how many, or up to how many."""

    kinds: frozenset[GapKind]
    one: str
    many: str


_WORKS: Final = (
    _Work(
        frozenset({"lead missing", "branch missing"}),
        "Make and lay one new wire.",
        "Make and lay {count} new wires.",
    ),
    _Work(
        frozenset({"cable group missing"}),
        "Fit one cable whose wires belong together.",
        "Fit {count} cables whose wires belong together.",
    ),
    _Work(frozenset({"connector missing"}), "Fit one new plug.", "Fit {count} new plugs."),
    _Work(
        frozenset({"terminal missing"}),
        "Put one new contact into a plug that is there.",
        "Put {count} new contacts into plugs that are there.",
    ),
    _Work(
        frozenset({"bar missing"}),
        "Complete one distribution point.",
        "Complete {count} distribution points.",
    ),
    _Work(
        frozenset({"lead goes elsewhere"}),
        "Move one wire to another place.",
        "Move {count} wires to other places.",
    ),
    _Work(
        frozenset({"extra lead"}),
        "Take out one wire that is in the way.",
        "Take out {count} wires that are in the way.",
    ),
    _Work(
        frozenset({"dummy plug or bridge must go"}),
        "Take off one blanking plug.",
        "Take off {count} blanking plugs.",
    ),
    _Work(
        frozenset({"other colour", "other area"}),
        "Trace one wire that is not as drawn.",
        "Trace {count} wires that are not as drawn.",
    ),
)


def plain_work(project: Project, gaps: Iterable[Gap]) -> tuple[str, ...]:
    """Return what closing these gaps means, largest first by kind of work; without gaps nothing."""
    to_close = tuple(gaps)
    parts = _names(project, [gap for gap in to_close if gap.kind in _PARTS])
    fitted = (f"Fit {counted(len(parts), 'part')}: {', '.join(parts)}.",) if parts else ()
    done = (*fitted, *(_sentence(work, to_close) for work in _WORKS), *_units(project, to_close))
    return tuple(sentence for sentence in done if sentence)


def _sentence(work: _Work, gaps: Sequence[Gap]) -> str:
    own = [gap for gap in gaps if gap.kind in work.kinds]
    if len(own) < 2:
        return work.one if own else ""
    is_open = any(gap.sureness != "sure" for gap in own)
    return work.many.format(count=f"up to {len(own)}" if is_open else len(own))


def _units(project: Project, gaps: Sequence[Gap]) -> tuple[str, ...]:
    """What has to be done to control units: change or extend them, have them programmed."""
    lacking: frozenset[GapKind] = frozenset(
        {"pin missing in header", "section or driver not populated"}
    )
    to_change = _names(project, [gap for gap in gaps if gap.kind in lacking])
    to_code = _names(project, [gap for gap in gaps if gap.kind == "needs coding"])
    change = f"Change or extend {', '.join(to_change)}: what is built in cannot do this."
    code = f"Have {', '.join(to_code)} programmed for it."
    return (*((change,) if to_change else ()), *((code,) if to_code else ()))


def _names(project: Project, gaps: Sequence[Gap]) -> list[str]:
    parts = dict.fromkeys(gap.part for gap in gaps if gap.part)
    return [_part_words(project.part(part)) for part in parts]


def _part_words(part: Part) -> str:
    """A part as its note calls it, up to the first comma: `module A27 (Trailer module)`."""
    called = _CLAUSE_END.split(part.note, maxsplit=1)[0].strip()
    return f"{part.kind} {part.name}" + (f" ({called})" if called else "")
