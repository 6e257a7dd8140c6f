"""The gaps of a job: from the document and its readings to what stands open.

How the data flows::

    project, readings ─ target fit ─> netlist, map ─> target Equipment
                      ─ vehicle fit ─> netlist, map ─> Equipment ─ matching ─> in the target's words
                                                       ─ survey of this vehicle ─> VehicleState
    target, vehicle, scope ─> gaps ─ without the survey again ─> what the survey closed
                                   ─ closures of the document ─> what work or a reason closed
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from loomfolio.basics import NameNotFoundError, UsageError
from loomfolio.nets import (
    MapRow,
    Memory,
    Netlist,
    SheetMemory,
    connector_map,
    derive,
    leaves_open,
)
from loomfolio.project import Fit, Project, Specimen
from loomfolio.reading import Reading
from loomfolio.retrofit.drawn_leads import KeptLeads, MadeLeads
from loomfolio.retrofit.evidence import Sides
from loomfolio.retrofit.gaps import find_gaps
from loomfolio.retrofit.matching import match_halves
from loomfolio.retrofit.records import Closing, Gap, Matching, Node
from loomfolio.retrofit.renaming import Renaming
from loomfolio.retrofit.scope import job_scope
from loomfolio.retrofit.seen import Seen, VehicleState, vehicle_as_it_is
from loomfolio.retrofit.state import Equipment, equipment_of


class FitMemory:
    """What earlier calls worked out of one fit, with what it leaves open kept, and left out.

    Fits of one document share their sheets and leads.
    """

    def __init__(self, sheets: SheetMemory | None = None, leads: MadeLeads | None = None) -> None:
        own_sheets, own_leads = sheets or SheetMemory(), leads or MadeLeads()
        self.kept, self.certain = Memory(sheets=own_sheets), Memory(sheets=own_sheets)
        self.leads, self.certain_leads = KeptLeads(own_leads), KeptLeads(own_leads)


class GapMemory:
    """What earlier calls worked out. Keep one for an open project, and an edit costs its own sheet only."""

    def __init__(self) -> None:
        sheets, leads = SheetMemory(), MadeLeads()
        self.target = FitMemory(sheets, leads)
        self.vehicle = FitMemory(sheets, leads)


@dataclass(frozen=True, eq=False)
class FitView:
    """One fit of a document: its nets, its map, and what it says is there."""

    netlist: Netlist
    rows: tuple[MapRow, ...]
    equipment: Equipment


@dataclass(frozen=True, eq=False)
class JobGaps:
    """The gaps of a job, open ones in scope first, and what they were found from.

    `scope` holds the pins, splices and ground points that the job is about; None takes all of them in.
    `documented` is this vehicle as its documents say, in the target's words; `matching.questions` are
    to be answered before the gaps at these connectors are worth anything.
    """

    gaps: tuple[Gap, ...]
    matching: Matching
    target: FitView
    vehicle: FitView
    documented: Equipment
    state: VehicleState
    scope: frozenset[Node] | None

    @property
    def contradictions(self) -> tuple[str, ...]:
        """Where the survey of this vehicle contradicts its documents."""
        return self.state.contradictions

    @property
    def open_in_scope(self) -> tuple[Gap, ...]:
        """What stands open of the job."""
        return tuple(gap for gap in self.gaps if gap.in_scope and gap.is_open)


def job_gaps(
    project: Project,
    readings: Mapping[str, Reading],
    *,
    memory: GapMemory | None = None,
    vehicle_project: Project | None = None,
    vehicle_readings: Mapping[str, Reading] | None = None,
) -> JobGaps:
    """Return the gaps between this vehicle and the target fit of a job.

    Parameters
    ----------
    memory
        What earlier calls worked out.
    vehicle_project
        This vehicle's own documents, where they are another project: its job names its fit.

    Raises
    ------
    UsageError
        The job does not name its target fit, or nothing tells the vehicle from it.
    NameNotFoundError
        A fit is named that the document does not hold.
    """
    kept = memory or GapMemory()
    target_fit = _named_fit(project, project.job.target_fit, "target")
    own = project if vehicle_project is None else vehicle_project
    is_one_document = vehicle_project is None
    vehicle_fit = (
        _named_fit(own, own.job.vehicle_fit, "vehicle")
        if is_one_document or own.job.vehicle_fit
        else None
    )
    target = fit_view(project, readings, target_fit, kept.target)
    own_readings = readings if vehicle_readings is None else vehicle_readings
    vehicle = fit_view(own, own_readings, vehicle_fit, kept.vehicle)
    return compare_sides(project, target, vehicle, is_one_document=is_one_document)


def fit_view(
    project: Project,
    readings: Mapping[str, Reading],
    fit: Fit | None,
    memory: FitMemory | None = None,
) -> FitView:
    """Return what a document says in one fit, with what the fit leaves open marked as such."""
    own = memory or FitMemory()
    netlist = derive(project, readings, fit=fit, memory=own.kept)
    rows = connector_map(netlist)
    certain = None
    if leaves_open(project, fit):
        without = derive(project, readings, fit=fit, memory=own.certain, undetermined="left out")
        certain = equipment_of(without, kept=own.certain_leads)
    return FitView(netlist, rows, equipment_of(netlist, rows, certain=certain, kept=own.leads))


def _named_fit(project: Project, name: str, side: str) -> Fit:
    if not name:
        raise UsageError(f"The job does not say which fit is the {side}; name it in the job.")
    fits = {fit.name: fit for fit in project.fits}
    if name not in fits:
        raise NameNotFoundError("fit", name, fits)
    return fits[name]


def compare_sides(
    project: Project, target: FitView, vehicle: FitView, *, is_one_document: bool = True
) -> JobGaps:
    """Return the gaps between two sides that are derived already; `project` is that of the target."""
    wanted = _with_all_names(project, target.equipment)
    matching = match_halves(
        wanted, vehicle.equipment, project.matches, is_one_document=is_one_document
    )
    renaming = Renaming(matching, wanted, is_one_document=is_one_document)
    documented = renaming.equipment(vehicle.equipment)
    entries = [renaming.entry(entry) for entry in project.survey]
    seen = Seen.of(entries if is_one_document else project.survey, this_vehicle(project))
    state = vehicle_as_it_is(documented, seen, target=wanted)
    scope = job_scope(wanted, state.equipment, project.job.scope)
    gaps = list(find_gaps(wanted, state, scope))
    if seen:
        unseen = vehicle_as_it_is(documented, Seen(), target=wanted)
        gaps += _closed_by_survey(
            gaps, find_gaps(wanted, unseen, scope, around=state.touched), Sides(wanted, state)
        )
    if not is_one_document:
        gaps = [_in_words_of(project, gap) for gap in gaps]
    return JobGaps(
        gaps=_in_order(_with_closures(gaps, project)),
        matching=matching,
        target=target,
        vehicle=vehicle,
        documented=documented,
        state=state,
        scope=scope,
    )


def this_vehicle(project: Project) -> Specimen | None:
    """Return the specimen that the job is about; None where none is noted yet."""
    return next((one for one in project.specimens if one.kind == "this vehicle"), None)


def _in_words_of(project: Project, gap: Gap) -> Gap:
    """A gap that points at nothing outside of the target's documents; its sentence and evidence still name it."""
    parts = {part.id for part in project.parts}
    sheets = {sheet.id for sheet in project.sheets}
    return replace(
        gap,
        pins=tuple(pin for pin in gap.pins if pin.part in parts),
        part=gap.part if gap.part in parts else None,
        place=gap.place if gap.place is not None and gap.place.sheet in sheets else None,
    )


