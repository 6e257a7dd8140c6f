"""What was seen, as edits of the document: one connector, or one list, is one step of undo; no Qt in here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from loomfolio.basics import EditError
from loomfolio.desk.gestures import Step
from loomfolio.desk.survey.asked import AskedThing
from loomfolio.desk.survey.face_run import FaceRun
from loomfolio.project import (
    Connector,
    Face,
    FaceSide,
    Half,
    HalfKey,
    HalfState,
    Known,
    Part,
    Project,
    cavity_entries,
    edits,
    half_entry,
    half_text,
)
from loomfolio.retrofit import store_face

NO_CAVITY = "-"
"""What is typed in a row of a face where the housing has no cavity."""


def face_of(project: Project, half: HalfKey) -> Face | None:
    """Return how the cavities of a half lie; None where nobody said."""
    found = _half(project.part(half.part), half)
    return found.face if found is not None else None


def _half(part: Part, key: HalfKey) -> Half | None:
    for connector in part.connectors:
        if connector.name == key.connector:
            return next((half for half in connector.halves if half.name == key.half), None)
    return None


def store_seen(project: Project, specimen: str, half: HalfKey, run: FaceRun, known: Known) -> Step:
    """Return the step that records one run over a face; what was cleared in it is taken out again."""
    if not run.is_ready:
        raise EditError("Say first from which side you look: wire side or mating side.")
    if not run.seen:
        raise EditError("Nothing has been entered yet; one letter says what is in a cavity.")
    kept = {run.pin_at(place) for place in run.seen}
    gone = [
        entry.id
        for entry in cavity_entries(project, specimen, half)
        if entry.pin.pin not in kept or _is_from_other_side(project, specimen, half, run)
    ]
    after = store_face(
        edits.remove_entries(project, gone),
        specimen=specimen,
        half=half,
        face=run.face,
        viewed_from=run.side,
        seen=run.entries(),
        known=known,
    )
    count = len(run.seen)
    cavities = "cavity" if count == 1 else "cavities"
    return Step(f"Survey {half_text(project, half)}: {count} {cavities}", after)


def _is_from_other_side(project: Project, specimen: str, half: HalfKey, run: FaceRun) -> bool:
    before = half_entry(project, specimen, half)
    return before is not None and before.viewed_from not in {run.side, "unknown"}


def half_seen(
    project: Project, specimen: str, half: HalfKey, state: HalfState, known: Known
) -> Step:
    """Return the step that records that a half is missing, or closed by a plug."""
    gone = [entry.id for entry in cavity_entries(project, specimen, half)]
    made = edits.record_half(
        edits.remove_entries(project, gone),
        specimen=specimen,
        half=half,
        viewed_from="unknown",
        state=state,
        known=known,
    )
    words = {"not there": "is not there", "there": "is there"}.get(state, f"has a {state}")
    return Step(f"Survey: {half_text(project, half)} {words}", made.project)


def things_seen(
    project: Project,
    specimen: str,
    seen: Mapping[tuple[object, ...], str],
    things: Sequence[AskedThing],
    known: Known,
) -> Step:
    """Return the step that records positions, header contacts and bars; those without a state stay open."""
    count = 0
    for thing in things:
        state: Any = seen.get(thing.key)
        if state is None or state == thing.state:
            continue
        count += 1
        if thing.kind == "position":
            project = edits.record_position(
                project, specimen=specimen, part=thing.part, grade=state, known=known
            ).project
        elif thing.kind == "header" and thing.pin is not None:
            project = edits.record_header(
                project, specimen=specimen, pin=thing.pin, state=state, known=known
            ).project
        else:
            project = edits.record_bar(
                project,
                specimen=specimen,
                part=thing.part,
                label=thing.label,
                state=state,
                known=known,
            ).project
    if not count:
        raise EditError("Nothing new has been entered; one letter says what is there.")
    words = {"position": "position", "header": "header contact", "bar": "bar"}[things[0].kind]
    return Step(f"Survey {count} {words}{'s' if count != 1 else ''}", project)


# ------------------------------------------------------------------------------------- how it lies


def rows_of(text: str) -> tuple[tuple[str, ...], ...]:
    r"""Return the rows of a face as typed: one line a row, cavities between spaces, `-` for none.

    >>> rows_of("1 2 3\n4 -")
    (('1', '2', '3'), ('4', '', ''))
    """
    rows = [line.split() for line in text.splitlines() if line.strip()]
    width = max((len(row) for row in rows), default=0)
    return tuple(
        tuple("" if cell == NO_CAVITY else cell for cell in row) + ("",) * (width - len(row))
        for row in rows
    )


def text_of(rows: Sequence[Sequence[str]]) -> str:
    """Return rows as they are typed."""
    return "\n".join(" ".join(cell or NO_CAVITY for cell in row) for row in rows)


def set_face(project: Project, key: HalfKey, text: str, side: FaceSide) -> Step:
    """Return the step that says how the cavities of a half lie, and from which side that is drawn."""
    rows = rows_of(text)
    cavities = [cell for row in rows for cell in row if cell]
    if not cavities:
        raise EditError("Type the cavities as they lie: one line for each row.")
    doubled = sorted({cell for cell in cavities if cavities.count(cell) > 1})
    if doubled:
        raise EditError(f"Cavity {doubled[0]} stands there twice; each lies in one place.")
    if side == "unknown":
        raise EditError("Say from which side the rows are drawn: wire side or mating side.")
    part = project.part(key.part)
    face = Face(rows=rows, side=side, known=Known())
    changed = part.model_copy(update={"connectors": _with_face(part, key, face)})
    return Step(f"Face of {half_text(project, key)}", edits.change_part(project, changed))


def _with_face(part: Part, key: HalfKey, face: Face) -> tuple[Connector, ...]:
    connectors = {connector.name: connector for connector in part.connectors}
    connector = connectors.get(key.connector, Connector(name=key.connector, halves=()))
    halves = {half.name: half for half in connector.halves}
    half = halves.get(key.half, Half(name=key.half))
    halves[key.half] = half.model_copy(update={"face": face})
    changed = connector.model_copy(update={"halves": tuple(halves.values())})
    connectors[key.connector] = changed
    return tuple(connectors.values())
