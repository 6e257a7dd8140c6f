"""Findings: each says in one plain sentence what needs a person, with its place, and stays quiet otherwise."""

from __future__ import annotations

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets import Finding, findings, findings_record, scope_nets
from loomfolio.project import (
    Acceptance,
    ApartMark,
    BodyMark,
    BodyPin,
    HalfKey,
    Job,
    JoinMark,
    LeadColour,
    LeadMark,
    Link,
    Mark,
    Mate,
    NameMark,
    Project,
    ValidFor,
    Vehicle,
)
from support.ascii_sheet import AsciiSheet, ascii_sheet
from support.make_netlist import make_body, make_link, make_netlist, make_part, make_project

E, F, G, H = (make_part(n, name) for n, name in enumerate("EFGH", start=1))
LINE = ascii_sheet("a---c---b")
TWO_LINES = ascii_sheet("""
    a---b

    c---d
""")


def _found(project: Project, *sheets: AsciiSheet) -> tuple[Finding, ...]:
    return findings(make_netlist(project, sheets))


def _kinds(project: Project, *sheets: AsciiSheet) -> list[str]:
    return [finding.kind for finding in _found(project, *sheets)]


def _complete(*extra: Mark) -> Project:
    marks = [make_body(1, LINE, E, "a=1"), make_body(2, LINE, F, "b=1"), *extra]
    return make_project([LINE], [E, F], marks)


def _name(number: int, at: MmPoint, name: str) -> NameMark:
    return NameMark(id=f"mark-{number}", sheet="sheet-1", at=at, name=name)


def test_a_sheet_that_is_done_has_no_finding() -> None:
    assert _kinds(_complete(_name(8, LINE.at("c"), "TAIL LH")), LINE) == []


def test_two_names_on_one_net() -> None:
    project = _complete(_name(8, LINE.at("a"), "TAIL LH"), _name(9, LINE.at("b"), "STOP"))
    (finding,) = _found(project, LINE)
    assert finding.kind == "two names on one net"
    assert "STOP" in finding.sentence
    assert "TAIL LH" in finding.sentence
    assert finding.place is not None


def test_one_name_on_two_nets_that_are_not_joined() -> None:
    marks = [
        make_body(1, TWO_LINES, E, "a=1"),
        make_body(2, TWO_LINES, F, "b=1"),
        make_body(3, TWO_LINES, G, "c=1"),
        make_body(4, TWO_LINES, H, "d=1"),
        _name(8, TWO_LINES.at("a"), "TAIL LH"),
        _name(9, TWO_LINES.at("c"), "TAIL LH"),
    ]
    project = make_project([TWO_LINES], [E, F, G, H], marks)
    assert _kinds(project, TWO_LINES) == ["one name on two nets"]


def test_a_pin_that_meets_no_conductor() -> None:
    body = BodyMark(
        id="mark-3",
        sheet="sheet-1",
        box=MmBox(18.0, 20.0, 24.0, 26.0),
        part=G.id,
        pins=(BodyPin(at=MmPoint(18.0, 22.0), pin="4"),),
    )
    project = _complete(body).model_copy(update={"parts": (E, F, G)})
    (finding,) = _found(project, LINE)
    assert finding.kind == "pin on no conductor"
    assert finding.sentence == "G:4 meets no conductor on sheet Drawn"


def test_a_pin_between_two_ends_takes_neither() -> None:
    drawn = ascii_sheet("""
        a---b

        c---d
    """)
    body = BodyMark(
        id="mark-3",
        sheet="sheet-1",
        box=MmBox(22.0, 0.0, 30.0, 20.0),
        part=G.id,
        pins=(BodyPin(at=MmPoint(22.0, 7.5), pin="4"),),
    )
    near = drawn.__class__(
        drawn.sheet,
        drawn.reading.model_copy(
            update={
                "conductors": tuple(
                    conductor.model_copy(
                        update={
                            "lines": tuple(
                                tuple(v._replace(y=75 + (v.y - 75) * 0.2) for v in line)
                                for line in conductor.lines
                            )
                        }
                    )
                    for conductor in drawn.reading.conductors
                )
            }
        ),
        drawn.rows,
    )
    kinds = _kinds(make_project([near], [G], [body]), near)
    assert "pin between two conductors" in kinds


def test_a_conductor_with_no_pin() -> None:
    project = make_project([LINE])
    (finding,) = _found(project, LINE)
    assert finding.kind == "conductor with no pin"


def test_a_lead_that_goes_nowhere_misses_its_other_end() -> None:
    project = make_project([LINE], [E], [make_body(1, LINE, E, "a=1")])
    assert _kinds(project, LINE) == ["link without its other end"]


def test_a_link_without_its_other_end_and_one_that_is_only_proposed() -> None:
    one = ascii_sheet("a---c", sheet_id="sheet-1")
    two = ascii_sheet("c---b", sheet_id="sheet-2")
    marks = [make_body(1, one, E, "a=1"), make_body(2, two, F, "b=1")]
    proposed = make_link(3, (one, "c"), (two, "c"), "printed")
    project = make_project([one, two], [E, F], marks, links=(proposed,))
    assert _kinds(project, one, two) == ["link not confirmed"]
    half = proposed.model_copy(update={"b": None})
    assert "link without its other end" in _kinds(
        make_project([one, two], [E, F], marks, links=(half,)), one, two
    )


