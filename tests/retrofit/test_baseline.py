"""Before and after: what is new, what broke, what nobody tried again."""

from __future__ import annotations

import pytest

from loomfolio.project import Baseline, FaultCode, FunctionCheck
from loomfolio.retrofit import compare_baselines


def baseline(when: str, **fields: object) -> Baseline:
    return Baseline(id=f"baseline-{len(when)}", specimen="specimen-1", when=when, **fields)


def works(*names: str) -> tuple[FunctionCheck, ...]:
    return tuple(FunctionCheck(name=name, works=True) for name in names)


def test_all_as_before_says_nothing():
    before = baseline("before", functions=works("Horn", "Wipers"), sleep_current_ma=14.0)
    after = baseline("after", functions=works("horn", "wipers  "), sleep_current_ma=16.0)
    found = compare_baselines(before, after)
    assert found.is_as_before
    assert found.sleep_current_rise_ma == pytest.approx(2.0)


def test_what_is_new_broken_or_not_tried_is_told():
    before = baseline(
        "before",
        fault_codes=(FaultCode(code="A31-204", module="A31"),),
        functions=(*works("Horn", "Wipers"), FunctionCheck(name="Fog lamp", works=False)),
        sleep_current_ma=14.0,
    )
    after = baseline(
        "after",
        fault_codes=(FaultCode(code="a31-204", module="a31"), FaultCode(code="U0110", text="bus")),
        functions=(
            FunctionCheck(name="Horn", works=False),
            FunctionCheck(name="Trailer tail", works=False),
            *works("Fog lamp"),
        ),
        sleep_current_ma=45.0,
    )
    found = compare_baselines(before, after)
    assert found.sentences == (
        "New fault code U0110 bus",
        "Horn does not work, and did before",
        "Trailer tail does not work; nobody tried it before",
        "Wipers worked before and has not been tried again",
        "The sleep current rose from 14 to 45 mA",
    )
    assert [f.name for f in found.mended] == ["Fog lamp"]
    assert not found.is_as_before


def test_what_did_not_work_before_and_does_not_now_is_not_held_against_the_work():
    lame = (FunctionCheck(name="Park assist", works=False),)
    found = compare_baselines(baseline("before", functions=lame), baseline("after", functions=lame))
    assert found.is_as_before


def test_a_sleep_current_that_was_not_measured_again_is_told():
    found = compare_baselines(baseline("before", sleep_current_ma=14.0), baseline("after"))
    assert found.sentences == ("The sleep current has not been measured again",)
    assert found.sleep_current_rise_ma is None


def test_a_fault_code_that_is_gone_is_told_apart():
    code = FaultCode(code="U0110")
    found = compare_baselines(baseline("before", fault_codes=(code,)), baseline("after"))
    assert found.gone_fault_codes == (code,)
    assert found.is_as_before
