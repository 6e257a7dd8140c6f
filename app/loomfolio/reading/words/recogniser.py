"""Recognise the letters in crops of text, many crops at a time.

The network is the text recogniser that the general-purpose package `rapidocr` carries in its wheel
(`PP-OCRv6_rec_small.onnx`, Apache-2.0), run by onnxruntime: nothing is downloaded. It reads a line of
text 48 px high and says for each step of its width which sign stands there (connectionist temporal
classification). Only signs that diagrams use are let in, so that a `1` never becomes an ideogram.

Crops of about one width are read together, because the longest decides what all of them cost.
"""

from __future__ import annotations

import importlib.util
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.basics import WorkCancelledError

if TYPE_CHECKING:
    from onnxruntime import InferenceSession

U8 = NDArray[np.uint8]
F32 = NDArray[np.float32]

MODEL_PACKAGE, MODEL_FILE = "rapidocr", "models/PP-OCRv6_rec_small.onnx"

SIGNS: Final = (
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
    " /-.:+=()[]_,&*#<>%°'\"²³µΩ~!?;|{}ÄÖÜäöüßéèêàçñ"
)
"""The signs that are let in: those of signal names, wire colours, sizes, notes and title blocks."""

HEIGHT_PX = 48
"""The height that the network was made for."""
BATCH = 24
"""Crops that are read together: larger batches were no faster on two cores."""
WIDTH_STEP_PX = 16
"""Widths are filled up to a multiple of this, so that few shapes occur."""


@dataclass(frozen=True, slots=True)
class Recognised:
    """What stands in one crop: the text, its surest and least sure letters, and where they stand.

    `confidence` is that of the least sure letter; `places` are the middles of the letters as shares of
    the crop's width. A crop without any letter has an empty text and confidence 0.
    """

    text: str
    confidence: float
    places: tuple[float, ...] = ()


class Recogniser:
    """The network, loaded when the first crop comes. One serves a whole process; it may be shared by threads."""

    def __init__(self, threads: int = 2) -> None:
        self._threads = threads
        self._lock = threading.Lock()

    def read(
        self, crops: Sequence[U8], *, cancelled: Callable[[], bool] = lambda: False
    ) -> list[Recognised]:
        """Return what stands in each crop, uint8 (h, w), dark upright letters on white paper, in order.

        Raises
        ------
        WorkCancelledError
            As soon as `cancelled()` is true; it is asked before each batch.
        """
        lines = [_to_height(crop) for crop in crops]
        order = sorted(range(len(lines)), key=lambda k: lines[k].shape[1])
        found = [Recognised("", 0.0)] * len(lines)
        for start in range(0, len(order), BATCH):
            if cancelled():
                raise WorkCancelledError
            chosen = order[start : start + BATCH]
            for k, one in zip(chosen, self._read_batch([lines[k] for k in chosen]), strict=True):
                found[k] = one
        return found

    def _read_batch(self, lines: Sequence[U8]) -> list[Recognised]:
        widest = max(line.shape[1] for line in lines)
        width = -(-widest // WIDTH_STEP_PX) * WIDTH_STEP_PX
        batch = np.ones((len(lines), 3, HEIGHT_PX, width), np.float32)
        for k, line in enumerate(lines):
            batch[k, :, :, : line.shape[1]] = line.astype(np.float32) / 127.5 - 1.0
        with self._lock:
            shares = self._session.run(None, {self._input: batch})[0]
        allowed = np.asarray(shares[:, :, self._allowed], dtype=np.float32)
        return [self._decoded(allowed[k], line.shape[1] / width) for k, line in enumerate(lines)]

    def _decoded(self, shares: F32, used: float) -> Recognised:
        """Take the likeliest sign of each step; the same sign over several steps is one letter."""
        shares = shares / np.maximum(shares.sum(axis=1, keepdims=True), 1e-9)
        best = shares.argmax(axis=1)
        letters: list[str] = []
        sureness: list[float] = []
        places: list[float] = []
        before = 0
        for step, sign in enumerate(best.tolist()):
            share = float(shares[step, sign])
            if sign not in {0, before}:
                letters.append(self._letters[sign])
                sureness.append(share)
                places.append((step + 0.5) / (len(best) * used))
            elif sign != 0:
                sureness[-1] = max(sureness[-1], share)
            before = sign
        return Recognised("".join(letters), min(sureness, default=0.0), tuple(places))

    @cached_property
    def _session(self) -> InferenceSession:
        import onnxruntime  # a third of a second, which pages without words need not wait for

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = self._threads
        options.log_severity_level = 3
        return onnxruntime.InferenceSession(
            str(_model_path()), options, providers=["CPUExecutionProvider"]
        )

    @cached_property
    def _input(self) -> str:
        return str(self._session.get_inputs()[0].name)

    @cached_property
    def _signs(self) -> list[str]:
        """The signs of the network by number; the first stands for nothing."""
        known = self._session.get_modelmeta().custom_metadata_map["character"]
        return ["", *known.splitlines(), " "]

    @cached_property
    def _allowed(self) -> NDArray[np.intp]:
        return np.array([k for k, sign in enumerate(self._signs) if k == 0 or sign in SIGNS])

    @cached_property
    def _letters(self) -> list[str]:
        return [self._signs[k] for k in self._allowed.tolist()]


def _model_path() -> Path:
    """Where the package that carries the network lies; the package itself is not imported."""
    found = importlib.util.find_spec(MODEL_PACKAGE)
    if found is None or not found.submodule_search_locations:
        raise RuntimeError(f"the package {MODEL_PACKAGE} is not installed")
    return Path(next(iter(found.submodule_search_locations))) / MODEL_FILE


def _to_height(crop: U8) -> U8:
    """Bring a crop to the height of the network."""
    high, wide = crop.shape
    width = max(WIDTH_STEP_PX, round(wide * HEIGHT_PX / max(high, 1)))
    how = cv2.INTER_AREA if high > HEIGHT_PX else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(crop, (width, HEIGHT_PX), interpolation=how), dtype=np.uint8)
