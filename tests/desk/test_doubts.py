"""From doubt to doubt: what is asked, what answers it, and where the walk goes on."""

import pytest

from loomfolio.desk.doubts import Doubts
from loomfolio.desk.gestures import Step
from loomfolio.desk.steps import Steps
from loomfolio.desk.workbench import Workbench
from loomfolio.project import ApartMark, JoinMark, ValidFor, Vehicle, edits
from support.make_desk import open_session, readings, scoped_job


@pytest.fixture
def shown():
    return []


@pytest.fixture
def reasons():
    """What the person answers when asked why a thing stands."""
    return []


@pytest.fixture
def doubts(workbench, steps, shown, told, reasons):
    return Doubts(
        workbench, steps, shown.append, told.append, lambda _: reasons.pop() if reasons else None
    )


def at_spot(doubts):
    """Walk to the first doubt that joined or apart answers."""
    doubts.next()
    while not doubts.asked.can_join:
        doubts.next()
    return doubts.asked


def test_the_walk_starts_at_the_first_and_ends_at_none(doubts, workbench):
    doubts.next()
    assert doubts.asked.finding == workbench.state.open_findings[0]
    doubts.leave()
    assert doubts.asked is None


def test_the_walk_goes_round_both_ways(doubts, workbench):
    doubts.next()
    first = doubts.asked.finding.key
    doubts.previous()
    assert doubts.asked.finding == workbench.state.open_findings[-1]
    doubts.next()
    assert doubts.asked.finding.key == first


def test_keys_that_mean_nothing_are_not_offered(doubts):
    asked = at_spot(doubts)
    assert [key for key, _ in asked.keys] == ["J", "A", "Enter", "D", "Esc"]
    while doubts.asked.can_join:
        doubts.next()
    assert [key for key, _ in doubts.asked.keys] == ["Enter", "D", "Esc"]


@pytest.mark.parametrize(("answer", "kind"), [("joined", JoinMark), ("apart", ApartMark)])
def test_an_answer_is_put_on_the_paper_and_the_walk_goes_on(doubts, workbench, answer, kind):
    asked = at_spot(doubts)
    getattr(doubts, answer)()
    assert any(isinstance(m, kind) and m.at == asked.spot.at for m in workbench.project.marks)
    assert doubts.asked is None or doubts.asked.finding.key != asked.finding.key


def test_as_it_is_keeps_what_was_read(doubts, workbench):
    asked = at_spot(doubts)
    doubts.as_it_is()
    spots = workbench.state.netlist.spots_on(asked.finding.place.sheet)
    assert next(s for s in spots if s.at == asked.spot.at).answer == asked.spot.taken


def test_joined_is_no_answer_where_no_lines_meet(doubts, workbench):
    doubts.next()
    while doubts.asked.can_join:
        doubts.next()
    before = workbench.project
    doubts.joined()
    doubts.apart()
    assert workbench.project == before


def test_a_finding_without_lines_is_accepted_as_it_is(doubts, workbench):
    doubts.next()
    while doubts.asked.can_join or doubts.asked.finding.severity != "look":
        doubts.next()
    key = doubts.asked.finding.key
    doubts.as_it_is()
    assert key in {acceptance.finding for acceptance in workbench.project.acceptances}
    assert key not in {finding.key for finding in workbench.state.open_findings}


def stopped(workbench):
    """A sheet of another year: a finding that stops."""
    project = workbench.project
    sheet = project.sheet("sheet-1").model_copy(update={"valid_for": ValidFor(year_to=2010)})
    job = project.job.model_copy(update={"vehicle": Vehicle(year=2023)})
    project = edits.set_job(edits.change_sheet(project, sheet), job)
    workbench.do(Step("An old sheet", project))
    return next(f for f in workbench.state.open_findings if f.severity == "stop")


def test_what_stops_is_only_accepted_for_a_reason(doubts, workbench, reasons):
    doubts.look_at(stopped(workbench))
    doubts.as_it_is()
    assert workbench.project.acceptances == ()
    reasons.append("Same loom in both years")
    doubts.as_it_is()
    assert [a.reason for a in workbench.project.acceptances] == ["Same loom in both years"]


def test_when_nothing_is_left_the_walk_says_so(doubts, workbench, told):
    doubts.next()
    for _ in range(len(workbench.state.open_findings) + 5):
        if doubts.asked is None:
            break
        doubts.as_it_is()
    assert doubts.asked is None
    assert told[-1] == "Nothing stands open any more."
    doubts.next()
    assert told[-1] == "Nothing stands open."


def test_the_walk_ends_where_its_doubt_is_gone(doubts, workbench, shown):
    asked = at_spot(doubts)
    project = workbench.project
    put = edits.put_join(project, sheet=asked.finding.place.sheet, at=asked.spot.at)
    workbench.do(Step("Answered elsewhere", put.project))
    doubts.refresh()
    assert doubts.asked is None
    assert shown[-1] is None


def test_the_walk_stays_at_its_doubt_while_other_things_change(doubts, workbench):
    asked = at_spot(doubts)
    job = workbench.project.job.model_copy(update={"title": "Another title"})
    workbench.do(Step("Title", edits.set_job(workbench.project, job)))
    doubts.refresh()
    assert doubts.asked.finding.key == asked.finding.key


def test_answers_can_be_clicked_by_their_key(doubts, workbench):
    asked = at_spot(doubts)
    doubts.press("J")
    assert any(isinstance(m, JoinMark) and m.at == asked.spot.at for m in workbench.project.marks)
    doubts.press("Esc")
    assert doubts.asked is None


def test_nothing_is_answered_while_nobody_walks(doubts, workbench):
    before = workbench.project
    for key in ("J", "A", "Enter"):
        doubts.press(key)
    assert workbench.project == before


def test_the_scope_is_walked_first_and_counted_by_itself(tmp_path, told, shown):
    with open_session(tmp_path / "scoped", scoped_job()) as session:
        workbench = Workbench(session, readings())
        steps = Steps(workbench, told.append, told.append)
        doubts = Doubts(workbench, steps, shown.append, told.append, lambda _: None)
        doubts.next()
        found = workbench.state.open_findings
        scope = sum(f.in_scope for f in found)
        assert 0 < scope < len(found)
        assert doubts.asked.counted == f"1 of {scope}"
        doubts.previous()
        outside = len(found) - scope
        assert doubts.asked.counted == f"{outside} of {outside} outside the scope"