def _with_all_names(project: Project, target: Equipment) -> Equipment:
    """The target with the names of parts that its fit does not have: the survey may speak of them."""
    return replace(
        target, part_names={**{p.id: p.name for p in project.parts}, **target.part_names}
    )


def _closed_by_survey(found: Sequence[Gap], documented: Iterable[Gap], sides: Sides) -> list[Gap]:
    """Gaps of the documents that the survey has settled, each with the entries that did."""
    keys = {gap.key for gap in found}
    closed: list[Gap] = []
    for gap in documented:
        if gap.key not in keys:
            seen = sides.seen_of(gap.pins, gap.part)
            reason = "; ".join(seen) or "What the survey found beside it settles it"
            closed.append(
                replace(gap, closed_by=Closing("survey", reason), sureness="sure", decides=())
            )
    return closed


def _with_closures(gaps: Iterable[Gap], project: Project) -> list[Gap]:
    closures = {closure.gap: closure for closure in project.closures}
    return [
        replace(gap, closed_by=Closing(closure.by, closure.reason, closure.id))
        if (closure := closures.get(gap.key)) is not None
        else gap
        for gap in gaps
    ]


def _in_order(gaps: Iterable[Gap]) -> tuple[Gap, ...]:
    """Open ones in scope first, then what else is in scope, then the rest; each as they were."""
    return tuple(sorted(gaps, key=lambda gap: (not gap.in_scope, not gap.is_open)))
