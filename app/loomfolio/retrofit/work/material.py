"""What has to be there for the work: leads by size and colour, terminals, seals, sleeves, parts, with sums."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from loomfolio.retrofit.work.records import MaterialRow, PlannedJoint, PlannedLead, PlannedPart


def material_of(
    leads: Sequence[PlannedLead], joints: Sequence[PlannedJoint], parts: Sequence[PlannedPart]
) -> tuple[MaterialRow, ...]:
    """Return the material of a plan, like things summed; leads that have to be measured are counted."""
    needs = (*_of_leads(leads), *_of_joints(joints), *_of_parts(parts))
    found: dict[tuple[str, str], MaterialRow] = {}
    for need in needs:
        old = found.get((need.item, need.unit))
        found[(need.item, need.unit)] = need if old is None else _sum(old, need)
    return tuple(found[key] for key in sorted(found))


def _sum(a: MaterialRow, b: MaterialRow) -> MaterialRow:
    return MaterialRow(a.item, round(a.count + b.count, 3), a.unit, (*a.of, *b.of))


def _of_leads(leads: Iterable[PlannedLead]) -> Iterator[MaterialRow]:
    for lead in leads:
        if lead.is_bought:
            continue
        colour = "any free colour" if lead.colour is None else lead.colour.text
        item = f"lead {lead.size}, {lead.insulation}, {colour}"
        if lead.length_m is None:
            yield MaterialRow(item, 1, "to measure", (lead.key,))
        else:
            yield MaterialRow(item, lead.length_m.value, "m", (lead.key,))
        for end in lead.ends:
            if end.terminal.startswith(("terminal", "ring terminal")):
                kind = "ring terminal" if end.terminal.startswith("ring") else "terminal"
                where = end.terminal.partition(", cavity")[0].removeprefix(f"{kind} ")
                yield MaterialRow(f"{kind} {where}, for {lead.size}", 1, "pieces", (lead.key,))
            if end.seal:
                yield MaterialRow(f"{end.seal} for {lead.size}", 1, "pieces", (lead.key,))


def _of_joints(joints: Iterable[PlannedJoint]) -> Iterator[MaterialRow]:
    for joint in joints:
        what = "one to one" if joint.kind in {"butt splice", "break in"} else "one to several"
        if joint.kind != "cap":
            yield MaterialRow(f"crimp band, {what}", 1, "pieces", (joint.key,))
        yield MaterialRow(joint.sleeve, 1, "pieces", (joint.key,))


def _of_parts(parts: Iterable[PlannedPart]) -> Iterator[MaterialRow]:
    for part in parts:
        if part.what.startswith("terminal:"):
            continue
        words = [part.what, part.rating, part.colour]
        yield MaterialRow(", ".join(word for word in words if word), 1, "pieces", (part.key,))
