"""Rules of the trade, held against the target and its plan; each is one small function that says why."""

from loomfolio.retrofit.rules.checking import check_job, check_rules
from loomfolio.retrofit.rules.records import Found, Rule, RuleFinding, Severity, about, rule
from loomfolio.retrofit.rules.registry import all_rules
from loomfolio.retrofit.rules.reporting import CheckReport, check_report, rule_text

__all__ = [
    "CheckReport",
    "Found",
    "Rule",
    "RuleFinding",
    "Severity",
    "about",
    "all_rules",
    "check_job",
    "check_report",
    "check_rules",
    "rule",
    "rule_text",
]
