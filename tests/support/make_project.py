"""Documents for tests: small ones made by hand, and runs of edits that hypothesis draws.

A run of edits is what a person might do in any order: each edit is drawn from all kinds of edits and
speaks of records that the document holds at that moment. An edit that the document refuses leaves it as
it is, so every document of a run is sound.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

from hypothesis import strategies as st

from loomfolio.basics import EditError, MmBox, MmPoint
from loomfolio.project import (
    Anchor,
    BodyMark,
    BodyPin,
    Cavity,
    Connector,
    FaultCode,
    Half,
    HalfKey,
    InnerPin,
    InnerWay,
    Job,
    Known,
    LeadColour,
    ListColumn,
    PinKey,
    PinPair,
    Project,
    ValidFor,
    Vehicle,
    edits,
)

T = TypeVar("T")

SHA256 = "0123456789abcdef" * 4


class Step(NamedTuple):
    """An edit of a run: its title and the document after it."""

    title: str
    project: Project


# ---------------------------------------------------------------------------------------- by hand


def make_sheet(project: Project, title: str = "Towing", **fields: object) -> edits.Added:
    """Add an A4 page at 300 dpi, lying in the file that its title says."""
    page = {"sha256": SHA256, "width_px": 2480, "height_px": 3508, "x_dpi": 300.0, "y_dpi": 300.0}
    return edits.add_sheet(
        project, **{"title": title, "file": f"sheets/{title.lower()}.png", **page, **fields}
    )


class TwoSheets(NamedTuple):
    """The document of `make_two_sheets`, and the ids of what stands in it."""

    project: Project
    sheet: str
    other_sheet: str
    module: str
    relay: str
    body: str
    name: str
    link: str
    mate: str
    lead: str


def make_two_sheets() -> TwoSheets:
    """Return a document with one or two of each thing, all of them speaking of others."""
    p, sheet = make_sheet(Project(), "Towing")
    p, other = make_sheet(p, "Supply", table_at=MmPoint(220, 0), valid_for=ValidFor(year_from=2021))
    p, ground = edits.add_reference(p, name="G103", kind="chassis")
    p, module = edits.add_part(p, name="TCU", kind="module", reference=ground)
    p, relay = edits.add_part(p, name="K1", kind="relay", when="towing")
    p, body = edits.put_body(
        p,
        sheet=sheet,
        box=MmBox(10, 10, 30, 20),
        part=module,
        connector="C1",
        pins=(BodyPin(at=MmPoint(30, 12), pin="1"), BodyPin(at=MmPoint(30, 15), pin="2")),
    )
    p, name = edits.put_name(p, sheet=sheet, at=MmPoint(40, 12), name="BRAKE")
    a, b = Anchor(sheet=sheet, at=MmPoint(90, 12)), Anchor(sheet=other, at=MmPoint(5, 50))
    p, link = edits.add_link(p, a=a, b=b, label="A")
    socket, plug = HalfKey(part=module, connector="C1"), HalfKey(part=relay)
    p, mate = edits.add_mate(p, a=socket, b=plug, pairs=(PinPair(a="1", b="30"),))
    p, harness = edits.add_harness(p, name="Rear", ends=(socket, plug))
    p, lead = edits.add_lead(p, ends=(socket.pin("2"), plug.pin("86")), harness=harness)
    p, _ = edits.add_group(p, name="W1", kind="twist", pins=((socket.pin("1"), plug.pin("30")),))
    p, _ = edits.confirm(p, piece="link", record=link)
    p, _ = edits.confirm(p, piece="mate", record=mate, detail="1=30")
    p, _ = edits.confirm(p, piece="join", place=Anchor(sheet=sheet, at=MmPoint(50, 12)))
    p, _ = edits.add_fit(p, name="with towing", options_with=("towing",))
    p = edits.set_scope(p, [socket])
    return TwoSheets(p, sheet, other, module, relay, body, name, link, mate, lead)


def make_large(*, sheets: int, marks: int) -> Project:
    """Return a document of a size that a job can have: bodies, names and confirmations by turns."""
    p = Project()
    for number in range(sheets):
        p = make_sheet(p, f"Sheet {number + 1}").project
    for number in range(sheets * 8):
        p = edits.add_part(p, name=f"A{number + 1}", kind="module").project
    sheet_ids, part_ids = [s.id for s in p.sheets], [part.id for part in p.parts]
    for number in range(marks):
        sheet = sheet_ids[number % sheets]
        at = MmPoint(10 + number % 180, 10 + number // 180 * 4)
        if number % 4 == 0:
            pins = tuple(BodyPin(at=MmPoint(at.x, at.y + k), pin=str(k + 1)) for k in range(6))
            box, part = MmBox(at.x, at.y, at.x + 8, at.y + 6), part_ids[number % len(part_ids)]
            fields = {"sheet": sheet, "box": box, "part": part, "connector": "C1", "pins": pins}
            p = edits.put_body(p, **fields).project
        elif number % 4 == 1:
            p = edits.put_name(p, sheet=sheet, at=at, name=f"SIGNAL {number}").project
        else:
            p = edits.put_join(p, sheet=sheet, at=at).project
    return p


# ------------------------------------------------------------------------------------- by hypothesis

TEXTS = st.one_of(
    st.sampled_from(["", "C1", "X14", "TCU", "ÄÖ ß", "87a", "“odd” \\ \t\n", "-0", "null"]),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=6),
)
NAMES = st.sampled_from(["TCU", "BCM", "K1", "F5", "X14", "ⅩⅣ", "a b", "Socket, 13 pins"])
PINS = st.sampled_from(["1", "2", "12", "A3", "87a", "85"])
LENGTHS = st.one_of(st.sampled_from([0.0, 10.0, 10.4, 12.7]), st.floats(-50, 500, allow_nan=False))
POINTS = st.builds(MmPoint, LENGTHS, LENGTHS)
CONDITIONS = st.sampled_from(["", "towing", "towing & !airsusp", '(a | "low roof")'])
KNOWNS = st.builds(
    Known,
    how=st.sampled_from(["printed", "stated", "inferred", "seen", "measured", "list"]),
    source=st.sampled_from(["", "sheet-1", "the van"]),
    on=st.one_of(st.none(), st.dates()),
)
COLOURS = st.builds(LeadColour, text=st.sampled_from(["BN/WH", "grün"]), base=TEXTS)
INNER_PINS = st.builds(InnerPin, connector=st.sampled_from(["", "C1"]), pin=PINS)
CONNECTORS = st.builds(
    Connector,
    name=st.sampled_from(["", "C1", "C2"]),
    halves=st.lists(
        st.builds(
            Half,
            name=st.sampled_from(["", "A", "B"]),
            cavities=st.lists(st.builds(Cavity, pin=PINS, known=KNOWNS), max_size=2).map(tuple),
        ),
        max_size=2,
    ).map(tuple),
    when=CONDITIONS,
)
WAYS = st.builds(
    InnerWay,
    relation=st.sampled_from(["joined", "passes", "loads"]),
    pins=st.tuples(INNER_PINS, INNER_PINS),
    at_rest=st.sampled_from(["open", "closed", "unknown"]),
)


class Hand:
    """Draws what an edit needs out of one document. Nothing to draw from is a refused edit."""

    def __init__(self, draw: Callable[[st.SearchStrategy[T]], T], project: Project) -> None:
        self.draw, self.project = draw, project

    def one(self, records: Sequence[T]) -> T:
        if not records:
            raise EditError("there is nothing of this kind yet")
        return self.draw(st.sampled_from(records))

    def anchor(self) -> Anchor:
        return Anchor(sheet=self.one(self.project.sheets).id, at=self.draw(POINTS))

    def spot(self) -> dict[str, object]:
        """Sheet, position, condition and source: what most marks take."""
        place = self.anchor()
        when, known = self.draw(CONDITIONS), self.draw(KNOWNS)
        return {"sheet": place.sheet, "at": place.at, "when": when, "known": known}

    def half(self) -> HalfKey:
        connector, half = self.draw(st.sampled_from(["", "C1"])), self.draw(st.sampled_from("AB"))
        return HalfKey(part=self.one(self.project.parts).id, connector=connector, half=half)

    def pin(self) -> PinKey:
        return self.half().pin(self.draw(PINS))

    def pins(self) -> tuple[BodyPin, ...]:
        pins = st.lists(st.builds(BodyPin, at=POINTS, pin=PINS, known=KNOWNS), max_size=3)
        return tuple(self.draw(pins))

    def body(self) -> BodyMark:
        return self.one([m for m in self.project.marks if isinstance(m, BodyMark)])

    def box(self) -> MmBox:
        return MmBox.around(self.draw(POINTS), self.draw(POINTS))


def _add_sheet(hand: Hand) -> Project:
    title, at = hand.draw(NAMES), hand.draw(POINTS)
    kind = hand.draw(st.sampled_from(["circuit", "fuse box"]))
    return make_sheet(hand.project, title, kind=kind, table_at=at).project


def _add_part(hand: Hand) -> Project:
    kind = hand.draw(st.sampled_from(["module", "relay", "splice", "in-line connector"]))
    connectors = tuple(hand.draw(st.lists(CONNECTORS, max_size=2)))
    ways = tuple(hand.draw(st.lists(WAYS, max_size=2)))
    fields = {"name": hand.draw(NAMES), "kind": kind, "connectors": connectors, "ways": ways}
    return edits.add_part(hand.project, **fields, note=hand.draw(TEXTS)).project


def _change_part(hand: Hand) -> Project:
    part, references = hand.one(hand.project.parts), hand.project.references
    reference = hand.draw(st.sampled_from([None, *(r.id for r in references)]))
    return edits.change_part(hand.project, part.model_copy(update={"reference": reference}))


def _put_body(hand: Hand) -> Project:
    half, sheet = hand.half(), hand.one(hand.project.sheets).id
    fields = {"part": half.part, "connector": half.connector, "half": half.half}
    return edits.put_body(
        hand.project, sheet=sheet, box=hand.box(), pins=hand.pins(), **fields
    ).project


def _put_line(hand: Hand) -> Project:
    points = hand.draw(st.lists(POINTS, max_size=4))
    return edits.put_line(
        hand.project, sheet=hand.one(hand.project.sheets).id, points=points
    ).project


def _put_lead_note(hand: Hand) -> Project:
    colour, area = hand.draw(st.one_of(st.none(), COLOURS)), hand.draw(st.sampled_from([None, 0.5]))
    return edits.put_lead_note(hand.project, **hand.spot(), colour=colour, area_mm2=area).project


def _move_marks(hand: Hand) -> Project:
    ids = [hand.one(hand.project.marks).id]
    return edits.move_marks(hand.project, ids, right_mm=hand.draw(LENGTHS), down_mm=-0.1)


def _add_link(hand: Hand) -> Project:
    b = hand.anchor() if hand.draw(st.booleans()) else None
    return edits.add_link(hand.project, a=hand.anchor(), b=b, label=hand.draw(TEXTS)).project


def _change_link(hand: Hand) -> Project:
    link = hand.one(hand.project.links)
    return edits.change_link(hand.project, link.model_copy(update={"b": hand.anchor()}))


def _pairs(hand: Hand) -> tuple[PinPair, ...]:
    return tuple(hand.draw(st.lists(st.builds(PinPair, a=PINS, b=PINS), max_size=2)))


def _add_mate(hand: Hand) -> Project:
    return edits.add_mate(hand.project, a=hand.half(), b=hand.half(), pairs=_pairs(hand)).project


def _change_mate(hand: Hand) -> Project:
    mate = hand.one(hand.project.mates)
    return edits.change_mate(hand.project, mate.model_copy(update={"pairs": _pairs(hand)}))


def _add_lead(hand: Hand) -> Project:
    harness = hand.draw(st.sampled_from([None, *(h.id for h in hand.project.harnesses)]))
    return edits.add_lead(hand.project, ends=(hand.pin(), hand.pin()), harness=harness).project


def _confirm_place(hand: Hand) -> Project:
    return edits.confirm(
        hand.project, piece="crossing", place=hand.anchor(), known=hand.draw(KNOWNS)
    ).project


def _confirm_record(hand: Hand) -> Project:
    record = hand.one([*hand.project.links, *hand.project.mates, *hand.project.marks])
    return edits.confirm(hand.project, piece="link", record=record.id).project


def _set_job(hand: Hand) -> Project:
    fit = hand.draw(st.sampled_from(["", *(fit.name for fit in hand.project.fits)]))
    vehicle = Vehicle(make=hand.draw(TEXTS), year=hand.draw(st.sampled_from([None, 2021])))
    job = Job(title=hand.draw(TEXTS), vehicle=vehicle, fit=fit, scope=hand.project.job.scope)
    return edits.set_job(hand.project, job)


def _record_cavity(hand: Hand) -> Project:
    specimen, pin = hand.one(hand.project.specimens).id, hand.pin()
    side = hand.draw(st.sampled_from(["wire side", "mating side", "unknown"]))
    seen = edits.record_half(
        hand.project, specimen=specimen, half=pin.half_key, viewed_from=side
    ).project
    state = hand.draw(st.sampled_from(["filled", "empty", "cut"]))
    colour = hand.draw(st.one_of(st.none(), COLOURS))
    return edits.record_cavity(seen, specimen=specimen, pin=pin, state=state, colour=colour).project


def _record_position(hand: Hand) -> Project:
    specimen, part = hand.one(hand.project.specimens).id, hand.one(hand.project.parts).id
    grade = hand.draw(st.sampled_from(["complete", "moulding only", "lead but no part"]))
    return edits.record_position(hand.project, specimen=specimen, part=part, grade=grade).project


def _record_lead(hand: Hand) -> Project:
    specimen, ends = hand.one(hand.project.specimens).id, (hand.pin(), hand.pin())
    goes_to = hand.draw(st.sampled_from([None, hand.pin()]))
    return edits.record_lead(
        hand.project, specimen=specimen, ends=ends, state="goes elsewhere", goes_to=goes_to
    ).project


def _note_baseline(hand: Hand) -> Project:
    codes = (FaultCode(code="U0110", text=hand.draw(TEXTS)),)
    return edits.add_baseline(
        hand.project,
        specimen=hand.one(hand.project.specimens).id,
        when=hand.draw(st.sampled_from(["before", "after"])),
        fault_codes=codes,
        photos=("photos/rear.jpg",),
    ).project


def _match(hand: Hand) -> Project:
    is_same = hand.draw(st.booleans())
    return edits.match_connectors(
        hand.project, target=hand.half(), vehicle=hand.half(), is_same=is_same
    ).project


def _remember_layout(hand: Hand) -> Project:
    columns = [ListColumn(heading=hand.draw(TEXTS), means="pin") for _ in range(2)]
    return edits.remember_layout(hand.project, columns).project


def _change_fit(hand: Hand) -> Project:
    fit = hand.one(hand.project.fits)
    return edits.change_fit(hand.project, fit.model_copy(update={"name": hand.draw(NAMES)}))


def _add_zone_way(hand: Hand) -> Project:
    a, b = hand.one(hand.project.zones).id, hand.one(hand.project.zones).id
    return edits.add_zone_way(hand.project, zones=(a, b), length_m=1.5).project


EDITS: dict[str, Callable[[Hand], Project]] = {
    "Add a sheet": _add_sheet,
    "Move a sheet": lambda h: edits.move_sheet(
        h.project, h.one(h.project.sheets).id, table_at=h.draw(POINTS)
    ),
    "Remove a sheet": lambda h: edits.remove_sheet(h.project, h.one(h.project.sheets).id),
    "Add a part": _add_part,
    "Change a part": _change_part,
    "Rename a part": lambda h: edits.rename_part(
        h.project, h.one(h.project.parts).id, h.draw(NAMES)
    ),
    "Remove a part": lambda h: edits.remove_part(h.project, h.one(h.project.parts).id),
    "Add a reference": lambda h: (
        edits.add_reference(h.project, name=h.draw(NAMES), kind="chassis").project
    ),
    "Remove a reference": lambda h: edits.remove_reference(
        h.project, h.one(h.project.references).id
    ),
    "Put a name": lambda h: edits.put_name(h.project, **h.spot(), name=h.draw(NAMES)).project,
    "Put a note on a lead": _put_lead_note,
    "Draw a line": _put_line,
    "Join": lambda h: edits.put_join(h.project, **h.spot()).project,
    "Keep apart": lambda h: edits.put_apart(h.project, **h.spot()).project,
    "No conductor": lambda h: edits.put_not_conductor(h.project, **h.spot()).project,
    "Put a body": _put_body,
    "Number pins": lambda h: edits.number_pins(h.project, h.body().id, h.pins()),
    "Move a mark": _move_marks,
    "Remove a mark": lambda h: edits.remove_marks(h.project, [h.one(h.project.marks).id]),
    "Link": _add_link,
    "Change a link": _change_link,
    "Remove a link": lambda h: edits.remove_link(h.project, h.one(h.project.links).id),
    "Mate": _add_mate,
    "Change a mate": _change_mate,
    "Remove a mate": lambda h: edits.remove_mate(h.project, h.one(h.project.mates).id),
    "Add a lead": _add_lead,
    "Remove a lead": lambda h: edits.remove_lead(h.project, h.one(h.project.leads).id),
    "Add a group": lambda h: (
        edits.add_group(
            h.project, name="W1", kind="screen", pins=((h.pin(), h.pin()),), screen_ends=(h.pin(),)
        ).project
    ),
    "Add a harness": lambda h: edits.add_harness(h.project, name="Rear", ends=(h.half(),)).project,
    "Remove a harness": lambda h: edits.remove_harness(h.project, h.one(h.project.harnesses).id),
    "Add a fit": lambda h: edits.add_fit(h.project, name=h.draw(NAMES)).project,
    "Change a fit": _change_fit,
    "Remove a fit": lambda h: edits.remove_fit(h.project, h.one(h.project.fits).id),
    "Add a specimen": lambda h: (
        edits.add_specimen(h.project, name=h.draw(NAMES), kind="donor loom").project
    ),
    "Remove a specimen": lambda h: edits.remove_specimen(h.project, h.one(h.project.specimens).id),
    "Look into a cavity": _record_cavity,
    "Look at a position": _record_position,
    "Trace a lead": _record_lead,
    "Forget an entry": lambda h: edits.remove_entries(h.project, [h.one(h.project.survey).id]),
    "Note the baseline": _note_baseline,
    "Close a gap": lambda h: (
        edits.close_gap(h.project, gap=h.draw(NAMES), by="reason", reason="not wanted").project
    ),
    "Reopen a gap": lambda h: edits.reopen_gap(h.project, h.one(h.project.closures).id),
    "Match connectors": _match,
    "Remember a layout": _remember_layout,
    "Note a circuit": lambda h: (
        edits.note_circuit(
            h.project,
            pin=h.pin(),
            circuit=h.draw(st.sampled_from(["high voltage", "bus", "interlock"])),
        ).project
    ),
    "Note a supply": lambda h: (
        edits.note_supply(h.project, pin=h.pin(), back=h.pin(), voltage_v=12.6).project
    ),
    "Note a fuse": lambda h: (
        edits.note_fuse(h.project, part=h.one(h.project.parts).id, rating_a=10).project
    ),
    "Forget a note": lambda h: edits.remove_notes(h.project, [h.one(h.project.electric_notes).id]),
    "Name a state": lambda h: (
        edits.add_state(h.project, name=h.draw(NAMES), supplies=(h.pin(),)).project
    ),
    "Forget a state": lambda h: edits.remove_state(h.project, h.one(h.project.states).id),
    "Let a rule stand": lambda h: edits.accept_rule(h.project, h.draw(NAMES), "looked at").project,
    "Add a zone": lambda h: edits.add_zone(h.project, name=h.draw(NAMES), covers=("trim",)).project,
    "Remove a zone": lambda h: edits.remove_zone(h.project, h.one(h.project.zones).id),
    "Add a way": _add_zone_way,
    "Place a part": lambda h: (
        edits.place_thing(
            h.project, part=h.one(h.project.parts).id, zone=h.one(h.project.zones).id
        ).project
    ),
    "Choose an operation": lambda h: (
        edits.choose_operation(
            h.project, gap=h.draw(NAMES), offer=h.draw(NAMES), kind="lead into cavity"
        ).project
    ),
    "Add a step": lambda h: (
        edits.add_work_step(h.project, title=h.draw(NAMES), zone=h.one(h.project.zones).id).project
    ),
    "Order two steps": lambda h: (
        edits.order_steps(h.project, first=h.draw(NAMES), then="the end").project
    ),
    "Set an effort": lambda h: (
        edits.set_effort(h.project, work=h.draw(NAMES), hours_least=0.5, hours_most=1.0).project
    ),
    "Confirm a place": _confirm_place,
    "Confirm a record": _confirm_record,
    "Withdraw": lambda h: edits.withdraw_confirmation(h.project, h.one(h.project.confirmations).id),
    "Accept a finding": lambda h: edits.accept_finding(h.project, h.draw(NAMES), "seen").project,
    "Set the scope": lambda h: edits.set_scope(h.project, [h.half(), h.half()]),
    "Set the job": _set_job,
}


@st.composite
def runs_of_edits(
    draw: Callable[[st.SearchStrategy[T]], T],
    *,
    start: Project | None = None,
    min_size: int = 0,
    max_size: int = 12,
) -> list[Step]:
    """Draw a run of edits, each of which changes the document; the start is not in the list."""
    project = make_two_sheets().project if start is None else start
    titles = draw(st.lists(st.sampled_from(sorted(EDITS)), min_size=min_size, max_size=max_size))
    steps: list[Step] = []
    for title in titles:
        try:
            after = EDITS[title](Hand(draw, project))
        except EditError:
            continue
        if after != project:
            project = after
            steps.append(Step(title, project))
    return steps


def projects() -> st.SearchStrategy[Project]:
    """Draw a sound document: what a run of edits leads to, from an empty or a filled one."""
    return st.sampled_from([Project(), make_two_sheets().project]).flatmap(
        lambda start: runs_of_edits(start=start).map(
            lambda steps: steps[-1].project if steps else start
        )
    )


@st.composite
def shuffled(draw: Callable[[st.SearchStrategy[T]], T], project: Project) -> Project:
    """Draw a document with the same records and some gone, in another order: no edit makes these."""
    marks = draw(st.permutations(project.marks))
    parts = draw(st.permutations(project.parts))
    return project.model_copy(
        update={
            "marks": tuple(marks[: draw(st.integers(0, len(marks)))]),
            "parts": tuple(parts),
            "confirmations": project.confirmations[::-1],
        }
    )
