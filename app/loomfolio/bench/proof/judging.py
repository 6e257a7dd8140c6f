"""What a reading means: pass, fail or doubtful, at once and in one sentence."""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.basics import UsageError
from loomfolio.bench.proof.records import Limit, ProofTest, Verdict
from loomfolio.project import MeterReading

_PREFIXES = {"": 1.0, "u": 1e-6, "µ": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9}
_SPELT = {"Ω": "ohm", "ohms": "ohm", "Ohm": "ohm"}


def in_unit(value: float, unit: str, wanted: str) -> float:
    """Return a value in another unit of the same kind: 4.7 `kohm` are 4700 `ohm`.

    Raises
    ------
    UsageError
        The unit is not one of that kind.
    """
    own = unit.strip()
    for spelt, plain in _SPELT.items():
        own = own.removesuffix(spelt) + plain if own.endswith(spelt) else own
    base = _base(wanted)
    if own and own.endswith(base) and own[: -len(base)] in _PREFIXES:
        shown = _PREFIXES[wanted[: -len(base)]] if wanted != base else 1.0
        return value * _PREFIXES[own[: -len(base)]] / shown
    if not own:
        return value
    raise UsageError(f"{unit!r} is no unit for this reading; give it in {wanted}.")


def _base(unit: str) -> str:
    return next((base for base in ("ohm", "V", "A", "W") if unit.endswith(base)), unit)


def judge(test: ProofTest, reading: MeterReading) -> Verdict:
    """Return what a reading of a test means.

    A reading over range passes where only a lower limit is set, and fails where there is an upper one.

    Raises
    ------
    UsageError
        The unit does not fit the test.
    """
    limit = test.limit
    if limit.is_of_words:
        return _judge_word(limit, reading.text)
    if reading.is_over_range:
        if limit.high is None:
            return Verdict(
                "pass",
                f"Over range: more than {_text(limit.low.value, limit.unit)}."
                if limit.low
                else "Over range.",
            )
        return Verdict(
            "fail", f"Over range, and at most {_text(limit.high.value, limit.unit)} may be."
        )
    if reading.value is None:
        return Verdict("doubtful", "A number is wanted here, not a word; read it again.")
    return _judge_number(limit, in_unit(reading.value, reading.unit, limit.unit))


def last_reading(test: ProofTest, readings: Iterable[MeterReading]) -> MeterReading | None:
    """Return the reading that counts for a test: the last one of it; None where there is none."""
    own = [reading for reading in readings if reading.test == test.key]
    return own[-1] if own else None


def _judge_word(limit: Limit, text: str) -> Verdict:
    said = " ".join(text.casefold().split())
    if said == limit.passes.casefold():
        return Verdict("pass", f"{limit.passes[:1].upper()}{limit.passes[1:]}.")
    if said == limit.fails.casefold():
        return Verdict("fail", f"{limit.fails[:1].upper()}{limit.fails[1:]}.")
    return Verdict(
        "doubtful", f"“{text}” is neither “{limit.passes}” nor “{limit.fails}”; look again."
    )


def _judge_number(limit: Limit, value: float) -> Verdict:
    shown = _text(value, limit.unit)
    if limit.low is not None and value < limit.low.value:
        least = _text(limit.low.value, limit.unit)
        if limit.doubt_low is not None and value > limit.doubt_low:
            return Verdict(
                "doubtful", f"{shown} is less than {least}, but not by much; read it again."
            )
        return Verdict("fail", f"{shown} is less than {least}.")
    if limit.high is not None and value > limit.high.value:
        most = _text(limit.high.value, limit.unit)
        if limit.doubt_high is not None and value < limit.doubt_high:
            return Verdict(
                "doubtful",
                f"{shown} is more than {most}, but not by much; clean, wag and read again.",
            )
        return Verdict("fail", f"{shown} is more than {most}.")
    if value < 0:
        return Verdict("doubtful", f"{shown} is below nothing; null the leads and read again.")
    return Verdict("pass", f"{shown}: {limit_text(limit)}.")


def limit_text(limit: Limit) -> str:
    """Return a limit in words: `at most 0.35 ohm`, `55 to 65 ohm`, `dark`."""
    if limit.is_of_words:
        return limit.passes
    if limit.low is not None and limit.high is not None:
        return f"{limit.low.value:.3g} to {_text(limit.high.value, limit.unit)}"
    if limit.low is not None:
        return f"at least {_text(limit.low.value, limit.unit)}"
    if limit.high is not None:
        return f"at most {_text(limit.high.value, limit.unit)}"
    return "no limit"


def _text(value: float, unit: str) -> str:
    for factor, prefix in ((1e6, "M"), (1e3, "k")):
        if unit == "ohm" and value >= factor:
            return f"{value / factor:.3g} {prefix}ohm"
    return f"{value:.3g} {unit}"
