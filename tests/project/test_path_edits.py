"""Links, mates, confirmations and accepted findings: what a lead's path rests on."""

from __future__ import annotations

import pytest

from loomfolio.basics import EditError, MmPoint
from loomfolio.project import Anchor, HalfKey, Known, PinPair, Project, edits
from support.make_project import make_two_sheets

MADE = make_two_sheets()
P = MADE.project
A, B = Anchor(sheet=MADE.sheet, at=MmPoint(1, 1)), Anchor(sheet=MADE.other_sheet, at=MmPoint(2, 2))


def records_confirmed(project: Project) -> list[str | None]:
    return [confirmation.record for confirmation in project.confirmations]


# ---------------------------------------------------------------------------------------- links


def test_a_link_may_wait_for_its_other_end():
    p, link_id = edits.add_link(P, a=A, label=" B ")
    link = p.links[-1]
    assert (link.id, link.a, link.b, link.label) == (link_id, A, None, "B")
    p = edits.change_link(p, link.model_copy(update={"b": B}))
    assert p.links[-1].b == B


def test_a_link_from_a_place_to_itself_is_refused():
    with pytest.raises(EditError, match="choose a different second place"):
        edits.add_link(P, a=A, b=A)
    with pytest.raises(EditError, match="choose a different second place"):
        edits.change_link(P, P.links[0].model_copy(update={"b": P.links[0].a}))


def test_another_end_withdraws_the_confirmation_of_a_link_and_another_label_does_not():
    relabelled = edits.change_link(P, P.links[0].model_copy(update={"label": "Z"}))
    assert MADE.link in records_confirmed(relabelled)
    moved = edits.change_link(P, P.links[0].model_copy(update={"b": B}))
    assert MADE.link not in records_confirmed(moved)
    assert MADE.mate in records_confirmed(moved)


def test_removing_a_link_removes_its_confirmation():
    after = edits.remove_link(P, MADE.link)
    assert after.links == ()
    assert MADE.link not in records_confirmed(after)


# ---------------------------------------------------------------------------------------- mates


def test_two_halves_are_mated_once_and_not_with_themselves():
    mate = P.mates[0]
    with pytest.raises(EditError, match="mated already; change that mate"):
        edits.add_mate(P, a=mate.b, b=mate.a)
    with pytest.raises(EditError, match="cannot be mated with itself"):
        edits.add_mate(P, a=mate.a, b=mate.a)
    other = HalfKey(part=MADE.relay, connector="C9")
    p, second = edits.add_mate(P, a=mate.a, b=other)
    with pytest.raises(EditError, match="mated already; change that mate"):
        edits.change_mate(p, p.mates[1].model_copy(update={"b": mate.b}))
    assert p.mates[1].id == second


@pytest.mark.parametrize(
    ("pairs", "cavity"),
    [
        ((PinPair(a="1", b="1"), PinPair(a="1", b="2")), "1"),
        ((PinPair(a="1", b="7"), PinPair(a="2", b="7")), "7"),
    ],
)
def test_a_cavity_faces_exactly_one_other(pairs: tuple[PinPair, ...], cavity: str):
    other = HalfKey(part=MADE.relay, connector="C9")
    with pytest.raises(EditError, match=f"Cavity {cavity} is given two partners"):
        edits.add_mate(P, a=P.mates[0].a, b=other, pairs=pairs)
    with pytest.raises(EditError, match=f"Cavity {cavity} is given two partners"):
        edits.change_mate(P, P.mates[0].model_copy(update={"pairs": pairs}))


def test_confirmations_of_cavity_pairs_stay_only_with_their_pair():
    both = (PinPair(a="1", b="30"), PinPair(a="2", b="86"))
    p = edits.change_mate(P, P.mates[0].model_copy(update={"pairs": both}))
    p = edits.confirm(p, piece="mate", record=MADE.mate, detail="2=86").project
    details = [c.detail for c in p.confirmations if c.record == MADE.mate]
    assert details == ["1=30", "2=86"]
    turned = (PinPair(a="1", b="86"), PinPair(a="2", b="30"))
    assert (
        records_confirmed(
            edits.change_mate(p, p.mates[0].model_copy(update={"pairs": turned}))
        ).count(MADE.mate)
        == 0
    )
    one = edits.change_mate(p, p.mates[0].model_copy(update={"pairs": both[:1]}))
    assert [c.detail for c in one.confirmations if c.record == MADE.mate] == ["1=30"]
    elsewhere = HalfKey(part=MADE.relay, connector="C9")
    moved = edits.change_mate(p, p.mates[0].model_copy(update={"b": elsewhere}))
    assert MADE.mate not in records_confirmed(moved)
    sourced = edits.change_mate(p, p.mates[0].model_copy(update={"known": Known(how="list")}))
    assert sourced.confirmations == p.confirmations


def test_removing_a_mate_removes_its_confirmation():
    after = edits.remove_mate(P, MADE.mate)
    assert after.mates == ()
    assert MADE.mate not in records_confirmed(after)


# -------------------------------------------------------------------------------- confirmations


def test_a_second_source_is_a_second_confirmation_and_the_same_one_none():
    measured = Known(how="measured", source="the van")
    p, first = edits.confirm(P, piece="join", place=A)
    p, second = edits.confirm(p, piece="join", place=A, known=measured)
    again, third = edits.confirm(p, piece="join", place=A, known=measured)
    assert again is p
    assert first != second == third


def test_a_confirmation_names_a_place_or_a_record():
    with pytest.raises(EditError, match="names a place or a record; give one"):
        edits.confirm(P, piece="join")


def test_a_confirmation_is_withdrawn():
    p, one = edits.confirm(P, piece="join", place=A)
    assert edits.withdraw_confirmation(p, one).confirmations == P.confirmations


# -------------------------------------------------------------------------------------- findings


def test_a_finding_is_accepted_once_and_for_a_reason():
    p, first = edits.accept_finding(P, "pin on no conductor:1", " spare ")
    assert p.acceptances[0].reason == "spare"
    p, second = edits.accept_finding(p, "pin on no conductor:1", "seen empty")
    assert first == second
    assert [a.reason for a in p.acceptances] == ["seen empty"]
    with pytest.raises(EditError, match="accepted for a reason; write one"):
        edits.accept_finding(P, "pin on no conductor:1", " ")


def test_a_finding_counts_again_when_its_acceptance_is_withdrawn():
    p, _ = edits.accept_finding(P, "one", "seen")
    p, acceptance = edits.accept_finding(p, "two", "seen")
    assert [a.finding for a in edits.withdraw_acceptance(p, acceptance).acceptances] == ["one"]
