"""Edits of what a lead's path rests on: links between sheets, mates, confirmations, accepted findings.

A confirmation is for one state of a thing. When that state changes (a link gets another end, a cavity
pair of a mate goes), the confirmation is withdrawn in the same edit.
"""

from __future__ import annotations

from collections.abc import Collection

from loomfolio.basics import EditError
from loomfolio.project.editing import Added, add, found, swap, take_out, withdraw
from loomfolio.project.facts import STATED, Anchor, Condition, HalfKey, Known
from loomfolio.project.models import (
    Acceptance,
    Confirmation,
    Link,
    Mate,
    PieceKind,
    PinPair,
    Project,
)


def add_link(
    project: Project,
    *,
    a: Anchor,
    b: Anchor | None = None,
    label: str = "",
    when: Condition = "",
    known: Known = STATED,
) -> Added:
    """Return the document with a conductor going on from `a` to `b`, or to an end not yet found."""
    if a == b:
        raise EditError("A link leads from one place to another; choose a different second place.")
    fields = {"a": a, "b": b, "label": label.strip(), "when": when, "known": known}
    return add(project, "links", Link, fields)


def change_link(project: Project, link: Link) -> Project:
    """Return the document with another state of one link."""
    if link.a == link.b:
        raise EditError("A link leads from one place to another; choose a different second place.")
    before = found(project, "links", link.id)
    after = swap(project, "links", link)
    if isinstance(before, Link) and (before.a, before.b) != (link.a, link.b):
        return withdraw(after, {c.id for c in after.confirmations if c.record == link.id})
    return after


def remove_link(project: Project, link_id: str) -> Project:
    """Return the document without one link, and without the confirmations of it."""
    return take_out(project, "links", [link_id])


def add_mate(
    project: Project,
    *,
    a: HalfKey,
    b: HalfKey,
    pairs: tuple[PinPair, ...] = (),
    when: str = "",
    known: Known = STATED,
) -> Added:
    """Return the document with two halves that fit, and which cavity meets which."""
    if any({mate.a, mate.b} == {a, b} for mate in project.mates):
        raise EditError("These two halves are mated already; change that mate.")
    _check_mate(a, b, pairs)
    fields = {"a": a, "b": b, "pairs": tuple(pairs), "when": when, "known": known}
    return add(project, "mates", Mate, fields)


def change_mate(project: Project, mate: Mate) -> Project:
    """Return the document with another state of one mate."""
    if any({m.a, m.b} == {mate.a, mate.b} and m.id != mate.id for m in project.mates):
        raise EditError("These two halves are mated already; change that mate.")
    _check_mate(mate.a, mate.b, mate.pairs)
    before = found(project, "mates", mate.id)
    after = swap(project, "mates", mate)
    if isinstance(before, Mate) and (before.a, before.b, before.pairs) != (
        mate.a,
        mate.b,
        mate.pairs,
    ):
        kept = {f"{pair.a}={pair.b}" for pair in set(before.pairs) & set(mate.pairs)}
        halves_stay = (before.a, before.b) == (mate.a, mate.b)
        return withdraw(
            after,
            {
                confirmation.id
                for confirmation in after.confirmations
                if confirmation.record == mate.id
                and not (halves_stay and confirmation.detail in kept)
            },
        )
    return after


def _check_mate(a: HalfKey, b: HalfKey, pairs: Collection[PinPair]) -> None:
    if a == b:
        raise EditError("A half cannot be mated with itself; choose the half that faces it.")
    for side in ([pair.a for pair in pairs], [pair.b for pair in pairs]):
        doubled = next((pin for pin in side if side.count(pin) > 1), None)
        if doubled is not None:
            raise EditError(
                f"Cavity {doubled} is given two partners; a cavity faces exactly one other."
            )


def remove_mate(project: Project, mate_id: str) -> Project:
    """Return the document without one mate, and without the confirmations of it."""
    return take_out(project, "mates", [mate_id])


def confirm(
    project: Project,
    *,
    piece: PieceKind,
    place: Anchor | None = None,
    record: str | None = None,
    detail: str = "",
    known: Known = STATED,
) -> Added:
    """Return the document with one piece of a path confirmed; a second source is a second confirmation.

    The same piece confirmed again by the same source changes nothing.
    """
    if place is None and record is None:
        raise EditError("A confirmation names a place or a record; give one of them.")
    fields = {"piece": piece, "place": place, "record": record, "detail": detail, "known": known}
    for old in project.confirmations:
        if all(getattr(old, name) == value for name, value in fields.items()):
            return Added(project, old.id)
    return add(project, "confirmations", Confirmation, fields)


def withdraw_confirmation(project: Project, confirmation_id: str) -> Project:
    """Return the document without one confirmation."""
    return take_out(project, "confirmations", [confirmation_id])


def accept_finding(project: Project, finding_key: str, reason: str) -> Added:
    """Return the document with a finding that may stand, for a reason; accepting again changes the reason."""
    if not reason.strip():
        raise EditError("A finding is accepted for a reason; write one.")
    for old in project.acceptances:
        if old.finding == finding_key:
            changed = old.model_copy(update={"reason": reason.strip()})
            return Added(swap(project, "acceptances", changed), old.id)
    fields = {"finding": finding_key, "reason": reason.strip()}
    return add(project, "acceptances", Acceptance, fields)


def withdraw_acceptance(project: Project, acceptance_id: str) -> Project:
    """Return the document in which a finding counts again."""
    return take_out(project, "acceptances", [acceptance_id])
