"""Tell what still needs a person: findings of the nets, and what breaks the rules of the trade."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from loomfolio.cli.command import DONE, FINDINGS_OPEN, Command
from loomfolio.cli.inputs import add_fit, add_project, named_fit, opened_project, write_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomfolio.nets import Netlist
    from loomfolio.project import Project
    from loomfolio.reading import Reading
    from loomfolio.retrofit import RuleFinding


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take what the command needs."""
    add_project(parser)
    add_fit(parser)
    parser.add_argument("--json", metavar="OUT", help="write the findings as json; - for here")
    parser.add_argument("--all", action="store_true", help="also what lies outside the job's scope")
    parser.add_argument("--why", action="store_true", help="tell the reason of each rule, too")


def run(arguments: argparse.Namespace) -> int:
    """Tell what still needs a person."""
    from loomfolio.nets import derive, findings
    from loomfolio.reading import readings_of
    from loomfolio.retrofit import check_report, rule_text

    with opened_project(arguments) as folder:
        project = folder.project
        readings = readings_of(folder, project)
        netlist = derive(project, readings, fit=named_fit(project, arguments.fit))
        of_nets = [f for f in findings(netlist) if arguments.all or f.in_scope]
        of_rules = _of_rules(project, readings, netlist, arguments.fit)
    of_rules = [f for f in of_rules if arguments.all or f.in_scope]
    open_nets = [finding for finding in of_nets if finding.accepted is None]
    open_rules = [finding for finding in of_rules if finding.is_open]
    is_open = bool(open_nets or open_rules)
    if arguments.json:
        report = check_report(project, of_nets, of_rules)
        write_text(arguments.json, report.model_dump_json(by_alias=True))
    else:
        for finding in open_nets:
            print(f"{finding.severity:4}  {finding.sentence}")
        for broken in open_rules:
            print(rule_text(broken, with_reason=arguments.why))
        count = len(open_nets) + len(open_rules)
        print(f"{count} open, {len(of_nets) + len(of_rules) - count} accepted")
    return FINDINGS_OPEN if is_open else DONE


def _of_rules(
    project: Project, readings: Mapping[str, Reading], netlist: Netlist, fit: str | None
) -> list[RuleFinding]:
    """The rules are held against the job's target and plan; where no target is named, against the nets as asked for."""
    from loomfolio.retrofit import check_job, check_rules, job_gaps, plan_work

    target = project.job.target_fit
    if not target or fit not in {None, target}:
        return list(check_rules(project, netlist))
    job = job_gaps(project, readings)
    plan = plan_work(project, job) if project.operations else None
    return list(check_job(project, job, plan=plan))


COMMAND = Command("check", "what still needs a person", add_arguments, run)
