"""Hold a document against the rules: findings that lead to their place, each open or let stand with a reason."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomfolio.nets import MapRow, Netlist, connector_map, scope_nets
from loomfolio.project import Anchor, PinKey, Project
from loomfolio.retrofit.job import JobGaps
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, Rule, RuleFinding
from loomfolio.retrofit.rules.registry import all_rules
from loomfolio.retrofit.work import WorkPlan


def check_rules(
    project: Project,
    netlist: Netlist,
    rows: Sequence[MapRow] | None = None,
    *,
    job: JobGaps | None = None,
    plan: WorkPlan | None = None,
    rules: Sequence[Rule] | None = None,
) -> tuple[RuleFinding, ...]:
    """Return what breaks the rules, in scope and grave first.

    Parameters
    ----------
    netlist
        The nets of the fit that is to be built: that of `job.target`, where there is a job.
    job
        What this vehicle lacks; without it the rules about new things are silent.
    plan
        The plan of the work; without it the rules about plans are silent.
    """
    judged = Judged(
        project, netlist, connector_map(netlist) if rows is None else rows, job=job, plan=plan
    )
    scope = scope_nets(netlist)
    found = [
        finding
        for one in (all_rules() if rules is None else rules)
        for finding in _findings(judged, one, scope)
    ]
    return tuple(
        sorted(found, key=lambda f: (not f.in_scope, f.severity != "stop", f.rule, f.sentence))
    )


def check_job(
    project: Project, job: JobGaps, *, plan: WorkPlan | None = None
) -> tuple[RuleFinding, ...]:
    """Return what breaks the rules in the target of a job."""
    return check_rules(project, job.target.netlist, job.target.rows, job=job, plan=plan)


def _findings(judged: Judged, one: Rule, scope: frozenset[int]) -> Iterator[RuleFinding]:
    project = judged.project
    accepted = {acceptance.finding: acceptance.reason for acceptance in project.acceptances}
    of_rule = next((a.reason for a in project.accepted_rules if a.rule == one.id), None)
    told: set[str] = set()
    for found in one.find(judged):
        key = f"rule {one.id}: {found.about}"
        if key not in told:  # one thing is told once, however often the rule comes across it
            told.add(key)
            yield RuleFinding(
                rule=one.id,
                title=one.title,
                reason=one.reason,
                source=one.source,
                severity=one.severity,
                sentence=found.sentence,
                key=key,
                place=found.place or _place(judged, found.pins),
                pins=found.pins,
                in_scope=_is_in_scope(judged, found, scope),
                accepted=accepted.get(key, of_rule),
                bound=found.bound,
            )


def _place(judged: Judged, pins: Sequence[PinKey]) -> Anchor | None:
    places = judged.netlist.place_of
    return next((places[pin] for pin in pins if pin in places), None)


def _is_in_scope(judged: Judged, found: Found, scope: frozenset[int]) -> bool:
    """A finding without a pin is about the whole job."""
    if not judged.netlist.has_scope or not found.pins:
        return True
    return any(judged.netlist.net_by_pin.get(pin) in scope for pin in found.pins)
