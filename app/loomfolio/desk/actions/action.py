"""What an action is, what it can call, and the conditions under which one can be done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

from loomfolio.desk.doubts import Doubts
from loomfolio.desk.electric_desk import ElectricDesk
from loomfolio.desk.files import Files
from loomfolio.desk.gap_desk import GapDesk
from loomfolio.desk.job_desk import JobDesk
from loomfolio.desk.looking import Looking
from loomfolio.desk.own_documents import OwnSheets
from loomfolio.desk.plan_desk import PlanDesk
from loomfolio.desk.readers import Readers
from loomfolio.desk.steps import Steps
from loomfolio.desk.vehicle_desk import VehicleDesk
from loomfolio.desk.ways import Ways
from loomfolio.desk.workbench import Workbench

MenuName = Literal["File", "Edit", "View", "Go", "Job", "Vehicle", "Gaps", "Work", "Help"]
MENUS: tuple[MenuName, ...] = (
    *("File", "Edit", "View", "Go", "Job", "Vehicle", "Gaps", "Work", "Help"),
)


class WindowActions(Protocol):
    """What only the window itself can do."""

    def find(self) -> None:
        """Put the keyboard into the search field."""

    def to_table(self) -> None:
        """Give the keyboard back to the light table."""

    def copy_rows(self) -> None:
        """Copy the chosen rows of the ledger."""

    def follow_chosen(self) -> None:
        """Follow the pin that is chosen in the ledger or lit on the table."""

    def has_pin_chosen(self) -> bool:
        """Is there a pin that could be followed?"""

    def draw_region(self) -> None:
        """Begin a region that is there only with an option."""

    def edit_chosen(self) -> None:
        """Open the dialog of what is chosen in the ledger."""

    def draw_line(self) -> None:
        """Begin a missing line."""

    def draw_link(self) -> None:
        """Begin a link."""

    def manual(self) -> None:
        """Show the manual page."""

    def open_log(self) -> None:
        """Show the log file."""

    def quit(self) -> None:
        """Close the window."""


@dataclass(frozen=True)
class Desk:
    """Everything that an action can call."""

    workbench: Workbench
    steps: Steps
    files: Files
    ways: Ways
    doubts: Doubts
    looking: Looking
    readers: Readers
    job: JobDesk
    gaps: GapDesk
    vehicle: VehicleDesk
    own: OwnSheets
    plan: PlanDesk
    electric: ElectricDesk
    window: WindowActions


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that the person can do."""

    id: str
    menu: MenuName
    title: str
    keys: tuple[str, ...]
    function: Callable[[Desk], object]
    icon: str = ""
    tip: str = ""
    condition: Callable[[Desk], bool] | None = None
    library: str = ""
    shell: str = ""
    begins_group: bool = False

    def is_enabled(self, desk: Desk) -> bool:
        """Can it be done now?"""
        return self.condition is None or self.condition(desk)


def is_writable(desk: Desk) -> bool:
    """Can the project be edited?"""
    return not desk.workbench.session.is_read_only


def is_following(desk: Desk) -> bool:
    """Is a pin followed?"""
    return desk.ways.following is not None


def is_asked(desk: Desk) -> bool:
    """Does the walk stand at a doubt?"""
    return desk.doubts.asked is not None


def is_asked_of_lines(desk: Desk) -> bool:
    """Is joined or apart an answer to the doubt?"""
    asked = desk.doubts.asked
    return asked is not None and asked.can_join


def has_sheets(desk: Desk) -> bool:
    """Does a sheet lie on the table?"""
    return bool(desk.workbench.project.sheets)


def has_rows(desk: Desk) -> bool:
    """Is there a lead?"""
    return bool(desk.workbench.state.rows)


def has_doubts(desk: Desk) -> bool:
    """Does anything stand open?"""
    return bool(desk.workbench.state.open_findings)


def has_gaps(desk: Desk) -> bool:
    """Can anything be said about gaps?"""
    return desk.workbench.state.job_gaps is not None


def is_gap_open(desk: Desk) -> bool:
    """Is an open gap chosen?"""
    chosen = desk.gaps.chosen
    return chosen is not None and chosen.is_open and is_writable(desk)


def is_gap_closed(desk: Desk) -> bool:
    """Is a closed gap chosen?"""
    chosen = desk.gaps.chosen
    return chosen is not None and not chosen.is_open and is_writable(desk)


def has_specimens(desk: Desk) -> bool:
    """Is there something that can be looked at, in a project that can be edited?"""
    return bool(desk.workbench.project.specimens) and is_writable(desk)


def has_donors(desk: Desk) -> bool:
    """Is there a donor loom, and can anything be said about gaps?"""
    return has_gaps(desk) and any(
        one.kind == "donor loom" for one in desk.workbench.project.specimens
    )


def has_doubtful_connectors(desk: Desk) -> bool:
    """Is there a connector of which nobody has said yet which one of this vehicle it is?"""
    found = desk.workbench.state.job_gaps
    return found is not None and bool(found.matching.questions) and is_writable(desk)
