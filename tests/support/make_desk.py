"""A small job for tests of the desk: two drawn sheets, their parts, a session on disk, and answers.

Sheet 1 has a module on the left and a socket on the right, with a doubtful crossing; sheet 2 has a
fuse in the way. What a person would be asked is answered by `Answers`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageDraw

from loomfolio.basics import MmPoint
from loomfolio.desk.derived import Derived, derive_all
from loomfolio.nets import Memory
from loomfolio.project import (
    Connector,
    Face,
    Fit,
    Half,
    HalfKey,
    InnerPin,
    InnerWay,
    Job,
    LeadColour,
    LeadMark,
    NameMark,
    PinKey,
    Project,
    Session,
    Specimen,
)
from loomfolio.reading import Reading
from loomfolio.retrofit import take_best
from support.ascii_sheet import AsciiSheet, ascii_sheet
from support.make_netlist import make_body, make_link, make_part, make_project

FRONT = ascii_sheet(
    """
    a------+---------d
           |
    b------?---------e
           |
    c------?----f    g
           |
           +---------h
    """,
    sheet_id="sheet-1",
    title="Front",
)
REAR = ascii_sheet(
    """
    i------j  k------l

    m----------------n
    """,
    sheet_id="sheet-2",
    title="Rear",
)
SHEETS: tuple[AsciiSheet, ...] = (FRONT, REAR)

TCU = make_part(1, "TCU", "module")
X90 = make_part(2, "X90", "socket")
F5 = make_part(
    3,
    "F5",
    "fuse",
    ways=(InnerWay(relation="passes", pins=(InnerPin(pin="1"), InnerPin(pin="2"))),),
)
LAMP = make_part(4, "E3", "lamp")


def small_job(**fields: object) -> Project:
    """Return the document: TCU C1 to X90 on the front sheet, a fuse before the lamp on the rear."""
    marks = (
        make_body(1, FRONT, TCU, "a=1 b=2 c=3", connector="C1"),
        make_body(2, FRONT, X90, "d=1 e=2 h=3 g=4"),
        make_body(3, REAR, TCU, "i=7", connector="C2"),
        make_body(4, REAR, F5, "j=1"),
        make_body(5, REAR, F5, "k=2"),
        make_body(6, REAR, LAMP, "l=1"),
        make_body(10, REAR, LAMP, "n=2"),
        NameMark(id="mark-7", sheet="sheet-1", at=FRONT.at("b"), name="BRAKE"),
        LeadMark(
            id="mark-8",
            sheet="sheet-1",
            at=FRONT.at("e"),
            colour=LeadColour(text="RD/WH", base="RD", stripe="WH", code_set="IEC 60757"),
            area_mm2=1.5,
        ),
    )
    placed = REAR.sheet.model_copy(update={"table_at": MmPoint(220.0, 0.0)})
    project = make_project(SHEETS, (TCU, X90, F5, LAMP), marks)
    return project.model_copy(update={"sheets": (FRONT.sheet, placed), **fields})


def scoped_job() -> Project:
    """Return the same document with the socket as its scope."""
    return small_job(job=Job(title="Tow bar", scope=(HalfKey(part=X90.id),)))


def linked_job() -> Project:
    """Return the same document with a link that is only inferred, from the front to the rear."""
    return small_job(links=(make_link(9, (FRONT, "f"), (REAR, "m"), "inferred"),))


def fitted_job(**fields: object) -> Project:
    """Return the same document with two fits: the socket is there with TOW only, and this vehicle has none."""
    socket = X90.model_copy(update={"when": "TOW"})
    fits = (
        Fit(id="fit-20", name="With tow bar", options_with=("TOW",)),
        Fit(id="fit-21", name="As it came", options_without=("TOW",)),
    )
    job = Job(title="Tow bar", target_fit="With tow bar", vehicle_fit="As it came")
    parts = (TCU, socket, F5, LAMP)
    return small_job(**{"parts": parts, "fits": fits, "job": job, **fields})


MATING_FACE = Face(rows=(("1", "2", "3", "4"),), side="mating side")
"""Of the module's plug: of cavity 4 the sheets say nothing, so the two sides can be told apart."""


