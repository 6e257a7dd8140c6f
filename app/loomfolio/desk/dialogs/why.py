"""Why each number is what it is: the figure, its formula, what went into it, and where that stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QTreeWidget, QTreeWidgetItem, QWidget

from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.ledgers.plan_lines import BenchLine, ProofLine, Subject, WorkLine
from loomfolio.desk.planning import Planned
from loomfolio.electrics import Bound, Figure
from loomfolio.retrofit import PlannedJoint, PlannedLead, PlannedPart, PlannedStep


@dataclass(frozen=True, slots=True)
class Reason:
    """A number with its reasons, or only words; `is_met` is False where a limit is broken."""

    head: str
    parts: tuple[Reason, ...] = ()
    is_met: bool = True


def reason_of(figure: Figure) -> Reason:
    """Return a figure with its formula, inputs and sources."""
    words = str(figure)
    if figure.formula:
        words += f"  =  {figure.formula}"
    if figure.source is not None:
        words += f"   [{figure.source}, {figure.source.status}]"
    return Reason(words, tuple(reason_of(one) for one in figure.inputs))


def reason_of_bound(bound: Bound) -> Reason:
    """Return a figure held against its limit, with the reasons of both."""
    mark = "" if bound.is_met else "NOT MET: "
    doubt = "" if bound.is_confirmed else "   (rests on a value that is not confirmed)"
    parts = (reason_of(bound.number), reason_of(bound.limit))
    return Reason(f"{mark}{bound}{doubt}", parts, bound.is_met)


def reasons_of(line: WorkLine | BenchLine | ProofLine, planned: Planned) -> tuple[Reason, ...]:
    """Return the reasons of every number of a line of the plan, none where it has no number."""
    match line:
        case WorkLine():
            return (
                *_of_offer(line),
                *(_of_lead(lead) for lead in line.leads),
                *(_of_joint(joint) for joint in line.joints),
                *(_of_part(part) for part in line.parts),
                *_of_findings(planned, (line.gap.key, *(lead.key for lead in line.leads))),
            )
        case ProofLine():
            limits = tuple(reason_of(figure) for figure in line.test.limit.figures)
            return (Reason(line.test.title, (Reason(f"Passes at {line.limit}", limits),)),)
        case BenchLine():
            return _of_subject(line.subject, planned)


def _of_subject(subject: Subject, planned: Planned) -> tuple[Reason, ...]:
    match subject:
        case PlannedLead():
            return (_of_lead(subject),)
        case PlannedJoint():
            return (_of_joint(subject),)
        case PlannedPart():
            return (_of_part(subject),)
        case PlannedStep():
            titles = {one.key: one.title for one in planned.plan.steps}
            before = tuple(Reason(titles[key]) for key in subject.after if key in titles)
            detail = tuple(Reason(words) for words in subject.detail)
            return (Reason(subject.title, detail), Reason("Comes after", before))


def _of_offer(line: WorkLine) -> tuple[Reason, ...]:
    offer = line.offer
    if offer is None:
        return ()
    words = (*offer.reasons, *(f"Against it: {one}" for one in offer.against))
    numbers = (reason_of(offer.length_m),) if offer.length_m is not None else ()
    return (Reason(offer.title, (*(Reason(one) for one in words), *numbers)),)


def _of_lead(lead: PlannedLead) -> Reason:
    ends = " to ".join(end.text for end in lead.ends)
    figures = [one for one in (lead.length_m, lead.load_a) if one is not None]
    figures += [end.strip_mm for end in lead.ends if end.strip_mm is not None]
    length = () if lead.length_m is not None else (Reason(f"Length: {lead.length_reason}"),)
    return Reason(
        f"Lead {ends}: {lead.size}",
        (
            *(reason_of(figure) for figure in figures),
            *length,
            *((Reason(lead.fuse_text),) if lead.fuse_text else ()),
            *(reason_of_bound(bound) for bound in lead.bounds),
            *(Reason(doubt) for doubt in lead.doubts),
        ),
        all(bound.is_met for bound in lead.bounds),
    )


def _of_joint(joint: PlannedJoint) -> Reason:
    figures = (joint.distance_mm, joint.strip_mm, joint.pull_force_n, joint.stagger_mm)
    return Reason(joint.sentence, tuple(reason_of(one) for one in figures if one is not None))


def _of_part(part: PlannedPart) -> Reason:
    figures = (reason_of(part.figure),) if part.figure is not None else ()
    notes = tuple(Reason(note) for note in part.notes)
    bounds = tuple(reason_of_bound(bound) for bound in part.bounds)
    return Reason(
        f"{part.what} {part.rating}".strip(),
        (*figures, *bounds, *notes),
        all(bound.is_met for bound in part.bounds),
    )


def _of_findings(planned: Planned, subjects: Iterable[str]) -> tuple[Reason, ...]:
    own = set(subjects)
    found = [one for one in planned.plan.findings if one.subject in own]
    return tuple(
        Reason(
            f"{one.title}: {one.sentence}",
            (reason_of_bound(one.bound),) if one.bound is not None else (),
            one.severity != "stop",
        )
        for one in found
    )


class WhyDialog(FormDialog):
    """A tree of reasons: a number, and below it what it rests on."""

    def __init__(self, reasons: tuple[Reason, ...], parent: QWidget | None = None) -> None:
        super().__init__(
            "Why",
            "Each number with its formula, what went into it, and where that stands. A value from memory is said to be "
            "one: it is not confirmed.",
            "Close",
            parent,
        )
        self.leave.hide()
        self.tree = QTreeWidget(self)
        self.tree.setHeaderHidden(True)
        self.tree.setWordWrap(True)
        self.tree.header().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        for reason in reasons or (Reason("This line has no number of its own."),):
            self.tree.addTopLevelItem(_item(reason))
        self.tree.expandToDepth(1)
        self.body.addWidget(self.tree, 1)
        self.resize(820, 620)


def _item(reason: Reason) -> QTreeWidgetItem:
    item = QTreeWidgetItem([reason.head])
    item.setToolTip(0, reason.head)
    item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
    if not reason.is_met:
        font = item.font(0)
        font.setBold(True)
        item.setFont(0, font)
    for part in reason.parts:
        item.addChild(_item(part))
    return item
