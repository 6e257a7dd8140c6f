"""Fixtures of the sheets room."""

from __future__ import annotations

from pathlib import Path

import pytest

SAMPLES = Path(__file__).resolve().parents[3] / "shared" / "samples" / "diagrams"


@pytest.fixture
def samples() -> Path:
    """Return the folder of real diagrams; a test that needs it is skipped where it is absent."""
    if not SAMPLES.is_dir():
        pytest.skip("the real diagrams lie beside a working copy only")
    return SAMPLES
