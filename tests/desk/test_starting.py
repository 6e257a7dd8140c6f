"""What a start opens: what was named, the last project, or the person's own copy of the demo."""

import pytest

from loomfolio.basics import FileUnreadableError
from loomfolio.desk.starting import (
    copy_of_demo,
    demo_doors,
    demo_path,
    demo_paths,
    start_anew,
    start_with,
)
from loomfolio.project import ProjectFolder, pack
from support.make_desk import FRONT, draw_page, open_session, small_job


@pytest.fixture
def home(tmp_path):
    return tmp_path / "home"


@pytest.fixture
def close():
    """Sessions that are closed at the end."""
    opened = []
    yield opened.append
    for session in opened:
        session.close()


def test_a_named_project_opens(tmp_path, home, close):
    open_session(tmp_path / "job").close()
    start = start_with([tmp_path / "job"], home)
    close(start.session)
    assert start.session.project == small_job()
    assert start.sheets == ()


def test_named_sheets_make_a_new_project(tmp_path, home, close):
    page = draw_page(FRONT, tmp_path / "van.png")
    start = start_with([page], home)
    close(start.session)
    assert start.session.path == home / "van"
    assert start.sheets == (page,)
    assert str(home / "van") in start.sentence


def test_a_packed_project_is_unpacked_first(tmp_path, home, close):
    open_session(tmp_path / "job").close()
    pack(tmp_path / "job", tmp_path / "job.zip")
    start = start_with([tmp_path / "job.zip"], home)
    close(start.session)
    assert start.session.path == home / "job"
    assert start.session.project == small_job()


def test_what_is_not_there_is_said_and_nothing_is_made(tmp_path, home):
    with pytest.raises(FileUnreadableError):
        start_with([tmp_path / "missing.pdf"], home)
    assert not home.exists()


def test_the_first_start_copies_the_demo_and_says_so(home, close):
    start = start_anew((), home)
    close(start.session)
    assert start.session.path.parent == home
    assert "your own copy of the demo" in start.sentence
    assert len(start.session.project.sheets) >= 5
    assert not start.session.is_read_only


def test_the_demo_itself_stays_untouched(home, close):
    before = {p: p.stat().st_mtime_ns for p in demo_path().rglob("*")}
    start = start_anew((), home)
    close(start.session)
    start.session.do("Title", start.session.project.model_copy(update={"serial": 9999}))
    assert {p: p.stat().st_mtime_ns for p in demo_path().rglob("*")} == before


def test_a_second_start_goes_on_with_the_same_copy(home, close):
    first = start_anew((), home)
    first.session.close()
    second = start_anew((), home)
    close(second.session)
    assert second.session.path == first.session.path
    assert len(list(home.iterdir())) == 1


def test_a_later_start_opens_the_last_project(tmp_path, home, close):
    open_session(tmp_path / "job").close()
    start = start_anew([tmp_path / "job"], home)
    close(start.session)
    assert start.session.path == tmp_path / "job"


def test_a_last_project_that_is_damaged_gives_way_to_the_demo(tmp_path, home, close):
    broken = tmp_path / "broken"
    broken.mkdir()
    (broken / "project.json").write_text("{", encoding="utf-8")
    start = start_anew([broken], home)
    close(start.session)
    assert start.session.path.parent == home


def test_without_a_demo_there_is_an_empty_project(home, close, monkeypatch, tmp_path):
    monkeypatch.setattr("loomfolio.desk.starting.demo_projects_path", lambda: tmp_path / "none")
    start = start_anew((), home)
    close(start.session)
    assert start.session.project.sheets == ()
    assert "new project" in start.sentence


def test_a_copy_is_wholly_there_or_not_at_all(home):
    copy = copy_of_demo(demo_path(), home)
    assert ProjectFolder.open(copy, read_only=True).project.sheets
    assert [path.name for path in home.iterdir()] == [copy.name]


def test_both_demos_have_a_door_and_a_copy_that_is_there_comes_first(home):
    jobs = [ProjectFolder.open(path, read_only=True).project.job.title for path in demo_paths()]
    assert len(jobs) == 2
    assert [door.words for door in demo_doors(home)] == [
        f"{job}: from the beginning" for job in jobs
    ]
    copy = copy_of_demo(demo_paths()[1], home)
    doors = demo_doors(home)
    assert [(door.demo, door.copy) for door in doors] == [
        (demo_paths()[0], None),
        (demo_paths()[1], copy),
        (demo_paths()[1], None),
    ]
