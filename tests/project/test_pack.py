"""A project in one zip file and back, and zip files that mean harm."""

from __future__ import annotations

import stat
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from loomfolio.basics import DocumentError, FileUnreadableError, LimitExceededError
from loomfolio.project import ProjectFolder, Session, edits, pack, unpack
from loomfolio.project import pack as pack_module_function
from support.make_project import make_two_sheets

MADE = make_two_sheets()


@pytest.fixture
def van(fresh_path: Callable[[], Path], tmp_path: Path) -> Path:
    """A project folder with a sheet, a photo, a cache and an edit in the journal."""
    path = fresh_path()
    page = tmp_path / "page.png"
    page.write_bytes(b"picture")
    folder = ProjectFolder.create(path, MADE.project)
    folder.copy_in(page)
    (path / "photos" / "rear").mkdir()
    (path / "photos" / "rear" / "1.jpg").write_bytes(b"photo")
    (path / "cache").mkdir()
    (path / "cache" / "reading.bin").write_bytes(b"worked out")
    folder.commit("Rename", edits.rename_part(folder.project, MADE.relay, "K7"))
    folder._lock.release()
    return path


def names_in(zip_path: Path) -> list[str]:
    with zipfile.ZipFile(zip_path) as archive:
        return archive.namelist()


def zip_of(path: Path, entries: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in entries.items():
            archive.writestr(name, data)
    return path


@pytest.fixture
def document(van: Path) -> bytes:
    """A project.json that opens."""
    return (van / "project.json").read_bytes()


def test_a_project_goes_through_the_zip_file_with_every_edit_and_file(
    van: Path, tmp_path: Path, fresh_path: Callable[[], Path]
):
    packed = tmp_path / "van.zip"
    pack(van, packed)
    assert names_in(packed) == [
        *("project.json", "sheets/page-2cea274d0bedc39e.png", "photos/rear/1.jpg")
    ]
    out = fresh_path()
    unpack(packed, out)
    with ProjectFolder.open(out) as folder:
        assert folder.project == ProjectFolder.open(van, read_only=True).project
        assert folder.project.parts[1].name == "K7"
        assert folder.notes == ()
    assert (out / "sheets" / "page-2cea274d0bedc39e.png").read_bytes() == b"picture"
    assert (out / "photos" / "rear" / "1.jpg").read_bytes() == b"photo"
    assert not (out / "cache").exists()


def test_packing_while_another_program_works_packs_what_it_has_shown(van: Path, tmp_path: Path):
    with Session.open(van) as session:
        session.do("Rename", edits.rename_part(session.project, MADE.relay, "K8"))
        pack(van, tmp_path / "van.zip")
        unpack(tmp_path / "van.zip", tmp_path / "copy")
        copy = ProjectFolder.open(tmp_path / "copy", read_only=True)
        assert copy.project == session.project


def test_the_same_project_packs_to_the_same_bytes(van: Path, tmp_path: Path):
    pack(van, tmp_path / "a.zip")
    pack(van, tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_packing_what_is_no_project_writes_nothing(tmp_path: Path):
    with pytest.raises(DocumentError, match=r"the folder holds no project.json"):
        pack(tmp_path, tmp_path / "van.zip")
    assert list(tmp_path.iterdir()) == []


def test_packing_to_where_nothing_can_be_written_is_one_sentence(van: Path, tmp_path: Path):
    with pytest.raises(DocumentError, match="cannot be written"):
        pack(van, tmp_path / "nowhere" / "van.zip")


def test_links_out_of_the_folder_are_not_packed(van: Path, tmp_path: Path):
    secret = tmp_path / "secret.txt"
    secret.write_text("secret")
    (van / "sheets" / "link.png").symlink_to(secret)
    pack(van, tmp_path / "van.zip")
    assert "sheets/link.png" not in names_in(tmp_path / "van.zip")


def test_a_folder_zipped_by_hand_opens_with_its_journal(
    van: Path, tmp_path: Path, fresh_path: Callable[[], Path]
):
    entries = {
        path.relative_to(van).as_posix(): path.read_bytes()
        for path in van.rglob("*")
        if path.is_file()
    }
    out = fresh_path()
    unpack(zip_of(tmp_path / "by-hand.zip", {**entries, "sheets/": b""}), out)
    assert not (out / "cache").exists()
    assert ProjectFolder.open(out, read_only=True).project.parts[1].name == "K7"


@pytest.mark.parametrize(
    "name",
    [
        "../evil.txt",
        "sheets/../../evil.txt",
        "/etc/evil.txt",
        "C:/evil.txt",
        "sheets/C:evil.txt",
    ],
)
def test_an_entry_that_leads_out_of_the_folder_is_refused(
    document: bytes, tmp_path: Path, name: str
):
    bad = zip_of(tmp_path / "bad.zip", {"project.json": document, name: b"evil"})
    before = set(tmp_path.iterdir())
    with pytest.raises(FileUnreadableError, match="leads out of the folder; choose a project"):
        unpack(bad, tmp_path / "out")
    assert set(tmp_path.iterdir()) == before


def test_a_backslash_never_leads_out_of_the_folder(document: bytes, tmp_path: Path):
    """On Windows the zip library turns it into a slash, elsewhere the entry is refused."""
    entry = zipfile.ZipInfo("project.json")
    entry.filename = "sheets\\..\\..\\evil.txt"
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as archive:
        archive.writestr("project.json", document)
        archive.writestr(entry, b"evil")
    with pytest.raises(FileUnreadableError, match="leads out of the folder"):
        unpack(tmp_path / "bad.zip", tmp_path / "out")


def test_a_link_in_the_zip_file_is_written_as_the_plain_file_that_it_is(
    document: bytes, tmp_path: Path
):
    link = zipfile.ZipInfo("sheets/link.png")
    link.create_system = 3
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "link.zip", "w") as archive:
        archive.writestr("project.json", document)
        archive.writestr(link, "/etc/passwd")
    unpack(tmp_path / "link.zip", tmp_path / "out")
    written = tmp_path / "out" / "sheets" / "link.png"
    assert not written.is_symlink()
    assert written.read_text() == "/etc/passwd"


def test_the_same_name_twice_is_refused_whatever_its_capitals(document: bytes, tmp_path: Path):
    entries = {"project.json": document, "sheets/A.png": b"1", "sheets/a.png": b"2"}
    with pytest.raises(FileUnreadableError, match=r"it holds 'sheets/a.png' twice"):
        unpack(zip_of(tmp_path / "twice.zip", entries), tmp_path / "out")


def test_a_protected_entry_is_refused(document: bytes, tmp_path: Path):
    protected = zip_of(tmp_path / "protected.zip", {"project.json": document})
    data = bytearray(protected.read_bytes())
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + offset] |= 1
    protected.write_bytes(data)
    with pytest.raises(FileUnreadableError, match="locked with a password"):
        unpack(protected, tmp_path / "out")


