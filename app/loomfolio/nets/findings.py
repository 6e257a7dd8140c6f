"""What needs a person: findings with one plain sentence and a place.

Each kind is one small function from a netlist to findings, listed in `_RULES`. A finding's key names what
it is about in words of the document, so that it stays the same while it stands and an acceptance holds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from loomfolio.basics import MmPoint
from loomfolio.nets.connector_map import connector_map
from loomfolio.nets.geometry import length_mm
from loomfolio.nets.netlist import Netlist
from loomfolio.nets.records import Finding, FindingKind, MapRow, Net
from loomfolio.nets.release import anchor_of
from loomfolio.nets.scope import scope_nets
from loomfolio.project import Anchor, NameMark, pin_text

SHORTEST_LOOSE_MM = 5.0
"""A conductor without a pin that is shorter than this is not worth a look (about one letter's width of print;
common practice, no source)."""

Rule = Callable[[Netlist, Sequence[MapRow]], Iterator[Finding]]


def findings(netlist: Netlist, rows: Sequence[MapRow] | None = None) -> tuple[Finding, ...]:
    """Return all findings, those in the job's scope first, then by kind and sentence."""
    map_rows = connector_map(netlist) if rows is None else rows
    scope = scope_nets(netlist)
    accepted = {a.finding: a.reason for a in netlist.project.acceptances}
    found = [
        replace(
            finding,
            in_scope=_is_in_scope(netlist, finding, scope),
            accepted=accepted.get(finding.key),
        )
        for rule in _RULES
        for finding in rule(netlist, map_rows)
    ]
    return tuple(
        sorted(found, key=lambda f: (not f.in_scope, f.severity != "stop", f.kind, f.sentence))
    )


def _is_in_scope(netlist: Netlist, finding: Finding, scope: frozenset[int]) -> bool:
    """A finding without a net is about the document and is in scope where no scope was named, or if it stops work."""
    if not netlist.has_scope or finding.kind == "sheet outside the vehicle's validity":
        return True
    nets = {finding.net} | {netlist.net_by_pin.get(pin) for pin in finding.pins}
    return bool(nets & scope)


