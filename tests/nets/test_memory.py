"""What is taken over from the call before is what would be worked out anew, after any run of edits."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from hypothesis import given, settings
from hypothesis import strategies as st

from loomfolio.basics import MmPoint
from loomfolio.nets import Memory, Netlist, SheetMemory, connector_map, derive
from loomfolio.project import (
    Anchor,
    ApartMark,
    Cavity,
    Confirmation,
    Connector,
    Half,
    HalfKey,
    InnerPin,
    InnerWay,
    JoinMark,
    Known,
    Lead,
    Link,
    Mate,
    NameMark,
    Project,
)
from support.make_vehicle import make_vehicle_in_two_fits

T = TypeVar("T")

START = make_vehicle_in_two_fits(sheets=3)
FITS = (None, *START.project.fits)
SHEETS = [sheet.id for sheet in START.project.sheets]
PARTS = [part.id for part in START.project.parts]
# places on leads (left and right of the crossing field) and beside them
_AT = st.builds(MmPoint, st.sampled_from([60.0, 120.0, 300.0]), st.sampled_from([20.0, 26.0, 92.0]))
_SHEET = st.sampled_from(SHEETS)
_HALF = st.sampled_from([HalfKey(part=part, connector="C1") for part in PARTS])
_PIN = st.builds(lambda half, pin: half.pin(pin), _HALF, st.sampled_from(["1", "2", "12", "99"]))
_KNOWN = st.sampled_from([Known(), Known(how="printed"), Known(how="inferred")])


def _with(project: Project, name: str, record: object) -> Project:
    return project.model_copy(update={name: (*getattr(project, name), record)})


def _without(project: Project, name: str, place: int) -> Project:
    records = getattr(project, name)
    if not records:
        return project
    kept = [r for i, r in enumerate(records) if i != place % len(records)]
    return project.model_copy(update={name: tuple(kept)})


def _changed_part(project: Project, place: int, change: str) -> Project:
    part = project.parts[place % len(project.parts)]
    update: dict[str, object] = {
        "rename": {"name": f"{part.name}x"},
        "condition": {"when": "" if part.when else "option"},
        "hide a cavity": {
            "connectors": (
                Connector(name="C1", halves=(Half(cavities=(Cavity(pin="2", when="option"),)),)),
            )
        },
        "name a cavity": {
            "connectors": (
                Connector(name="C1", halves=(Half(cavities=(Cavity(pin="1", name="HORN"),)),)),
            )
        },
        "bar": {
            "ways": (
                InnerWay(
                    relation="joined",
                    pins=(InnerPin(connector="C1", pin="1"), InnerPin(connector="C1", pin="12")),
                ),
            )
        },
    }[change]
    new = part.model_copy(update=update)
    return project.model_copy(
        update={"parts": tuple(new if p is part else p for p in project.parts)}
    )


@st.composite
def edits(draw: Callable[[st.SearchStrategy[T]], T], number: int) -> Callable[[Project], Project]:
    """Draw one edit of a document."""
    sheet, at, known = draw(_SHEET), draw(_AT), draw(_KNOWN)
    place = draw(st.integers(0, 20))
    ident = 900_000 + number
    pins = (draw(_PIN), draw(_PIN))
    there = Anchor(sheet=draw(_SHEET), at=draw(_AT))
    kinds: dict[str, Callable[[Project], Project]] = {
        "name": lambda p: _with(
            p, "marks", NameMark(id=f"mark-{ident}", sheet=sheet, at=at, name="TAIL", known=known)
        ),
        "join": lambda p: _with(p, "marks", JoinMark(id=f"mark-{ident}", sheet=sheet, at=at)),
        "apart": lambda p: _with(p, "marks", ApartMark(id=f"mark-{ident}", sheet=sheet, at=at)),
        "link": lambda p: _with(
            p,
            "links",
            Link(id=f"link-{ident}", a=Anchor(sheet=sheet, at=at), b=there, known=known),
        ),
        "lead": lambda p: (
            p
            if pins[0] == pins[1]
            else _with(p, "leads", Lead(id=f"lead-{ident}", ends=pins, known=known, name="FOG"))
        ),
        "mate": lambda p: (
            p
            if pins[0].part == pins[1].part
            else _with(p, "mates", Mate(id=f"mate-{ident}", a=pins[0].half_key, b=pins[1].half_key))
        ),
        "confirm the place": lambda p: _with(
            p,
            "confirmations",
            Confirmation(
                id=f"confirmation-{ident}", piece="crossing", place=Anchor(sheet=sheet, at=at)
            ),
        ),
        "confirm a mate": lambda p: (
            _with(
                p,
                "confirmations",
                Confirmation(
                    id=f"confirmation-{ident}", piece="mate", record=p.mates[-1].id, detail="1=1"
                ),
            )
            if p.mates
            else p
        ),
        "take a mark out": lambda p: _without(p, "marks", place),
        "take a link out": lambda p: _without(p, "links", place),
        "take a lead out": lambda p: _without(p, "leads", place),
        **{
            change: lambda p, change=change: _changed_part(p, place, change)
            for change in ("rename", "condition", "hide a cavity", "name a cavity", "bar")
        },
    }
    return kinds[draw(st.sampled_from(sorted(kinds)))]


def _as_told(netlist: Netlist) -> tuple[object, ...]:
    return (
        netlist.nets,
        dict(netlist.numbers_on),
        dict(netlist.net_by_pin),
        netlist.conductors,
        netlist.placed_pins,
        connector_map(netlist),
    )


@settings(max_examples=40)
@given(st.data())
def test_a_memory_gives_what_would_be_worked_out_anew(data: st.DataObject) -> None:
    shared = SheetMemory()
    memories: dict[int, Memory] = {1: Memory(sheets=shared), 2: Memory(sheets=shared), 0: Memory()}
    project = START.project
    for number in range(data.draw(st.integers(1, 5))):
        project = data.draw(edits(number))(project)
        for place, fit in enumerate(FITS):
            kept = derive(project, START.readings, fit=fit, memory=memories[place])
            anew = derive(project, START.readings, fit=fit)
            assert _as_told(kept) == _as_told(anew)
