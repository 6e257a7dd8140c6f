"""Connectors of two documents: matched, asked, and a rename that does not become sixty gaps."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from loomfolio.nets import derive
from loomfolio.project import (
    Cavity,
    Connector,
    ConnectorMatch,
    Half,
    HalfKey,
    Lead,
    Part,
    PinKey,
    Project,
)
from loomfolio.retrofit import (
    Equipment,
    Matching,
    Renaming,
    Seen,
    equipment_of,
    find_gaps,
    match_halves,
    vehicle_as_it_is,
)
from support.make_fits import VAN, Drawn, vehicles_in_fits

SIGNALS = ("BRAKE", "TAIL L", "TAIL R", "FOG", "REVERSE", "SUPPLY 30")


def part(number: int, name: str, connector: str, signals: tuple[str, ...]) -> Part:
    cavities = tuple(Cavity(pin=str(n), name=name) for n, name in enumerate(signals, 1))
    return Part(
        id=f"part-{number}",
        name=name,
        kind="module",
        connectors=(Connector(name=connector, halves=(Half(cavities=cavities),)),),
    )


def documents(*names: tuple[str, str, tuple[str, ...]]) -> Equipment:
    """Modules with named pins and no leads between them."""
    parts = tuple(part(n, *each) for n, each in enumerate(names, 1))
    return equipment_of(derive(Project(serial=99, parts=parts), {}))


def half(number: int, connector: str) -> HalfKey:
    return HalfKey(part=f"part-{number}", connector=connector)


def test_a_renamed_connector_is_found_by_its_signals():
    here = documents(("TCU", "C1", SIGNALS), ("BCM", "C1", ("HORN", "WIPER", "WASHER")))
    there = documents(("BCM", "C1", ("HORN", "WIPER", "WASHER")), ("TRAILER UNIT", "P4", SIGNALS))
    found = match_halves(here, there, is_one_document=False)
    assert dict(found.pairs) == {half(1, "C1"): half(2, "P4"), half(2, "C1"): half(1, "C1")}
    assert found.questions == ()
    assert dict(found.parts) == {"part-1": "part-2", "part-2": "part-1"}


def test_two_that_are_about_as_likely_are_asked_and_not_taken():
    lamp = ("TAIL", "BRAKE", "GROUND")
    here = documents(("LAMP LEFT", "C1", lamp))
    there = documents(("LAMP 1", "C1", lamp), ("LAMP 2", "C1", lamp))
    found = match_halves(here, there, is_one_document=False)
    assert found.pairs == ()
    (question,) = found.questions
    assert question.target == half(1, "C1")
    assert {question.vehicle, *question.rivals} == {half(1, "C1"), half(2, "C1")}
    assert "3 of 3 signals are named alike" in question.grounds


def test_an_answer_settles_it_and_a_no_takes_a_pair_out_of_the_question():
    lamp = ("TAIL", "BRAKE", "GROUND")
    here = documents(("LAMP LEFT", "C1", lamp))
    there = documents(("LAMP 1", "C1", lamp), ("LAMP 2", "C1", lamp))
    yes = ConnectorMatch(id="match-1", target=half(1, "C1"), vehicle=half(2, "C1"))
    assert match_halves(here, there, [yes], is_one_document=False).pairs == (
        (half(1, "C1"), half(2, "C1")),
    )
    no = yes.model_copy(update={"is_same": False})
    found = match_halves(here, there, [no], is_one_document=False)
    assert found.pairs == ((half(1, "C1"), half(1, "C1")),)


def test_what_has_nothing_in_common_is_neither_taken_nor_asked():
    here = documents(("RADIO", "C1", ("LEFT +", "LEFT -")))
    there = documents(("PUMP", "X9", ("IN", "OUT", "CASE")))
    found = match_halves(here, there, is_one_document=False)
    assert (found.pairs, found.questions) == ((), ())
    assert found.only_target == (half(1, "C1"),)
    assert found.only_vehicle == (half(1, "X9"),)


def test_within_one_document_the_same_half_is_the_same():
    here = documents(("TCU", "C1", SIGNALS))
    found = match_halves(here, here)
    assert found.pairs == ((half(1, "C1"), half(1, "C1")),)
    assert Renaming(found, here, is_one_document=True).changes_nothing


def test_neighbours_tell_connectors_apart_that_have_no_names():
    """X1 and X2 look alike; that one goes to the module's pin 1 and the other to pin 2 tells them apart."""

    def wired(first: str, second: str) -> Equipment:
        module = part(1, "TCU", "C1", ("A", "B"))
        bare = [
            Part(id=f"part-{n}", name=name, kind="in-line connector", connectors=(Connector(),))
            for n, name in ((2, first), (3, second))
        ]
        leads = tuple(
            Lead(
                id=f"lead-{n}",
                ends=(half(1, "C1").pin(str(n)), PinKey(part=f"part-{n + 1}", pin="1")),
            )
            for n in (1, 2)
        )
        return equipment_of(derive(Project(serial=99, parts=(module, *bare), leads=leads), {}))

    found = match_halves(wired("X1", "X2"), wired("X21", "X12"), is_one_document=False)
    pairs = dict(found.pairs)
    assert pairs[HalfKey(part="part-2")] == HalfKey(part="part-2")
    assert pairs[HalfKey(part="part-3")] == HalfKey(part="part-3")


