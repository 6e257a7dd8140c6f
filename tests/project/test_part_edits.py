"""Parts and what hangs on them: references, leads, cable groups, harnesses."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError
from loomfolio.project import (
    BodyMark,
    CableGroup,
    Connector,
    HalfKey,
    Known,
    LeadColour,
    edits,
    faults,
)
from support.make_project import make_two_sheets

MADE = make_two_sheets()
P = MADE.project
SOCKET, RELAY = HalfKey(part=MADE.module, connector="C1"), HalfKey(part=MADE.relay)


def test_a_part_with_all_that_is_known_of_it():
    known = Known(how="seen", source="the van")
    p, part_id = edits.add_part(
        P,
        name=" BCM ",
        kind="module",
        connectors=(Connector(name="C1"),),
        note="front",
        known=known,
    )
    part = p.part(part_id)
    assert (part.name, part.kind, part.note, part.known) == ("BCM", "module", "front", known)
    with pytest.raises(KeyError):
        P.part(part_id)


@pytest.mark.parametrize("name", ["TCU", "tcu", " TCU "])
def test_a_name_belongs_to_one_part(name: str):
    with pytest.raises(EditError) as caught:
        edits.add_part(P, name=name)
    assert str(caught.value) == "There is already a part called 'TCU'; choose another name."
    with pytest.raises(EditError, match="already a part called 'TCU'"):
        edits.rename_part(P, MADE.relay, name)


def test_a_part_and_a_reference_may_share_a_name():
    p, _ = edits.add_part(P, name="G103", kind="ground point")
    with pytest.raises(EditError, match="already a reference called 'G103'"):
        edits.add_reference(p, name="g103", kind="case")


def test_a_part_may_change_the_capitals_of_its_own_name():
    assert edits.rename_part(P, MADE.module, "tcu").part(MADE.module).name == "tcu"


def test_a_part_keeps_its_place_in_the_list_when_it_changes():
    changed = edits.change_part(P, P.parts[0].model_copy(update={"note": "rear"}))
    assert [part.note for part in changed.parts] == ["rear", ""]


def test_a_kind_that_is_none_is_refused():
    with pytest.raises(EditError, match="This part cannot be kept: kind should be 'module'"):
        edits.change_part(P, P.parts[0].model_copy(update={"kind": "kettle"}))


def test_removing_a_part_takes_all_that_hangs_on_it():
    after = edits.remove_part(P, MADE.module)
    assert [part.name for part in after.parts] == ["K1"]
    assert not [mark for mark in after.marks if isinstance(mark, BodyMark)]
    assert after.mates == after.leads == ()
    assert after.groups[0].pins == ()
    assert after.harnesses[0].ends == (RELAY,)
    assert after.job.scope == ()
    assert MADE.mate not in [c.record for c in after.confirmations]
    assert list(faults(after)) == []


def test_removing_a_part_leaves_alone_what_does_not_hang_on_it():
    p, lone = edits.add_part(P, name="H1", kind="lamp")
    after = edits.remove_part(p, lone)
    assert after.marks is P.marks
    assert after.groups is P.groups
    assert after.harnesses is P.harnesses
    assert after.job is P.job
    assert after.parts == P.parts


def test_the_screen_of_a_group_loses_the_end_on_a_removed_part():
    p, group = edits.add_group(
        P, name="W2", kind="screen", screen_ends=(SOCKET.pin("S"), RELAY.pin("S"))
    )
    after = edits.remove_part(p, MADE.module)
    assert after.groups[-1].screen_ends == (RELAY.pin("S"),)
    assert after.groups[-1].id == group


def test_a_reference_goes_and_the_parts_on_it_stay():
    reference = P.references[0]
    assert P.parts[0].reference == reference.id
    after = edits.remove_reference(P, reference.id)
    assert after.references == ()
    assert after.parts[0].reference is None
    assert after.parts[1] is P.parts[1]


def test_a_reference_changes():
    changed = edits.change_reference(P, P.references[0].model_copy(update={"kind": "case"}))
    assert changed.references[0].kind == "case"


def test_a_lead_between_two_pins():
    p, lead_id = edits.add_lead(
        P,
        ends=(SOCKET.pin("9"), RELAY.pin("85")),
        colour=LeadColour(text="RD"),
        area_mm2=0.75,
        length_m=2.4,
    )
    lead = p.leads[-1]
    assert (lead.id, lead.length_m, lead.harness) == (lead_id, 2.4, None)
    assert edits.remove_lead(p, lead_id).leads == P.leads


def test_a_lead_from_a_pin_to_itself_is_refused():
    with pytest.raises(EditError, match="has two ends; choose another pin"):
        edits.add_lead(P, ends=(SOCKET.pin("9"), SOCKET.pin("9")))
    with pytest.raises(EditError, match="has two ends; choose another pin"):
        edits.change_lead(P, P.leads[0].model_copy(update={"ends": (SOCKET.pin("9"),) * 2}))


def test_a_lead_changes():
    changed = edits.change_lead(P, P.leads[0].model_copy(update={"area_mm2": 2.5}))
    assert changed.leads[0].area_mm2 == 2.5


def test_a_cable_group_changes_and_goes_and_its_leads_stay():
    group = P.groups[0]
    assert isinstance(group, CableGroup)
    assert (
        edits.change_group(P, group.model_copy(update={"kind": "cable"})).groups[0].kind == "cable"
    )
    assert edits.remove_group(P, group.id).leads == P.leads


def test_a_harness_changes_and_goes_and_its_leads_stay():
    harness = P.harnesses[0]
    changed = edits.change_harness(P, harness.model_copy(update={"part_number": "4711"}))
    assert changed.harnesses[0].part_number == "4711"
    p, loose = edits.add_lead(P, ends=(SOCKET.pin("9"), RELAY.pin("85")))
    after = edits.remove_harness(p, harness.id)
    assert after.harnesses == ()
    assert [lead.harness for lead in after.leads] == [None, None]
    assert after.leads[-1] is p.leads[-1]
    assert after.leads[-1].id == loose
