"""Slow work: it never holds the window up, can be called off, and late answers are dropped."""

import sys
import threading

import pytest

from loomfolio.basics import LoomfolioError, WorkCancelledError
from loomfolio.desk.work import Job, Work


@pytest.fixture
def work(qtbot):
    made = Work()
    yield made
    made.close()


@pytest.fixture
def gate():
    """Holds a job until it is opened; opened at the end in any case."""
    held = threading.Event()
    yield held
    held.set()


def wait_for(qtbot, work):
    qtbot.waitUntil(lambda: not work.standing, timeout=10_000)


def test_an_answer_is_taken_on_the_windows_thread(qtbot, work):
    threads = []

    def run(watch):
        threads.append(threading.get_ident())
        return 42

    taken = []

    def take(answer):
        threads.append(threading.get_ident())
        taken.append(answer)

    work.start(Job("a", "Counting", run, take))
    wait_for(qtbot, work)
    assert taken == [42]
    assert threads[0] != threads[1]
    assert threads[1] == threading.get_ident()


def test_progress_is_told_in_steps(qtbot, work, gate):
    def run(watch):
        for part in range(1000):
            watch.progress(part / 1000)
        gate.wait()

    shares = []
    work.changed.connect(lambda: shares.extend(s.share for s in work.standing))
    work.start(Job("a", "Counting", run, lambda _: None))
    qtbot.waitUntil(lambda: bool(shares) and shares[-1] > 0.9)
    assert len(set(shares)) <= 101
    assert shares == sorted(shares)
    gate.set()
    wait_for(qtbot, work)


def test_what_is_called_off_ends_and_its_answer_is_dropped(qtbot, work, gate):
    begun, seen = threading.Event(), []

    def run(watch):
        begun.set()
        gate.wait()
        seen.append(watch.is_cancelled())
        return "late"

    taken = []
    work.start(Job("a", "Reading", run, taken.append))
    assert begun.wait(10)
    work.cancel("a")
    assert work.standing == ()
    gate.set()
    work.close()
    assert seen == [True]
    assert taken == []


def test_a_newer_job_of_the_same_kind_takes_over(qtbot, work, gate):
    taken = []
    work.start(Job("sheet-1", "Reading", lambda _: gate.wait() and "old", taken.append))
    work.start(Job("sheet-1", "Reading", lambda _: "new", taken.append))
    gate.set()
    wait_for(qtbot, work)
    assert taken == ["new"]


def test_jobs_of_other_kinds_wait_their_turn(qtbot, work, gate):
    order = []
    work.start(Job("a", "First", lambda _: gate.wait(), lambda _: order.append("a")))
    work.start(Job("b", "Second", lambda _: None, lambda _: order.append("b")))
    assert [standing.title for standing in work.standing] == ["First", "Second"]
    gate.set()
    wait_for(qtbot, work)
    assert order == ["a", "b"]


def fail(error):
    def run(watch):
        raise error

    return run


def test_what_cannot_be_used_is_told_in_its_own_sentence(qtbot, work):
    with qtbot.waitSignal(work.refused) as told:
        work.start(Job("a", "Reading", fail(LoomfolioError("The page is gone.")), print))
    assert told.args == ["The page is gone."]


def test_a_job_may_take_its_refusal_itself(qtbot, work):
    refused = []
    with qtbot.assertNotEmitted(work.refused):
        work.start(Job("a", "R", fail(LoomfolioError("No.")), print, refused.append))
        wait_for(qtbot, work)
    assert [str(error) for error in refused] == ["No."]


def test_being_called_off_is_not_an_error(qtbot, work):
    with qtbot.assertNotEmitted(work.refused):
        work.start(Job("a", "Reading", fail(WorkCancelledError()), print))
        wait_for(qtbot, work)


def test_a_fault_goes_where_faults_go(qtbot, work, monkeypatch):
    caught = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, error, trace: caught.append(error))
    fault = ZeroDivisionError("ours")
    work.start(Job("a", "Reading", fail(fault), print))
    wait_for(qtbot, work)
    assert caught == [fault]


def test_closing_waits_for_what_runs(qtbot, work):
    ended = []

    def run(watch):
        while not watch.is_cancelled():
            pass
        ended.append(True)

    work.start(Job("a", "Reading", run, print))
    work.close()
    assert ended in ([True], [])  # run to its end, or never begun; nothing is left running
    assert work._pool.activeThreadCount() == 0
