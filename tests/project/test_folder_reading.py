"""Reading a folder: which lines count, and what is refused. Nothing is written by it."""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from loomfolio.basics import DocumentError, LimitExceededError, MmPoint
from loomfolio.project import Project, ProjectFolder, compare, edits
from loomfolio.project import folder_reading as module
from loomfolio.project.document_file import document_bytes
from loomfolio.project.folder_reading import Stamp, read_folder
from loomfolio.project.journal import line_bytes
from support.make_project import make_two_sheets

MADE = make_two_sheets()


def renamed(project: Project, name: str) -> Project:
    return edits.rename_part(project, MADE.relay, name)


DOCUMENTS = [MADE.project, *(renamed(MADE.project, f"K{number}") for number in (7, 8, 9))]


def line(edit: int, before: Project, after: Project) -> bytes:
    return line_bytes(edit, f"Edit {edit}", compare(before, after))


LINES = [line(n, DOCUMENTS[n - 1], DOCUMENTS[n]) for n in (1, 2, 3)]


def odd_line(edit: int, **parts: object) -> bytes:
    """A whole line with a right checksum whose change of the parts no edit would make."""
    changes = {"lists": {"parts": parts}}
    body = {"schema": "loomfolio.edit/1", "edit": edit, "title": "Odd", "changes": changes}
    rest = json.dumps(body)[1:].encode()
    return b'{"check":"%08x",%b\n' % (zlib.crc32(rest), rest)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder whose document is the first one, and whose journal is still to be written."""
    (tmp_path / "project.json").write_bytes(document_bytes(MADE.project, saved_edit=0))
    return tmp_path


def test_the_lines_behind_the_document_are_applied(folder: Path):
    (folder / "journal.jsonl").write_bytes(b"".join(LINES))
    contents = read_folder(folder)
    assert contents.project == DOCUMENTS[3]
    assert (contents.edit, contents.unusable) == (3, b"")
    assert contents.journal_length == sum(map(len, LINES))
    assert contents.is_sound
    assert not contents.is_saved


def test_lines_that_the_document_includes_are_passed_over(folder: Path):
    """The process died between the swap of project.json and the emptying of the journal."""
    (folder / "project.json").write_bytes(document_bytes(DOCUMENTS[2], saved_edit=2))
    (folder / "journal.jsonl").write_bytes(b"".join(LINES))
    assert read_folder(folder).project == DOCUMENTS[3]
    (folder / "journal.jsonl").write_bytes(b"".join(LINES[:2]))
    contents = read_folder(folder)
    assert contents.project == DOCUMENTS[2]
    assert contents.is_saved
    assert contents.journal_length == len(LINES[0]) + len(LINES[1])


@pytest.mark.parametrize(
    ("lines", "used"),
    [
        pytest.param([LINES[0], LINES[2]], 1, id="one is missing"),
        pytest.param([LINES[0], LINES[0], LINES[1]], 1, id="one is doubled"),
        pytest.param([LINES[1]], 0, id="the first is missing"),
        pytest.param([LINES[0], odd_line(2, removed=["part-99"]), LINES[2]], 1, id="no fit"),
        pytest.param(
            [LINES[0], odd_line(2, changed=[{"id": "part-4", "name": ""}]), LINES[2]],
            1,
            id="one leads to what cannot be",
        ),
        pytest.param(
            [odd_line(1, removed=["part-4"]), LINES[1]],
            0,
            id="the first leaves records that speak of nothing",
        ),
    ],
)
def test_lines_count_up_to_the_first_that_does_not_follow(
    folder: Path, lines: list[bytes], used: int
):
    (folder / "journal.jsonl").write_bytes(b"".join(lines))
    contents = read_folder(folder)
    assert contents.project == DOCUMENTS[used]
    assert contents.edit == used
    assert contents.journal_length == sum(map(len, lines[:used]))
    assert contents.unusable == b"".join(lines[used:])


def test_the_longest_sound_run_of_many_lines_is_found(folder: Path):
    bad = odd_line(30, changed=[{"id": "part-4", "name": ""}])
    documents, lines = [MADE.project], []
    for number in range(1, 60):
        after = edits.put_join(documents[-1], sheet=MADE.sheet, at=MmPoint(2.0 * number, 5)).project
        lines.append(bad if number == 30 else line(number, documents[-1], after))
        documents.append(after)
    (folder / "journal.jsonl").write_bytes(b"".join(lines))
    contents = read_folder(folder)
    assert contents.edit == 29
    assert contents.project == documents[29]


def test_a_document_that_is_wrong_in_itself_is_refused_though_lines_follow(folder: Path):
    text = (folder / "project.json").read_text().replace('"name": "TCU"', '"name": ""')
    (folder / "project.json").write_text(text)
    (folder / "journal.jsonl").write_bytes(LINES[0])
    with pytest.raises(DocumentError, match=r"project.json: parts.0.name is empty; mend it"):
        read_folder(folder)


def test_a_list_that_is_none_is_refused_with_its_place(folder: Path):
    (folder / "project.json").write_text('{"schema": "loomfolio.project/1", "parts": 7}')
    (folder / "journal.jsonl").write_bytes(LINES[0])
    with pytest.raises(DocumentError, match=r"project.json: parts is no list; mend it"):
        read_folder(folder)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda path: None, "there is no such folder; choose a project", id="missing"),
        pytest.param(lambda path: path.write_text("x"), "this is no folder; choose", id="a file"),
        pytest.param(lambda path: path.mkdir(), "the folder holds no project.json", id="empty"),
    ],
)
def test_what_is_no_project_folder_is_refused_in_one_sentence(
    tmp_path: Path, make: Callable[[Path], object], sentence: str
):
    path = tmp_path / "van"
    make(path)
    with pytest.raises(DocumentError, match=sentence) as caught:
        read_folder(path)
    assert "\n" not in str(caught.value)


def test_a_document_that_is_no_json_with_none_before_it_is_refused(folder: Path):
    (folder / "project.json").write_bytes(b'{"schema": "loomf')
    with pytest.raises(DocumentError, match=r"project.json: the file is no JSON \(Unterminated"):
        read_folder(folder)


def test_a_newer_document_is_not_opened_from_an_older_one_before_it(folder: Path):
    (folder / "project.json.before").write_bytes(document_bytes(MADE.project, saved_edit=0))
    (folder / "project.json").write_text('{"schema": "loomfolio.project/2"}')
    with pytest.raises(DocumentError, match="written by a newer version"):
        read_folder(folder)


def test_a_file_beyond_the_limit_is_not_read(folder: Path, monkeypatch):
    monkeypatch.setattr(module, "LARGEST_FILE_BYTES", 2**20)
    with (folder / "project.json").open("ab") as file:
        file.truncate(2**20 + 1)
    with pytest.raises(LimitExceededError, match=r"project.json: the file is larger than 1 MB"):
        read_folder(folder)


def test_a_file_that_cannot_be_read_is_one_sentence(folder: Path):
    (folder / "project.json").unlink()
    (folder / "project.json").mkdir()
    with pytest.raises(DocumentError, match=r"project.json: the file cannot be read \("):
        read_folder(folder)


def test_the_files_are_read_as_they_belong_together(folder: Path, monkeypatch):
    """Another program saves between our reading of the document and of the journal."""
    path = folder / "van"
    ProjectFolder.create(path, MADE.project).close()
    writer = ProjectFolder.open(path)
    writer.commit("Rename", DOCUMENTS[1])
    really, calls = module._read, []

    def read_slowly(file: Path) -> bytes:
        data = really(file)
        calls.append(file.name)
        if len(calls) == 1:
            writer.checkpoint()
            writer.commit("Rename", DOCUMENTS[2])
        return data

    monkeypatch.setattr(module, "_read", read_slowly)
    assert read_folder(path).project == DOCUMENTS[2]
    assert len(calls) == 8
    writer.close()


def test_reading_that_is_disturbed_without_end_ends(folder: Path, monkeypatch):
    numbers = iter(range(10_000))
    stamp = Stamp.of(folder)
    monkeypatch.setattr(module.Stamp, "of", lambda _: stamp._replace(present=(next(numbers), 0, 0)))
    assert read_folder(folder).project == MADE.project


def test_a_stamp_tells_a_checkpoint_from_an_edit(folder: Path):
    before = Stamp.of(folder)
    (folder / "journal.jsonl").write_bytes(LINES[0])
    grown = Stamp.of(folder)
    assert grown != before
    assert grown.is_same_generation(before)
    (folder / "new").write_bytes(b"{}")
    (folder / "new").replace(folder / "project.json")
    assert not Stamp.of(folder).is_same_generation(before)