# --------------------------------------------------------------------------------------- renaming


def renamed_project(project: Project, names: dict[str, str]) -> Project:
    """The same document with other part ids, names and connector names."""

    def pin(key: PinKey) -> PinKey:
        return PinKey(
            part=names[key.part], connector=f"{key.connector}z", half=key.half, pin=key.pin
        )

    return project.model_copy(
        update={
            "parts": tuple(
                one.model_copy(
                    update={
                        "id": names[one.id],
                        "name": f"renamed {one.name}",
                        "connectors": tuple(
                            c.model_copy(update={"name": f"{c.name}z"}) for c in one.connectors
                        ),
                        "ways": tuple(
                            way.model_copy(
                                update={
                                    "pins": tuple(
                                        p.model_copy(update={"connector": f"{p.connector}z"})
                                        for p in way.pins
                                    )
                                }
                            )
                            for way in one.ways
                        ),
                    }
                )
                for one in project.parts
            ),
            "leads": tuple(
                lead.model_copy(update={"ends": (pin(lead.ends[0]), pin(lead.ends[1]))})
                for lead in project.leads
            ),
            "mates": tuple(
                mate.model_copy(
                    update={
                        side: HalfKey(
                            part=names[key.part], connector=f"{key.connector}z", half=key.half
                        )
                        for side, key in (("a", mate.a), ("b", mate.b))
                    }
                )
                for mate in project.mates
            ),
        }
    )


@given(vehicles_in_fits(has_joints=False), st.permutations(range(1, 9)))
def test_gaps_stay_as_they_are_when_the_vehicles_documents_call_everything_otherwise(
    drawn: Drawn, numbers: list[int]
) -> None:
    ids = {part.id: f"part-{n}" for part, n in zip(drawn.project.parts, numbers, strict=True)}
    other = renamed_project(drawn.project, ids)
    from support.make_fits import VEHICLE, equipment_in

    target, documented = drawn.target, equipment_in(other, VEHICLE)
    back = {new: old for old, new in ids.items()}

    def original(key: HalfKey) -> HalfKey:
        return HalfKey(part=back[key.part], connector=key.connector[:-1], half=key.half)

    matching = Matching(
        pairs=tuple((original(h), h) for h in documented.halves),
        parts=tuple((back[p], p) for p in documented.part_kinds),
        questions=(),
        only_target=(),
        only_vehicle=(),
    )
    translated = Renaming(matching, target, is_one_document=False).equipment(documented)
    seen = Seen.of(drawn.project.survey, VAN)
    state = vehicle_as_it_is(translated, seen, target=target)
    mine, theirs = find_gaps(target, drawn.vehicle), find_gaps(target, state)
    assert [(g.kind, g.key, g.mend) for g in theirs] == [(g.kind, g.key, g.mend) for g in mine]


def test_what_is_matched_with_nothing_keeps_a_name_that_the_target_does_not_have():
    here = documents(("TCU", "C1", SIGNALS))
    there = documents(("PUMP", "C1", ("IN",)))
    matching = match_halves(here, there, is_one_document=False)
    own = Renaming(matching, here, is_one_document=False)
    assert own.half(half(1, "C1")) == HalfKey(part="vehicle-1", connector="C1")
    assert own.equipment(there).part_names == {"vehicle-1": "PUMP"}
