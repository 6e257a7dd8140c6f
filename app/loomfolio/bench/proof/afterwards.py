"""What has to hold at the end: no new codes, the sleep current, all that worked before, and the option itself."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from loomfolio.bench.proof.limits import limit_value
from loomfolio.bench.proof.metal import Metal, MetalNet
from loomfolio.bench.proof.records import Conditions, Limit, ProofTest
from loomfolio.electrics import Figure, given
from loomfolio.project import Baseline, PartKind, PinKey, Project, pin_text

WORKS = Limit(passes="works", fails="does not work")
NO_CODES = Limit(passes="no new code", fails="new code")
IN_USE: frozenset[PartKind] = frozenset(
    {"socket", "inlet", "lamp", "motor", "switch", "sensor", "device"}
)
"""Kinds of part at which somebody can see that the option works."""
BY_SIGNAL: frozenset[PartKind] = frozenset({"socket", "inlet"})


def baseline_before(project: Project) -> Baseline | None:
    """Return how this vehicle was before the work, where that was noted."""
    own = {one.id for one in project.specimens if one.kind == "this vehicle"}
    return next((b for b in project.baselines if b.when == "before" and b.specimen in own), None)


def afterwards_tests(
    project: Project, metal: Metal, new_parts: Collection[str], *, after: tuple[str, ...] = ()
) -> tuple[ProofTest, ...]:
    """Return the tests after the power: codes, sleep current, functions as before, the option in use."""
    baseline = baseline_before(project)
    return (
        _codes(baseline, after),
        _sleep(baseline),
        *_functions(baseline),
        *_option(project, metal, new_parts),
    )


def _codes(baseline: Baseline | None, after: tuple[str, ...]) -> ProofTest:
    known = () if baseline is None else tuple(code.code for code in baseline.fault_codes)
    before = (
        f"Before the work stood: {', '.join(known)}." if known else "Before the work stood none."
    )
    if baseline is None:
        before = "What stood before the work was not noted: every code has to be explained."
    return ProofTest(
        key="codes",
        stage="codes",
        title="Read the fault codes of all modules",
        conditions=Conditions(
            supply="on, fuses as planned", key="on, vehicle driven or run once", note=before
        ),
        limit=NO_CODES,
        after=after,
    )


def _sleep(baseline: Baseline | None) -> ProofTest:
    if baseline is not None and baseline.sleep_current_ma is not None:
        before = given("before the work", baseline.sleep_current_ma, "mA")
        margin = limit_value("sleep current above the baseline")
        high = Figure(
            "greatest sleep current",
            before.value + margin.value,
            "mA",
            "before + spread",
            (before, margin),
        )
        doubt = high.value + margin.value
    else:
        high = limit_value("sleep current without a baseline")
        doubt = high.value * 2
    return ProofTest(
        key="sleep current",
        stage="sleep current",
        title="Sleep current at the battery minus",
        conditions=Conditions(
            supply="on, meter in line or clamp meter at the minus lead",
            key="out, doors latched, asleep (as long as the maker says, at least 30 minutes)",
            meter="mA DC",
        ),
        limit=Limit(unit="mA", high=high, doubt_high=doubt),
    )


def _functions(baseline: Baseline | None) -> Iterator[ProofTest]:
    for function in baseline.functions if baseline is not None else ():
        if function.works:
            yield ProofTest(
                key=f"function {' '.join(function.name.casefold().split())}",
                stage="functions",
                title=f"{function.name}: works as before",
                conditions=Conditions(supply="on", key="as it needs"),
                limit=WORKS,
            )


def _option(project: Project, metal: Metal, new_parts: Collection[str]) -> Iterator[ProofTest]:
    """The option in use: signal by signal at a socket or inlet, otherwise part by part."""
    parts = {half.part for half in project.job.scope} | set(new_parts)
    seen: set[str] = set()
    for net in metal.nets:
        if not net.is_touched or any(metal.stops(node) for node in net.nodes):
            continue
        for node in net.nodes:
            if isinstance(node, PinKey) and node.part in parts and metal.kind(node) in IN_USE:
                by_signal = metal.kind(node) in BY_SIGNAL
                subject = net.key if by_signal else node.part
                if subject not in seen:
                    seen.add(subject)
                    yield _in_use(subject, _words(project, metal, net, node, by_signal=by_signal))


def _words(project: Project, metal: Metal, net: MetalNet, node: PinKey, *, by_signal: bool) -> str:
    if not by_signal:
        return f"{metal.names[node.part]} in use"
    name = f"{net.name} in use, at " if net.name else "In use: "
    return name + pin_text(project, node)


def _in_use(subject: str, title: str) -> ProofTest:
    return ProofTest(
        key=f"option {subject}",
        stage="option",
        title=title,
        conditions=Conditions(
            supply="on",
            key="as in use",
            note="Three times on and off. Passed: it does what it is for, and nothing else changes.",
        ),
        limit=Limit(passes="works, and alone", fails="does not, or not alone"),
    )
