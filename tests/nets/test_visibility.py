"""One fit of the document: what its option notes say is not there, is not there, down to the cavity."""

from __future__ import annotations

from loomfolio.basics import MmPoint
from loomfolio.nets import Netlist, connector_map, derive, findings, scope_nets
from loomfolio.nets.visibility import in_fit
from loomfolio.project import (
    Anchor,
    Cavity,
    Connector,
    Fit,
    Half,
    HalfKey,
    InnerPin,
    InnerWay,
    Job,
    Link,
    Mate,
    NotConductorMark,
    PinPair,
    Project,
)
from support.ascii_sheet import ascii_sheet
from support.make_netlist import make_body, make_netlist, make_part, make_project, partition

BASE = Fit(id="fit-1", name="base", options_without=("towing",))
TOWING = Fit(id="fit-2", name="with towing", options_with=("towing",))

DRAWN = ascii_sheet("""
    a---b

    c---d
""")
SECOND = ascii_sheet("c---d", sheet_id="sheet-2")
CAVITIES = Half(cavities=(Cavity(pin="1"), Cavity(pin="2", when="towing")))
A1 = make_part(1, "A1", "module", connectors=(Connector(name="C1", halves=(CAVITIES,)),))
E7 = make_part(2, "E7", "lamp")
X90 = make_part(3, "X90", "socket", when="towing")
JOINT = make_part(
    4,
    "J1",
    "joint connector",
    ways=(InnerWay(relation="joined", pins=(InnerPin(pin="1"), InnerPin(pin="2")), when="towing"),),
)


def _project(**fields: object) -> Project:
    marks = [
        make_body(1, DRAWN, A1, "a=1 c=2", connector="C1"),
        make_body(2, DRAWN, E7, "b=1"),
        make_body(3, DRAWN, X90, "d=1"),
    ]
    return make_project([DRAWN], [A1, E7, X90, JOINT], marks).model_copy(update=fields)


def _derive(project: Project, fit: Fit) -> Netlist:
    return derive(project, {"sheet-1": DRAWN.reading, "sheet-2": SECOND.reading}, fit=fit)


def test_a_part_and_a_cavity_of_an_option_are_there_only_with_it() -> None:
    assert partition(_derive(_project(), BASE)) == {frozenset({"A1.1", "E7.1"})}
    assert frozenset({"A1.2", "X90.1"}) in partition(_derive(_project(), TOWING))


def test_a_bar_of_an_option_joins_only_with_it() -> None:
    assert frozenset({"J1.1", "J1.2"}) in partition(_derive(_project(), TOWING))
    assert frozenset({"J1.1", "J1.2"}) not in partition(_derive(_project(), BASE))


def test_an_undetermined_option_hides_nothing() -> None:
    unsaid = Fit(id="fit-3", name="unsaid")
    assert partition(_derive(_project(), unsaid)) == partition(make_netlist(_project(), [DRAWN]))


def test_without_a_fit_the_document_is_itself() -> None:
    project = _project()
    assert in_fit(project, None) is project


def test_what_hangs_on_something_that_is_not_there_goes_with_it() -> None:
    second = SECOND.sheet.model_copy(update={"when": "towing"})
    link = Link(
        id="link-1",
        a=Anchor(sheet="sheet-1", at=DRAWN.at("c")),
        b=Anchor(sheet="sheet-2", at=SECOND.at("d")),
    )
    mate = Mate(
        id="mate-1",
        a=HalfKey(part=X90.id),
        b=HalfKey(part=E7.id),
        pairs=(PinPair(a="1", b="1"),),
    )
    project = _project(
        sheets=(DRAWN.sheet, second),
        links=(link,),
        mates=(mate,),
        job=Job(scope=(HalfKey(part=X90.id),)),
    )
    base = _derive(project, BASE)
    assert base.project.links == ()
    assert base.project.mates == ()
    assert connector_map(base)
    assert findings(base)


def test_a_scope_that_a_fit_lacks_holds_nothing_rather_than_everything() -> None:
    project = _project(job=Job(scope=(HalfKey(part=X90.id),)))
    assert scope_nets(_derive(project, BASE)) == frozenset()
    assert len(scope_nets(_derive(project, TOWING))) == 1


def test_a_conductor_under_a_condition_goes_where_that_fails_and_stays_where_it_is_open() -> None:
    gone_without = NotConductorMark(
        id="mark-9",
        sheet="sheet-1",
        at=MmPoint((DRAWN.at("a").x + DRAWN.at("b").x) / 2, DRAWN.at("a").y),
        when="!towing",
    )
    project = _project()
    project = project.model_copy(update={"marks": (*project.marks, gone_without)})
    nothing_said = Fit(id="fit-3", name="nothing said")
    whole = frozenset({"A1.1", "E7.1"})
    assert whole in partition(_derive(project, TOWING))
    assert whole not in partition(_derive(project, BASE))
    assert whole in partition(_derive(project, nothing_said))
    assert whole in partition(derive(project, {"sheet-1": DRAWN.reading}))
    certain = derive(project, {"sheet-1": DRAWN.reading}, fit=nothing_said, undetermined="left out")
    assert whole not in partition(certain)
