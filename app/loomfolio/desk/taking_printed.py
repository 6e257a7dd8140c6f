"""Taking over what is printed, many things in one step: the wire colours of all conductors; no Qt in here."""

from __future__ import annotations

from loomfolio.basics import EditError
from loomfolio.desk.derived import Derived
from loomfolio.desk.gestures import Step
from loomfolio.project import Known, LeadColour, LeadMark, Project, edits
from loomfolio.reading import PrintedColour, colour_codes, fitting_set, printed_colours

PRINTED = Known(how="printed")


def take_printed_colours(state: Derived) -> Step:
    """Return the edit that notes every wire colour that is printed on or beside one conductor.

    A conductor that carries a note already is left alone. The set of letters is told where one set alone
    fits all that was read.

    Raises
    ------
    EditError
        No colour was read that is not noted already.
    """
    fresh = [(sheet, one) for sheet in state.words for one in _fresh(state, sheet)]
    if not fresh:
        raise EditError("No printed colour was found that is not noted already.")
    code_set = fitting_set(one.letters for _, one in fresh)
    project = state.project
    for sheet, one in fresh:
        project = _noted(project, sheet, one, code_set)
    said = f", letters of {code_set}" if code_set else ""
    return Step(f"Take {len(fresh)} printed colours{said}", project)


def _fresh(state: Derived, sheet: str) -> list[PrintedColour]:
    drawn = [one for one in state.netlist.conductors_on(sheet) if one.source == "read"]
    noted = {
        state.netlist.snap(sheet, mark.at).conductor
        for mark in state.project.marks
        if isinstance(mark, LeadMark) and mark.sheet == sheet
    }
    found = printed_colours(state.words[sheet], [one.lines for one in drawn], colour_codes())
    return [one for one in found if state.netlist.snap(sheet, one.at).conductor not in noted]


def _noted(project: Project, sheet: str, one: PrintedColour, code_set: str) -> Project:
    colour = LeadColour(text=one.letters, code_set=code_set)
    return edits.put_lead_note(
        project, sheet=sheet, at=one.at, colour=colour, area_mm2=one.area_mm2, known=PRINTED
    ).project
