"""The plan: nothing planned on what is not released, every gap taken care of, and what planning itself found."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.project import PinKey
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, rule

_PROMISE = "What is released is confirmed by the person or borne out by two sources"


@rule(
    key="plan: released",
    title="Every lead of the plan is released",
    reason="What is planned on a guess is cut on a guess.",
    source=_PROMISE,
    severity="look",
)
def not_released(judged: Judged) -> Iterator[Found]:
    """A lead or joint of the plan that is not released, with what is still to be settled."""
    if judged.plan is None:
        return
    for lead in judged.plan.leads:
        if not lead.released:
            pins = tuple(end.pin for end in lead.ends if end.pin is not None)
            text = " to ".join(end.text for end in lead.ends)
            why = f": {lead.doubts[0]}" if lead.doubts else ""
            yield Found(f"The lead {text} is planned and not released{why}", lead.key, pins)
    for joint in judged.plan.joints:
        if not joint.released:
            why = f": {joint.doubts[0]}" if joint.doubts else ""
            pins = tuple(n for n in joint.lead_ends or () if isinstance(n, PinKey))
            yield Found(f"{joint.sentence} (not released{why})", joint.key, pins)


@rule(
    key="plan: gaps",
    title="Every gap has its work",
    reason="A gap without an operation stays a gap.",
    source="The job's own gap list",
    severity="look",
)
def gap_without_work(judged: Judged) -> Iterator[Found]:
    """A gap in scope for which nothing is chosen."""
    if judged.plan is None or judged.job is None:
        return
    left = set(judged.plan.open_gaps)
    for gap in judged.job.open_in_scope:
        if gap.key in left:
            yield Found(
                f"Nothing is planned for it yet: {gap.sentence}", gap.key, gap.pins, gap.place
            )


@rule(
    key="plan: joint",
    title="No planned joint in a circuit that stands none",
    reason="High voltage, restraint, interlock and safety circuits get no joint of ours.",
    source="Cautions, 16, 17 and 23 (practice)",
)
def joint_in_forbidden_circuit(judged: Judged) -> Iterator[Found]:
    """A joint of the plan in a net of such a class."""
    for joint in judged.plan.joints if judged.plan is not None else ():
        pins = tuple(n for n in joint.lead_ends or () if isinstance(n, PinKey))
        nets = {judged.netlist.net_by_pin[pin] for pin in pins if pin in judged.netlist.net_by_pin}
        for net in nets:
            if judged.is_of_class(net, "high voltage", "restraint", "interlock", "safety"):
                yield Found(f"{judged.net(net)} stands no joint: {joint.sentence}", joint.key, pins)


@rule(
    key="plan: findings",
    title="What planning found is settled",
    reason="Planning held sizes, fuses, bundles and orders against their bounds.",
    source="The bounds of each operation; see the plan",
)
def found_by_planning(judged: Judged) -> Iterator[Found]:
    """What the plan itself says must not be done so."""
    for finding in judged.plan.findings if judged.plan is not None else ():
        if finding.severity == "stop":
            yield Found(finding.sentence, finding.key, (), finding.place, finding.bound)


@rule(
    key="plan: doubts",
    title="What planning asks about is answered",
    reason="Planning goes on with an assumption, and says which.",
    source="The plan",
    severity="look",
)
def asked_by_planning(judged: Judged) -> Iterator[Found]:
    """What the plan says that a person has to look at."""
    for finding in judged.plan.findings if judged.plan is not None else ():
        if finding.severity == "look":
            yield Found(finding.sentence, finding.key, (), finding.place, finding.bound)