@pytest.mark.parametrize(
    "make",
    [
        pytest.param(lambda path: path.write_bytes(b""), id="empty"),
        pytest.param(lambda path: path.write_bytes(b"PK\x03\x04 torn"), id="torn"),
        pytest.param(lambda path: path.mkdir(), id="a folder"),
        pytest.param(lambda path: None, id="missing"),
        pytest.param(lambda path: zip_of(path, {"letter.txt": b"hello"}), id="foreign"),
        pytest.param(lambda path: zip_of(path, {"sub/project.json": b"{}"}), id="one level down"),
    ],
)
def test_what_is_no_packed_project_is_refused_in_one_sentence(
    make: Callable[[Path], object], tmp_path: Path
):
    make(tmp_path / "x.zip")
    with pytest.raises(FileUnreadableError, match=r"^x.zip: .*; choose a project that .* packed.$"):
        unpack(tmp_path / "x.zip", tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_zip_file_whose_document_does_not_open_leaves_nothing(tmp_path: Path):
    bad = zip_of(
        tmp_path / "bad.zip", {"project.json": b'{"schema": "loomfolio.project/1", "x": 1}'}
    )
    with pytest.raises(DocumentError, match="x is no field that this version knows"):
        unpack(bad, tmp_path / "out")
    assert {path.name for path in tmp_path.iterdir()} == {"bad.zip"}


@pytest.mark.parametrize("is_packed_tight", [False, True])
def test_an_entry_with_damaged_content_leaves_nothing(
    document: bytes, tmp_path: Path, is_packed_tight: bool
):
    method = zipfile.ZIP_DEFLATED if is_packed_tight else zipfile.ZIP_STORED
    damaged = tmp_path / "damaged.zip"
    with zipfile.ZipFile(damaged, "w", method) as archive:
        archive.writestr("project.json", document)
        archive.writestr("sheets/a.bin", bytes(range(256)) * 8)
    data = bytearray(damaged.read_bytes())
    at = data.index(b"sheets/a.bin") + 20
    data[at : at + 8] = b"\xff" * 8
    damaged.write_bytes(data)
    with pytest.raises(FileUnreadableError, match="the file is damaged"):
        unpack(damaged, tmp_path / "out")
    assert {path.name for path in tmp_path.iterdir()} == {"damaged.zip", "page.png", "van-1"}


def test_unpacking_where_something_lies_changes_nothing(van: Path, tmp_path: Path):
    pack(van, tmp_path / "van.zip")
    before = (van / "project.json").read_bytes()
    with pytest.raises(DocumentError, match="something lies there already"):
        unpack(tmp_path / "van.zip", van)
    assert (van / "project.json").read_bytes() == before


def test_unpacking_where_nothing_can_be_written_is_one_sentence(van: Path, tmp_path: Path):
    pack(van, tmp_path / "van.zip")
    with pytest.raises(DocumentError, match="cannot be written"):
        unpack(tmp_path / "van.zip", tmp_path / "van.zip" / "below")


@pytest.mark.parametrize(
    ("limit", "value"),
    [("MOST_ENTRIES", 2), ("LARGEST_ENTRY_BYTES", 20_000), ("LARGEST_TOTAL_BYTES", 30_000)],
)
def test_limits_hold_against_bombs_whatever_the_entries_say(
    document: bytes, tmp_path: Path, monkeypatch, limit: str, value: int
):
    import sys

    module = sys.modules[pack_module_function.__module__]
    bomb = tmp_path / "bomb.zip"
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("project.json", document)
        for number in range(2):
            archive.writestr(f"sheets/{number}.png", b"\0" * 20_001)
    monkeypatch.setattr(module, limit, value)
    with pytest.raises(LimitExceededError, match="unpack it by other means if you trust it"):
        unpack(bomb, tmp_path / "out")
    assert {path.name for path in tmp_path.iterdir()} & {"out"} == set()
