"""Real pictures with their truth: those kept here, and more where a folder beside the project has them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loomfolio.sheets import load_page

_HERE = Path(__file__).resolve().parent / "samples"
_BESIDE = Path(__file__).resolve().parents[3] / "shared" / "samples" / "diagrams"


@dataclass(frozen=True)
class Sample:
    """A picture, the places of its terminals in px (N, 2), and which of them are joined."""

    pixels: NDArray[np.uint8]
    dpi: float
    names: tuple[str, ...]
    terminals: NDArray[np.float64]
    nets: tuple[tuple[int, ...], ...]

    def name_of(self, net: int) -> str:
        """The terminals of a net, as printed."""
        return " - ".join(self.names[t] for t in self.nets[net])


def find_sample(name: str) -> Path | None:
    """Return the truth file of a picture, or none where it is not on this machine."""
    for folder in (_HERE, _BESIDE):
        path = folder / f"{name}.truth.json"
        if path.is_file():
            return path
    return None


@cache
def load_sample(truth_file: Path) -> Sample:
    """Read a picture as the project reads any file, and its truth."""
    truth = json.loads(truth_file.read_text(encoding="utf-8"))
    dpi = truth.get("render_dpi", truth["dpi_guess"])
    picture = truth_file.with_name(truth["image"])
    page = load_page(picture, page=truth.get("page", 1), dpi=dpi)
    names = tuple(terminal["name"] for terminal in truth["terminals"])
    number = {name: k for k, name in enumerate(names)}
    return Sample(
        pixels=page.pixels,
        dpi=dpi,
        names=names,
        terminals=np.array([(t["x"], t["y"]) for t in truth["terminals"]], dtype=np.float64),
        nets=tuple(tuple(number[name] for name in net) for net in truth["nets"]),
    )