def test_a_link_that_holds_on_to_nothing() -> None:
    link = make_link(3, (LINE, "c"), (LINE, "b"))
    assert link.b is not None
    away = link.b.model_copy(update={"at": MmPoint(20.0, 40.0)})
    project = _complete().model_copy(update={"links": (Link(id="link-3", a=link.a, b=away),)})
    assert "link on no conductor" in _kinds(project, LINE)


def test_names_and_notes_that_hold_on_to_nothing_or_to_two() -> None:
    far = MmPoint(20.0, 40.0)
    assert _kinds(_complete(_name(8, far, "STOP")), LINE) == ["name on no conductor"]
    note = LeadMark(id="mark-8", sheet="sheet-1", at=far, colour=LeadColour(text="BN"))
    assert _kinds(_complete(note), LINE) == ["mark on no conductor"]
    crossed = ascii_sheet("""
          c
          |
        a-#-b
          |
          d
    """)
    project = make_project([crossed], [], [_name(8, MmPoint(12.5, 12.5), "STOP")])
    assert "name between two conductors" in _kinds(project, crossed)


def test_an_answer_that_meets_no_line_is_told() -> None:
    for mark in (
        JoinMark(id="mark-8", sheet="sheet-1", at=MmPoint(20.0, 40.0)),
        ApartMark(id="mark-8", sheet="sheet-1", at=MmPoint(20.0, 40.0)),
    ):
        assert _kinds(_complete(mark), LINE) == ["mark on no conductor"]


def test_a_doubt_stays_open_until_it_is_answered() -> None:
    drawn = ascii_sheet("a--~--b")
    marks: list[Mark] = [make_body(1, drawn, E, "a=1"), make_body(2, drawn, F, "b=1")]
    assert _kinds(make_project([drawn], [E, F], marks), drawn) == ["open doubt"]
    marks.append(JoinMark(id="mark-9", sheet="sheet-1", at=MmPoint(17.5, 2.5)))
    assert _kinds(make_project([drawn], [E, F], marks), drawn) == []


def test_a_mate_that_is_only_proposed() -> None:
    inline = make_part(5, "X14", "in-line connector")
    drawn = ascii_sheet("a---c d---b")
    marks = [
        make_body(1, drawn, E, "a=1"),
        make_body(2, drawn, F, "b=1"),
        make_body(3, drawn, inline, "c=3", half="A"),
        make_body(4, drawn, inline, "d=3", half="B"),
    ]
    mate = Mate(
        id="mate-1", a=HalfKey(part=inline.id, half="A"), b=HalfKey(part=inline.id, half="B")
    )
    project = make_project([drawn], [E, F, inline], marks, mates=(mate,))
    (finding,) = _found(project, drawn)
    assert finding.kind == "mate not confirmed"
    assert "3=3" in finding.sentence


def test_a_sheet_for_other_vehicles_is_flagged() -> None:
    project = _complete()
    sheet = project.sheets[0].model_copy(update={"valid_for": ValidFor(year_from=2021)})
    job = Job(vehicle=Vehicle(year=2019))
    (finding,) = _found(project.model_copy(update={"sheets": (sheet,), "job": job}), LINE)
    assert finding.kind == "sheet outside the vehicle's validity"
    assert finding.severity == "stop"


def test_two_colours_noted_on_one_lead() -> None:
    notes = [
        LeadMark(id=f"mark-{n}", sheet="sheet-1", at=LINE.at(place), colour=LeadColour(text=text))
        for n, place, text in ((8, "c", "BN"), (9, "b", "GN/YE"))
    ]
    assert _kinds(_complete(*notes), LINE) == ["two colours on one lead"]


def test_an_accepted_finding_keeps_its_reason() -> None:
    project = make_project([LINE])
    (finding,) = _found(project, LINE)
    accepted = Acceptance(id="acceptance-1", finding=finding.key, reason="the frame of the sheet")
    (again,) = _found(project.model_copy(update={"acceptances": (accepted,)}), LINE)
    assert again.accepted == "the frame of the sheet"
    record = findings_record(project, (again,))
    assert record.findings[0].accepted == "the frame of the sheet"


def test_only_what_the_job_is_about_counts_at_first_sight() -> None:
    marks = [make_body(1, TWO_LINES, E, "a=1"), make_body(3, TWO_LINES, G, "c=1")]
    job = Job(scope=(HalfKey(part=E.id),))
    project = make_project([TWO_LINES], [E, G], marks, job=job)
    found = _found(project, TWO_LINES)
    assert [(finding.sentence[:16], finding.in_scope) for finding in found] == [
        ("The lead of E:1 ", True),
        ("The lead of G:1 ", False),
    ]
    netlist = make_netlist(project, [TWO_LINES])
    assert len(scope_nets(netlist)) == 1