def surveyed_job(**fields: object) -> Project:
    """Return the fitted document with this vehicle to look at, and the face of the module's plug."""
    half = Half(face=MATING_FACE)
    tcu = TCU.model_copy(update={"connectors": (Connector(name="C1", halves=(half,)),)})
    job = fitted_job()
    parts = tuple(tcu if part.id == TCU.id else part for part in job.parts)
    van = Specimen(id="specimen-30", name="The van in bay 2", kind="this vehicle")
    return job.model_copy(update={"parts": parts, "specimens": (van,), "serial": 60, **fields})


def readings() -> dict[str, Reading]:
    """Return the readings of both sheets, by sheet id."""
    return {drawn.sheet.id: drawn.reading for drawn in SHEETS}


def pin(part: str, number: str, connector: str = "") -> PinKey:
    """Return a pin by the name of its part."""
    parts = {"TCU": TCU, "X90": X90, "F5": F5, "E3": LAMP}
    return PinKey(part=parts[part].id, connector=connector, pin=number)


def derived(project: Project | None = None) -> Derived:
    """Return all that the desk shows of a document."""
    return derive_all(0, project or small_job(), readings(), fit=None, memory=Memory())


def planned_job() -> Project:
    """Return the fitted document with the best way chosen for every gap."""
    state = derived(fitted_job())
    return take_best(state.project, state.job_gaps)


def draw_page(drawn: AsciiSheet, path: Path) -> Path:
    """Draw a sheet as a picture file: its lines in black, a dot where lines are joined."""
    size = (drawn.sheet.width_px, drawn.sheet.height_px)
    page = Image.new("L", size, 255)
    pen = ImageDraw.Draw(page)
    for conductor in drawn.reading.conductors:
        for line in conductor.lines:
            pen.line([tuple(point) for point in line], fill=0, width=4)
    for dot in drawn.reading.junctions:
        pen.ellipse([dot.x - 9, dot.y - 9, dot.x + 9, dot.y + 9], fill=0)
    path.parent.mkdir(parents=True, exist_ok=True)
    page.save(path, dpi=(drawn.sheet.x_dpi, drawn.sheet.y_dpi))
    return path


def open_session(folder: Path, project: Project | None = None) -> Session:
    """Make a project folder with the pages of both sheets, and open it."""
    session = Session.create(folder, project or small_job())
    for drawn in SHEETS:
        draw_page(drawn, folder / drawn.sheet.file)
    return session


class Answers:
    """Answers the desk's questions as told beforehand, and remembers what was asked."""

    def __init__(self, **answers: object) -> None:
        self.answers = answers
        self.asked: list[str] = []

    def _answer(self, name: str, what: str) -> object:
        self.asked.append(what)
        answer = self.answers.get(name)
        return answer.pop(0) if isinstance(answer, list) else answer

    def folder(self, title: str, start: Path) -> Path | None:
        del start
        return self._answer("folder", title)

    def sheet_files(self, start: Path) -> tuple[Path, ...]:
        del start
        return self._answer("sheet_files", "sheets") or ()

    def photo_files(self, start: Path) -> tuple[Path, ...]:
        del start
        return self._answer("photo_files", "photos") or ()

    def list_file(self, start: Path) -> Path | None:
        del start
        return self._answer("list_file", "list")

    def file_to_write(self, title: str, start: Path, kinds: str) -> Path | None:
        del start, kinds
        return self._answer("file_to_write", title)

    def text(self, title: str, question: str, start: str = "") -> str | None:
        del title, start
        return self._answer("text", question)

    def password(self, name: str) -> str | None:
        return self._answer("password", name)

    def one_of(self, title: str, question: str, choices: Sequence[str]) -> str | None:
        del title, choices
        return self._answer("one_of", question)

    def is_sure(self, title: str, question: str, verb: str) -> bool:
        del title, verb
        return bool(self._answer("is_sure", question))
