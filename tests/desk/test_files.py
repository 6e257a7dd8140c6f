"""Projects and files: opening, saving, what is dropped in, what goes out."""

import csv
import shutil

import pytest
from PIL import Image

from loomfolio.desk.files import Files
from loomfolio.desk.settings import Settings
from loomfolio.desk.starting import demo_doors, demo_paths
from loomfolio.desk.steps import Steps
from loomfolio.desk.work import Work
from loomfolio.desk.workbench import Workbench
from loomfolio.project import Project, ProjectFolder, pack
from support.make_desk import FRONT, Answers, draw_page, open_session, readings, small_job


@pytest.fixture
def home(tmp_path, monkeypatch):
    folder = tmp_path / "home"
    monkeypatch.setattr("loomfolio.desk.files.projects_home", lambda: folder)
    return folder


@pytest.fixture
def answers():
    return Answers()


@pytest.fixture
def refused():
    return []


@pytest.fixture
def bench(tmp_path):
    made = Workbench(open_session(tmp_path / "job"), readings())
    yield made
    made.session.close()


@pytest.fixture
def work(qtbot):
    made = Work()
    yield made
    made.close()


@pytest.fixture
def files(bench, work, answers, refused, told, tmp_path, home):
    steps = Steps(bench, refused.append, told.append)
    return Files(bench, steps, work, answers, Settings(tmp_path / "s.ini"), told.append)


@pytest.fixture
def settle(qtbot, work):
    return lambda: qtbot.waitUntil(lambda: not work.standing, timeout=20_000)


# ------------------------------------------------------------------------------------ projects


def test_a_new_project_lies_on_disk_at_once(files, bench, home):
    files.new()
    assert bench.project == Project()
    assert ProjectFolder.open(home / "New project", read_only=True).project == Project()


@pytest.mark.parametrize("number", [0, 1], ids=["van", "tractor"])
def test_each_demo_opens_as_a_copy_of_ones_own(files, bench, answers, told, home, number):
    door = demo_doors(home)[number]
    answers.answers["one_of"] = door.words
    files.open_demo()
    assert bench.path == home / demo_paths()[number].name
    assert not bench.session.is_read_only
    assert "your own copy of the demo" in told[-1]
    answers.answers["one_of"] = demo_doors(home)[number].words
    files.open_demo()
    assert told[-1] == "This is the copy that you have open."


def test_two_new_projects_have_two_folders(files, bench, home):
    files.new()
    files.new()
    assert bench.path == home / "New project 2"


def test_an_opened_project_is_remembered_first(files, bench, answers, tmp_path):
    open_session(tmp_path / "other").close()
    answers.answers["folder"] = tmp_path / "other"
    files.open()
    assert bench.path == tmp_path / "other"
    assert files._settings.recent[0] == tmp_path / "other"


def test_a_damaged_project_is_said_and_the_old_one_stays(files, bench, refused, tmp_path):
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "project.json").write_text("{", encoding="utf-8")
    before = bench.path
    files.open_project(tmp_path / "bad")
    assert bench.path == before
    assert len(refused) == 1
    assert bench.session.can_undo is False
    assert not bench.session.is_read_only


def test_a_project_that_another_holds_opens_to_be_read_only(files, bench, tmp_path):
    other = open_session(tmp_path / "other")
    files.open_project(tmp_path / "other")
    assert bench.session.is_read_only
    other.close()


def test_nothing_happens_when_nothing_was_chosen(files, bench, answers):
    before = bench.path
    files.open()
    files.save_as()
    files.pack()
    files.export_map()
    files.bench_pack()
    files.add_sheets()
    assert bench.path == before
    assert len(answers.asked) == 6


def test_saving_writes_the_project_anew(files, bench, told):
    bench.session.do("Title", bench.project.model_copy(update={"serial": 2000}))
    files.save()
    assert bench.session.is_saved
    assert told == [f"Saved in {bench.path}."]


def test_after_saving_as_one_works_in_the_copy(files, bench, answers, tmp_path):
    answers.answers["file_to_write"] = tmp_path / "copy"
    before = bench.path
    files.save_as()
    assert bench.path == tmp_path / "copy"
    assert bench.project == small_job()
    assert not ProjectFolder.open(before).is_read_only


def test_saving_onto_what_is_there_is_refused(files, bench, answers, refused, tmp_path):
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").touch()
    answers.answers["file_to_write"] = tmp_path / "full"
    before = bench.path
    files.save_as()
    assert bench.path == before
    assert len(refused) == 1


def test_a_packed_project_opens_again_elsewhere(files, bench, answers, tmp_path, home):
    answers.answers["file_to_write"] = tmp_path / "send.zip"
    files.pack()
    files.take([tmp_path / "send.zip"])
    assert bench.path == home / "send"
    assert bench.project == small_job()


# -------------------------------------------------------------------------------------- sheets


def test_dropped_sheets_are_one_step(files, bench, settle, tmp_path):
    pages = [draw_page(FRONT, tmp_path / f"page {n}.png") for n in (1, 2)]
    files.take(pages)
    settle()
    assert [s.title for s in bench.project.sheets][2:] == ["page 1", "page 2"]
    bench.undo()
    assert len(bench.project.sheets) == 2


