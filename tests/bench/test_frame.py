"""What all sheets have alike."""

from __future__ import annotations

from loomfolio.bench.frame import version_of
from support.make_bench import MapMaker


def test_version_follows_what_the_job_says():
    one, other = MapMaker(), MapMaker()
    other.job = other.job.model_copy(update={"cautions": ("Wait ten minutes.",)})
    assert version_of(one.project, ()) == version_of(MapMaker().project, ())
    assert version_of(one.project, ()) != version_of(other.project, ())
