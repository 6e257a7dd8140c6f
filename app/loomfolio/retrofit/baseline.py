"""How a vehicle was before anything was touched, and is at the end: what is new, what is gone, what got worse."""

from __future__ import annotations

from dataclasses import dataclass

from loomfolio.project import Baseline, FaultCode, FunctionCheck

SLEEP_MARGIN_MA = 5.0
"""More sleep current than this above the baseline is worth a look (spread of two readings on one vehicle;
common practice, no source)."""


@dataclass(frozen=True, slots=True)
class BaselineComparison:
    """What changed between two baselines. `not_tried` are functions that worked before and were not tried again."""

    new_fault_codes: tuple[FaultCode, ...]
    gone_fault_codes: tuple[FaultCode, ...]
    broken: tuple[FunctionCheck, ...]
    mended: tuple[FunctionCheck, ...]
    not_tried: tuple[FunctionCheck, ...]
    sleep_current_rise_ma: float | None
    sentences: tuple[str, ...]

    @property
    def is_as_before(self) -> bool:
        """Is everything that worked before proven to work, with no new fault and no more sleep current?"""
        return not self.sentences


def compare_baselines(before: Baseline, after: Baseline) -> BaselineComparison:
    """Return what changed. Fault codes are the same by code and module, functions by name without capitals."""
    old, new = ({_code_key(c): c for c in one.fault_codes} for one in (before, after))
    worked, works = ({_name_key(f): f for f in one.functions} for one in (before, after))
    rise = None
    if before.sleep_current_ma is not None and after.sleep_current_ma is not None:
        rise = after.sleep_current_ma - before.sleep_current_ma
    found = {
        "new_fault_codes": tuple(code for key, code in new.items() if key not in old),
        "gone_fault_codes": tuple(code for key, code in old.items() if key not in new),
    }
    broken = tuple(
        f for key, f in works.items() if not f.works and (key not in worked or worked[key].works)
    )
    mended = tuple(
        f for key, f in works.items() if f.works and key in worked and not worked[key].works
    )
    not_tried = tuple(f for key, f in worked.items() if f.works and key not in works)
    return BaselineComparison(
        **found,
        broken=broken,
        mended=mended,
        not_tried=not_tried,
        sleep_current_rise_ma=rise,
        sentences=(
            *(f"New fault code {_code_text(code)}" for code in found["new_fault_codes"]),
            *(f"{f.name} does not work{_before(f, worked)}" for f in broken),
            *(f"{f.name} worked before and has not been tried again" for f in not_tried),
            *_sleep_sentences(before, after, rise),
        ),
    )


def _code_key(code: FaultCode) -> tuple[str, str]:
    return (code.code.casefold(), code.module.casefold())


def _name_key(function: FunctionCheck) -> str:
    return " ".join(function.name.casefold().split())


def _code_text(code: FaultCode) -> str:
    return " ".join(text for text in (code.code, code.module, code.text) if text)


def _before(function: FunctionCheck, worked: dict[str, FunctionCheck]) -> str:
    return ", and did before" if _name_key(function) in worked else "; nobody tried it before"


def _sleep_sentences(before: Baseline, after: Baseline, rise: float | None) -> tuple[str, ...]:
    if before.sleep_current_ma is not None and after.sleep_current_ma is None:
        return ("The sleep current has not been measured again",)
    if rise is not None and rise > SLEEP_MARGIN_MA:
        return (
            f"The sleep current rose from {before.sleep_current_ma:g} to {after.sleep_current_ma:g} mA",
        )
    return ()