def test_a_dropped_project_opens(files, bench, tmp_path):
    open_session(tmp_path / "other").close()
    files.take([tmp_path / "other"])
    assert bench.path == tmp_path / "other"


def test_a_file_that_is_no_page_is_said_and_the_others_come(
    files, bench, settle, refused, tmp_path
):
    good, bad = draw_page(FRONT, tmp_path / "page.png"), tmp_path / "notes.txt"
    bad.write_text("no picture", encoding="utf-8")
    files.take([bad, good])
    settle()
    assert [s.title for s in bench.project.sheets][2:] == ["page"]
    assert len(refused) == 1
    assert "notes.txt" in refused[0]


def test_a_broken_picture_changes_nothing(files, bench, settle, refused, tmp_path):
    whole = draw_page(FRONT, tmp_path / "page.png").read_bytes()
    (tmp_path / "half.png").write_bytes(whole[: len(whole) // 2])
    before = bench.project
    files.take([tmp_path / "half.png"])
    settle()
    assert bench.project == before
    assert refused


def test_the_paper_is_asked_for_where_a_file_does_not_say(files, bench, settle, answers, tmp_path):
    page = tmp_path / "photo.png"
    Image.new("L", (1240, 1754), 255).save(page)
    answers.answers["one_of"] = "A4"
    files.take([page])
    settle()
    sheet = bench.project.sheets[-1]
    assert sheet.resolution_from == "paper size"
    assert sheet.x_dpi == pytest.approx(150, abs=1)
    assert "does not say how large it is" in answers.asked[0]


def protected_pdf(path, password):
    from pypdf import PdfWriter

    writer = PdfWriter()
    writer.add_blank_page(595, 842)
    writer.encrypt(password)
    writer.write(path)
    return path


def test_a_protected_file_asks_for_its_password(files, bench, settle, answers, tmp_path):
    answers.answers["password"] = ["wrong", "towbar"]
    files.take([protected_pdf(tmp_path / "secret.pdf", "towbar")])
    settle()
    assert answers.asked == ["secret.pdf", "secret.pdf"]
    assert bench.project.sheets[-1].title == "secret"


def test_without_the_password_nothing_comes_in(files, bench, settle, answers, refused, tmp_path):
    before = bench.project
    files.take([protected_pdf(tmp_path / "secret.pdf", "towbar")])
    settle()
    assert bench.project == before
    assert "password" in refused[0]


def test_sheets_that_arrive_late_do_not_undo_what_was_done_meanwhile(
    files, bench, settle, tmp_path
):
    files.take([draw_page(FRONT, tmp_path / "page.png")])
    bench.session.do("Meanwhile", bench.project.model_copy(update={"serial": 5000}))
    bench._work_out()
    settle()
    assert bench.project.serial > 5000
    assert [s.title for s in bench.project.sheets][2:] == ["page"]


def test_sheets_for_a_project_left_meanwhile_are_dropped(files, bench, settle, tmp_path):
    files.take([draw_page(FRONT, tmp_path / "page.png")])
    files.new()
    settle()
    assert bench.project == Project()


# ----------------------------------------------------------------------------------- going out


@pytest.mark.parametrize("ending", ["csv", "xlsx", "json"])
def test_the_map_is_written_by_the_ending_of_the_file(
    files, settle, answers, told, tmp_path, ending
):
    path = tmp_path / f"map.{ending}"
    answers.answers["file_to_write"] = path
    files.export_map()
    settle()
    assert path.stat().st_size > 100
    assert told == [f"The map is in {path}."]


def test_the_written_map_holds_every_lead(files, bench, settle, answers, tmp_path):
    answers.answers["file_to_write"] = tmp_path / "map.csv"
    files.export_map()
    settle()
    with (tmp_path / "map.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len(bench.state.rows)


def test_the_bench_pack_is_written(files, settle, answers, told, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    answers.answers["folder"] = out
    files.bench_pack()
    settle()
    assert {path.suffix for path in out.iterdir()} == {".pdf", ".xlsx", ".csv"}
    assert told[-1].endswith(f"are in {out}.")


def test_a_place_that_cannot_be_written_is_said(files, work, settle, answers, tmp_path):
    said = []
    work.refused.connect(said.append)
    answers.answers["file_to_write"] = tmp_path / "gone" / "map.csv"
    files.export_map()
    settle()
    assert len(said) == 1
    shutil.rmtree(tmp_path / "gone", ignore_errors=True)


def test_packing_by_the_library_and_by_the_desk_is_the_same(files, bench, answers, tmp_path):
    import zipfile

    answers.answers["file_to_write"] = tmp_path / "desk.zip"
    files.pack()
    pack(bench.path, tmp_path / "library.zip")
    names = [sorted(zipfile.ZipFile(tmp_path / f"{n}.zip").namelist()) for n in ("desk", "library")]
    assert names[0] == names[1]