def _two_names(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for net in netlist.nets:
        names = sorted({claim.name for claim in net.claims})
        if len(names) > 1:
            place = next((claim.place for claim in net.claims if claim.place), None)
            yield Finding(
                "two names on one net",
                "stop",
                f"One net is called {' and '.join(names)}; check which is right, or where it is joined wrongly",
                f"two names: {', '.join(names)}",
                place,
                net.pins,
                net.number,
            )


def _one_name_twice(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    by_name: dict[str, list[Net]] = {}
    for net in netlist.nets:
        if net.name:
            by_name.setdefault(net.name, []).append(net)
    for name, nets in by_name.items():
        if len(nets) > 1:
            place = next((c.place for net in nets for c in net.claims if c.place), None)
            yield Finding(
                "one name on two nets",
                "look",
                f"{name} stands on {len(nets)} nets that are not joined; a link may be missing",
                f"one name: {name}",
                place,
                tuple(pin for net in nets for pin in net.pins),
                nets[0].number,
            )


def _open_pins(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for sheet, graph in netlist.graphs.items():
        for matched in graph.pins:
            if matched.nodes:
                continue
            name = pin_text(netlist.project, matched.key)
            kind: FindingKind = (
                "pin between two conductors" if matched.rivals else "pin on no conductor"
            )
            what = "lies between two conductors" if matched.rivals else "meets no conductor"
            yield Finding(
                kind,
                "stop" if matched.rivals else "look",
                f"{name} {what} on sheet {graph.sheet.title}",
                f"{kind}: {name} on {sheet}",
                anchor_of(sheet, matched.pin.at),
                (matched.key,),
                netlist.net_by_pin.get(matched.key),
            )


def _dead_ends(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    for row in rows:
        if row.b is None:
            name = pin_text(netlist.project, row.a)
            yield Finding(
                "link without its other end",
                "look",
                f"The lead of {name} goes nowhere on its sheet; a link or a body is missing",
                f"dead end: {name}",
                row.places[0] if row.places else None,
                (row.a,),
                row.net,
            )


def _loose_conductors(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for net in netlist.nets:
        if net.pins:
            continue
        for number in net.conductors:
            conductor = netlist.conductors[number]
            if sum(length_mm(line) for line in conductor.lines) >= SHORTEST_LOOSE_MM:
                at = conductor.lines[0][0]
                title = netlist.project.sheet(conductor.sheet).title
                yield Finding(
                    "conductor with no pin",
                    "look",
                    f"A conductor on sheet {title} meets no pin ({net.name or _where(at)})",
                    f"no pin: {conductor.sheet} {_where(at)}",
                    anchor_of(conductor.sheet, at),
                    (),
                    net.number,
                )


def _links(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for link in netlist.project.links:
        label = link.label or link.id
        for side, anchor in (("a", link.a), ("b", link.b)):
            if anchor is None:
                yield _link_finding(
                    netlist, "link without its other end", label, link.a, "has no other end yet"
                )
            elif netlist.graphs[anchor.sheet].link_snaps[link.id, side].conductor is None:
                yield _link_finding(
                    netlist, "link on no conductor", label, anchor, "holds on to no conductor here"
                )
        if link.b is not None and not netlist.confirmations.is_link_confirmed(link):
            yield _link_finding(
                netlist, "link not confirmed", label, link.a, "is only proposed; confirm it"
            )


def _link_finding(
    netlist: Netlist, kind: FindingKind, label: str, place: Anchor, what: str
) -> Finding:
    title = netlist.project.sheet(place.sheet).title
    conductor = netlist.snap(place.sheet, place.at).conductor
    net = None if conductor is None else netlist.conductors[conductor].net
    return Finding(
        kind,
        "look",
        f"Link {label} on sheet {title} {what}",
        f"{kind}: {label} {_where(place.at)}",
        place,
        (),
        net,
    )


def _floating_names(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for sheet, graph in netlist.graphs.items():
        for held in graph.holds:
            if held.snap.conductor is not None:
                continue
            is_torn = bool(held.snap.rivals)
            word = held.mark.name if isinstance(held.mark, NameMark) else "A lead note"
            if isinstance(held.mark, NameMark):
                kind: FindingKind = (
                    "name between two conductors" if is_torn else "name on no conductor"
                )
            else:
                kind = "mark between two conductors" if is_torn else "mark on no conductor"
            what = (
                "lies between two conductors; say which" if is_torn else "holds on to no conductor"
            )
            yield _mark_finding(
                graph.sheet.title, sheet, kind, f"{word} {what}", held.mark.at, held.mark.id
            )


def _floating_answers(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for sheet, graph in netlist.graphs.items():
        for missed in graph.unanswered:
            what = "An answer (joined, apart) meets no line"
            yield _mark_finding(
                graph.sheet.title, sheet, "mark on no conductor", what, missed.at, missed.mark
            )
        for at in graph.torn_ends:
            what = "A drawn line ends between two conductors; say which"
            yield _mark_finding(
                graph.sheet.title, sheet, "line between two conductors", what, at, _where(at)
            )


def _mark_finding(
    title: str, sheet: str, kind: FindingKind, what: str, at: MmPoint, key: str
) -> Finding:
    return Finding(
        kind, "stop", f"{what} on sheet {title}", f"{kind}: {sheet} {key}", anchor_of(sheet, at)
    )


def _open_doubts(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for sheet, graph in netlist.graphs.items():
        for spot in graph.spots:
            if not spot.is_doubt or spot.answer is not None:
                continue
            conductor = netlist.snap(sheet, spot.at).conductor
            yield Finding(
                "open doubt",
                "look",
                f"{_DOUBT[spot.kind]} on sheet {graph.sheet.title} at {_where(spot.at)}, taken as {spot.taken}",
                f"doubt: {sheet} {spot.kind} {_where(spot.at)}",
                anchor_of(sheet, spot.at),
                (),
                None if conductor is None else netlist.conductors[conductor].net,
            )


_DOUBT = {
    "junction": "It is not clear whether lines are joined",
    "crossing": "It is not clear whether lines cross or are joined",
    "gap": "A line is broken",
    "touch": "Two lines nearly touch",
    "end": "A line ends in the open",
}


def _mates(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for mate in netlist.project.mates:
        open_pairs = sorted(
            {
                detail
                for pin, others in netlist.mated.items()
                for _, other_mate, detail in others
                if other_mate is mate and not netlist.confirmations.is_mate_confirmed(mate, detail)
            }
        )
        if open_pairs:
            pins = tuple(p for p in netlist.net_by_pin if p.half_key in (mate.a, mate.b))
            name = netlist.project.part(mate.a.part).name
            yield Finding(
                "mate not confirmed",
                "look",
                f"{name}: {len(open_pairs)} pairs of cavities are only proposed ({', '.join(open_pairs[:6])})",
                f"mate: {mate.id}",
                next((netlist.place_of[p] for p in pins if p in netlist.place_of), None),
                pins,
            )


def _validity(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    del rows
    for sheet in netlist.project.sheets:
        for reason in sheet.valid_for.misfits(netlist.project.job.vehicle):
            yield Finding(
                "sheet outside the vehicle's validity",
                "stop",
                f"Sheet {sheet.title}: {reason}",
                f"validity: {sheet.id} {reason}",
                anchor_of(sheet.id, MmPoint(0.0, 0.0)),
            )


def _two_colours(netlist: Netlist, rows: Sequence[MapRow]) -> Iterator[Finding]:
    for row in rows:
        if row.is_branch or row.b is None or len(row.noted_colours) < 2:
            continue
        ends = f"{pin_text(netlist.project, row.a)} to {pin_text(netlist.project, row.b)}"
        colours = " and ".join(colour.text for colour in row.noted_colours)
        yield Finding(
            "two colours on one lead",
            "look",
            f"The lead from {ends} is noted as {colours}",
            f"colours: {ends}",
            row.places[0] if row.places else None,
            (row.a, row.b),
            row.net,
        )


def _where(at: MmPoint) -> str:
    return f"{at.x:.0f}, {at.y:.0f} mm"


_RULES: tuple[Rule, ...] = (
    _two_names,
    _one_name_twice,
    _open_pins,
    _dead_ends,
    _loose_conductors,
    _links,
    _floating_names,
    _floating_answers,
    _open_doubts,
    _mates,
    _validity,
    _two_colours,
)
