"""Actions about the work: how gaps are closed, what is done at the bench, what is proved."""

from __future__ import annotations

from loomfolio.desk.actions.action import Action, Desk, has_gaps, is_writable


def _has_plan(desk: Desk) -> bool:
    return desk.plan.planned is not None


def _can_plan(desk: Desk) -> bool:
    return has_gaps(desk) and is_writable(desk)


def _is_work_chosen(desk: Desk) -> bool:
    return desk.plan.work_line is not None and is_writable(desk)


def _is_way_chosen(desk: Desk) -> bool:
    line = desk.plan.work_line
    return line is not None and line.offer is not None and is_writable(desk)


def _is_bench_chosen(desk: Desk) -> bool:
    return desk.plan.bench_line is not None and is_writable(desk)


def _is_hold_chosen(desk: Desk) -> bool:
    line = desk.plan.bench_line
    return line is not None and line.is_hold and is_writable(desk)


def _is_test_chosen(desk: Desk) -> bool:
    return desk.plan.proof_line is not None and is_writable(desk)


def _is_any_chosen(desk: Desk) -> bool:
    plan = desk.plan
    return any((plan.work_line, plan.bench_line, plan.proof_line))


WORK_ACTIONS: tuple[Action, ...] = (
    Action(
        "take_best",
        "Work",
        "Take the best for all",
        ("Shift+B",),
        lambda d: d.plan.take_best(),
        "confirm",
        "For every gap that has no way chosen yet: the one that cuts least",
        _can_plan,
        "loomfolio.retrofit.take_best",
        "loomfolio plan PROJECT --take-best",
    ),
    Action(
        "choose_way",
        "Work",
        "Ways to close this gap…",
        ("Shift+W",),
        lambda d: d.plan.choose_way(),
        "open_list",
        "All ways with what speaks for and against each; Enter in the ledger does the same",
        _is_work_chosen,
        "loomfolio.project.edits.choose_operation",
    ),
    Action(
        "withdraw_way",
        "Work",
        "Withdraw this way",
        (),
        lambda d: d.plan.withdraw_way(),
        "cancel",
        "The gap has nothing chosen then",
        _is_way_chosen,
        "loomfolio.project.edits.withdraw_operations",
    ),
    Action(
        "compare_plans",
        "Work",
        "Two plans side by side…",
        (),
        lambda d: d.plan.compare(),
        "two_fits",
        "Least cutting against least time",
        _can_plan,
        "loomfolio.retrofit.compare_plans",
        "loomfolio plan PROJECT --compare",
    ),
    Action(
        "why",
        "Work",
        "Why…",
        ("Y",),
        lambda d: d.plan.why(),
        "manual",
        "Each number of the chosen line with its formula, its inputs and their sources",
        lambda d: _has_plan(d) and _is_any_chosen(d),
        "loomfolio.retrofit.plan_work",
        "loomfolio plan PROJECT --json OUT",
    ),
    Action(
        "let_stand",
        "Work",
        "Let this finding stand…",
        (),
        lambda d: d.plan.let_stand(),
        "confirm",
        "What a rule found, or the whole rule, for a written reason; Enter in the ledger does the same",
        lambda d: d.plan.rule_line is not None and is_writable(d),
        "loomfolio.project.edits.accept_rule",
        "loomfolio check PROJECT",
    ),
    Action(
        "circuit",
        "Work",
        "What is known here…",
        ("Shift+K",),
        lambda d: d.electric.circuit(),
        "piece_supply",
        "The circuit at the chosen pin: its class, what it draws, what it supplies",
        lambda d: d.window.has_pin_chosen() and is_writable(d),
        "loomfolio.project.edits.note_circuit",
        begins_group=True,
    ),
    Action(
        "zones",
        "Work",
        "Where it runs…",
        ("Shift+Z",),
        lambda d: d.electric.zones(),
        "scope",
        "Zones, the ways between them with their lengths, and which part lies where",
        is_writable,
        "loomfolio.project.edits.add_zone",
    ),
    Action(
        "states",
        "Work",
        "States of the vehicle…",
        (),
        lambda d: d.electric.states(),
        "piece_switch",
        "Parked, ignition on, charging: which supplies are on, which switches closed",
        is_writable,
        "loomfolio.project.edits.add_state",
    ),
    Action(
        "live",
        "Work",
        "What is live…",
        ("Shift+L",),
        lambda d: d.electric.live(),
        "piece_lamp",
        "Every pin in a state: live, dead or unknown, with the path that says so",
        lambda d: bool(d.workbench.project.states),
        "loomfolio.retrofit.live_table",
        "loomfolio live PROJECT",
    ),
    Action(
        "tick",
        "Work",
        "Tick",
        ("T",),
        lambda d: d.plan.tick(),
        "confirm",
        "Done, or not done after all; the next open one is chosen then",
        _is_bench_chosen,
        "loomfolio.project.edits.record_doing",
        begins_group=True,
    ),
    Action(
        "how_done",
        "Work",
        "How it was done…",
        (),
        lambda d: d.plan.note(),
        "note",
        "By whom, what came out otherwise than planned, a note; Enter in the ledger does the same",
        _is_bench_chosen,
        "loomfolio.project.edits.record_doing",
    ),
    Action(
        "sign",
        "Work",
        "Sign this hold point…",
        (),
        lambda d: d.plan.sign(),
        "lock",
        "Work goes on only when somebody stands for what was read",
        _is_hold_chosen,
        "loomfolio.project.edits.sign_hold",
    ),
    Action(
        "take_reading",
        "Work",
        "Take a reading down…",
        ("M",),
        lambda d: d.plan.take_reading(),
        "proof",
        "What the meter showed; it is judged at once, and the next test is chosen",
        _is_test_chosen,
        "loomfolio.project.edits.add_reading",
        "loomfolio proof PROJECT",
        begins_group=True,
    ),
)
