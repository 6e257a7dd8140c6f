"""Rules of the trade, held against the target and its plan; each is one small function that says why."""

from loomfolio.retrofit.rules.checking import check_job, check_rules
from loomfolio.retrofit.rules.records import Found, Rule, RuleFinding, Severity, rule
from loomfolio.retrofit.rules.registry import all_rules

__all__ = [
    "Found",
    "Rule",
    "RuleFinding",
    "Severity",
    "all_rules",
    "check_job",
    "check_rules",
    "rule",
]
