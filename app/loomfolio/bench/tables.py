"""The rows of the connector map, the splice sheet and the cut list, with columns that stay.

CSV, XLSX and JSON carry the same columns in the same order, made from the fields of `MapLine`,
`SpliceLine` and `CutLine`; their names are a contract. In CSV and XLSX a list stands as one text with
`; ` between, yes and no for a boolean, and nothing for what is not known.
"""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel, ConfigDict, Field

from loomfolio.bench.cut_list import CutPiece
from loomfolio.bench.joints import Joint, JointEnd
from loomfolio.bench.leads import BenchLead
from loomfolio.project import LeadColour, PinKey, Project, pin_text

BETWEEN = "; "
Cell = str | int | float


class Line(BaseModel):
    """One line of a table: its fields, in their order, are the columns."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    def cells(self) -> tuple[Cell, ...]:
        """Return the values for CSV and XLSX, in the order of the columns."""
        return tuple(_cell(getattr(self, name)) for name in type(self).model_fields)


class MapLine(Line):
    """One lead of the connector-to-connector map."""

    lead: int = Field(description="number of the lead in this version of the map, from 1")
    net: str = Field(description="name of the net; empty where it has none, or several")
    a: str = Field(description="first end as a person writes it: part connector.half:pin")
    a_part: str
    a_connector: str
    a_half: str
    a_pin: str
    b: str = Field(description="other end; empty where the lead goes nowhere")
    b_part: str
    b_connector: str
    b_half: str
    b_pin: str
    colour: str = Field(description="in the maker's own order and letters")
    colour_base: str
    colour_stripe: str
    area_mm2: float | None
    length_m: float | None
    branch: bool = Field(description="the lead meets others at a drawn join without a name")
    released: bool = Field(description="all that the lead rests on is confirmed")
    open: tuple[str, ...] = Field(description="what is still to be confirmed, in words")
    known_by: str = Field(description="printed, stated, inferred, seen, measured, list, standard")
    source: str = Field(description="by what it is known")
    sheets: tuple[str, ...] = Field(description="titles of the sheets that show it")


class SpliceLine(Line):
    """One lead that comes to a joint."""

    joint: str
    joint_kind: str = Field(description="splice, or drawn branch")
    net: str
    leads: tuple[int, ...] = Field(description="numbers of the map's leads that run over it")
    pin: str = Field(description="its far end; empty where that is not known")
    pin_part: str
    pin_connector: str
    pin_half: str
    pin_pin: str
    colour: str
    colour_base: str
    colour_stripe: str
    area_mm2: float | None
    seen: bool = Field(description="seen or measured in the vehicle of the job")
    released: bool
    joint_released: bool = Field(description="every lead of the joint is released")
    sheets: tuple[str, ...]


class CutLine(Line):
    """One piece of the cut list."""

    leads: tuple[int, ...] = Field(description="numbers of the map's leads that run over it")
    a: str
    b: str = Field(description="a pin, or the name of the joint that it goes to")
    net: str
    colour: str
    colour_base: str
    colour_stripe: str
    area_mm2: float | None
    length_m: float | None


MAP_COLUMNS = tuple(MapLine.model_fields)
SPLICE_COLUMNS = tuple(SpliceLine.model_fields)
CUT_COLUMNS = tuple(CutLine.model_fields)


def map_table(project: Project, leads: Sequence[BenchLead]) -> tuple[MapLine, ...]:
    """Return one line per lead, in the order given."""
    words = Words(project)
    return tuple(_map_line(words, lead) for lead in leads)


def splice_table(project: Project, joints: Sequence[Joint]) -> tuple[SpliceLine, ...]:
    """Return one line per lead that comes to a joint, joint after joint."""
    words = Words(project)
    return tuple(_splice_line(words, joint, end) for joint in joints for end in joint.ends)


def cut_table(project: Project, pieces: Sequence[CutPiece]) -> tuple[CutLine, ...]:
    """Return one line per piece of the cut list, in the order given."""
    return tuple(
        CutLine.model_validate(
            {
                "leads": piece.leads,
                "a": pin_text(project, piece.a),
                "b": pin_text(project, piece.b) if piece.b else piece.joint,
                "net": piece.net,
                **_colour(piece.colour),
                "area_mm2": piece.area_mm2,
                "length_m": piece.length_m,
            }
        )
        for piece in pieces
    )


class Words:
    """The names of parts, sheets and specimens of one document, looked up once."""

    def __init__(self, project: Project) -> None:
        self._project = project
        self._parts = {part.id: part.name for part in project.parts}
        self._sheets = {sheet.id: sheet.title for sheet in project.sheets}
        self._sources = self._sheets | {one.id: one.name for one in project.specimens}

    def pin(self, column: str, pin: PinKey | None) -> dict[str, str]:
        """Return the five columns of a pin; empty texts for one that is not known."""
        return {
            column: pin_text(self._project, pin) if pin else "",
            f"{column}_part": self._parts[pin.part] if pin else "",
            f"{column}_connector": pin.connector if pin else "",
            f"{column}_half": pin.half if pin else "",
            f"{column}_pin": pin.pin if pin else "",
        }

    def sheets(self, sheets: Sequence[str]) -> tuple[str, ...]:
        """Return the titles of sheets."""
        return tuple(self._sheets[sheet] for sheet in sheets)

    def source(self, source: str) -> str:
        """Return by what something is known, with titles and names in place of ids."""
        return ", ".join(self._sources.get(word, word) for word in source.split(", "))


def _map_line(words: Words, lead: BenchLead) -> MapLine:
    row = lead.row
    return MapLine.model_validate(
        {
            "lead": lead.number,
            "net": row.net_name,
            **words.pin("a", row.a),
            **words.pin("b", row.b),
            **_colour(row.colour),
            "area_mm2": row.area_mm2,
            "length_m": lead.length_m,
            "branch": row.is_branch,
            "released": row.is_released,
            "open": lead.open_sentences,
            "known_by": row.known.how,
            "source": words.source(row.known.source),
            "sheets": words.sheets(row.sheets),
        }
    )


def _splice_line(words: Words, joint: Joint, end: JointEnd) -> SpliceLine:
    return SpliceLine.model_validate(
        {
            "joint": joint.name,
            "joint_kind": joint.kind,
            "net": joint.net,
            "leads": end.leads,
            **words.pin("pin", end.pin),
            **_colour(end.colour),
            "area_mm2": end.area_mm2,
            "seen": end.is_seen,
            "released": end.is_released,
            "joint_released": joint.is_released,
            "sheets": words.sheets(joint.sheets),
        }
    )


def _colour(colour: LeadColour | None) -> dict[str, str]:
    return {
        "colour": colour.text if colour else "",
        "colour_base": colour.base if colour else "",
        "colour_stripe": colour.stripe if colour else "",
    }


def _cell(value: object) -> Cell:
    """Return a value as CSV and XLSX show it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return BETWEEN.join(str(one) for one in value)
    return value if isinstance(value, int | float) else str(value)
