"""Option notes on conductors, marks and regions: what the fits then show, and what stays where nothing is said."""

import pytest

from loomfolio.basics import EditError, MmBox
from loomfolio.desk.option_notes import (
    conductor_condition,
    conductor_only_with,
    known_options,
    mark_only_with,
    region_only_with,
)
from loomfolio.nets import derive
from loomfolio.project import BodyMark, Fit, NotConductorMark
from support.make_desk import FRONT, REAR, fitted_job, pin, readings, small_job

WITH = Fit(id="fit-20", name="With tow bar", options_with=("TOW",))
BARE = Fit(id="fit-21", name="As it came", options_without=("TOW",))
NOTHING_SAID = Fit(id="fit-22", name="Nothing said")


def netlist(project, fit=None):
    return derive(project, readings(), fit=fit)


def noted(when="TOW", project=None):
    """Cavity 1 of the plug to the socket: the conductor between stands under a condition."""
    before = project or small_job()
    step = conductor_only_with(before, netlist(before), "sheet-1", FRONT.at("a"), when)
    return step.project


def are_joined(project, fit=None):
    net = netlist(project, fit).net_of_pin(pin("TCU", "1", "C1"))
    return net is not None and pin("X90", "1") in net.pins


@pytest.mark.parametrize(
    ("fit", "is_there"),
    [(None, True), (WITH, True), (BARE, False), (NOTHING_SAID, True)],
    ids=["all that the sheets say", "with", "without", "undetermined"],
)
def test_a_conductor_is_there_where_its_condition_holds_or_is_not_known(fit, is_there):
    assert are_joined(small_job(), fit)
    assert are_joined(noted(), fit) is is_there


def test_the_rest_of_the_sheet_is_left_alone():
    def others(project):
        return {
            frozenset(net.pins)
            for net in netlist(project, BARE).nets
            if len(net.pins) > 1 and pin("X90", "1") not in net.pins
        }

    assert others(noted()) == others(small_job())


def test_a_condition_is_shown_again_changed_and_taken_off():
    project = noted("TOW | HITCH")
    read = netlist(project)
    assert conductor_condition(project, read, "sheet-1", FRONT.at("a")) == "TOW | HITCH"
    changed = noted("!TOW", project)
    assert sum(isinstance(mark, NotConductorMark) for mark in changed.marks) == 1
    assert are_joined(changed, BARE)
    assert not are_joined(changed, WITH)
    assert noted("", changed).marks == small_job().marks


def test_except_is_not_turned_twice():
    project = noted("!(TOW)")
    assert conductor_condition(project, netlist(project), "sheet-1", FRONT.at("a")) == "!(TOW)"


def test_what_is_no_condition_changes_nothing():
    with pytest.raises(EditError):
        noted("TOW &")


def test_a_box_only_with_an_option():
    step = mark_only_with(small_job(), "mark-2", "TOW")
    assert step.title == "A mark only with TOW"
    assert netlist(step.project, BARE).net_of_pin(pin("X90", "1")) is None
    assert netlist(step.project, WITH).net_of_pin(pin("X90", "1")) is not None


def test_all_that_lies_in_a_region_stands_under_its_option():
    """On the rear sheet the lamp with both its conductors' ends; the module beside it lies outside."""
    right, low = REAR.at("l"), REAR.at("n")
    box = MmBox(REAR.at("k").x - 1.0, right.y - 4.0, right.x + 4.0, right.y + 3.0)
    project = small_job()
    step = region_only_with(project, netlist(project), "sheet-2", box, "TOW")
    inside = [m for m in step.project.marks if isinstance(m, BodyMark) and m.when]
    assert all(m.when == "TOW" for m in inside)
    refused = [m for m in step.project.marks if isinstance(m, NotConductorMark)]
    assert [mark.when for mark in refused] == ["!(TOW)"]
    assert low.y > box.y1
    ends = (pin("F5", "2"), pin("E3", "1"))
    for fit, is_there in ((WITH, True), (BARE, False)):
        net = netlist(step.project, fit).net_of_pin(ends[0])
        assert (net is not None and ends[1] in net.pins) is is_there


def test_an_empty_region_is_told():
    project = small_job()
    with pytest.raises(EditError, match="Nothing lies wholly in this box"):
        region_only_with(project, netlist(project), "sheet-1", MmBox(0.1, 0.1, 0.4, 0.4), "TOW")
    with pytest.raises(EditError, match="Say with which options"):
        region_only_with(project, netlist(project), "sheet-1", MmBox(0, 0, 400, 400), " ")


def test_options_are_gathered_from_fits_and_notes():
    assert known_options(noted("HITCH", fitted_job())) == ("HITCH", "TOW")
