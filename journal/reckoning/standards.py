"""Which named standards of identity a cheese's moisture and fat meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, overload

from journal.reckoning.bounds import Floats, Numbers, listed

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Standard:
    """The limits of one named cheese: None where there is none.

    `min_dry_by_fdm` is the least dry matter by class of FDM, (FDM from, dry matter %) ascending.
    `age` says in words what age is asked for, `ground` how well the figures are known.
    """

    authority: str
    cheese: str
    max_moisture_pct: float | None
    min_fdm_pct: float | None
    min_fat_pct: float | None
    min_dry_by_fdm: tuple[tuple[float, float], ...]
    age: str
    source: str
    ground: str

    def met(self, moisture_pct: float, fat_pct: float) -> bool:
        """Whether moisture and fat keep within the limits; age and milk are not looked at."""
        fdm = 100 * fat_pct / (100 - moisture_pct) if moisture_pct < 100 else 0.0
        dry = max((d for f, d in self.min_dry_by_fdm if fdm >= f - _ROUNDING), default=None)
        checks = (
            (self.max_moisture_pct, -moisture_pct, -1),
            (self.min_fdm_pct, fdm, 1),
            (self.min_fat_pct, fat_pct, 1),
            (dry, 100 - moisture_pct, 1),
        )
        return all(
            limit is None or value >= sign * limit - _ROUNDING for limit, value, sign in checks
        )

    def words(self) -> str:
        """The standard and its limits in one line."""
        parts = []
        if self.max_moisture_pct is not None:
            parts.append(f"moisture at most {self.max_moisture_pct:g} %")
        if self.min_fdm_pct is not None:
            parts.append(f"FDM at least {self.min_fdm_pct:g} %")
        if self.min_fat_pct is not None:
            parts.append(f"fat at least {self.min_fat_pct:g} %")
        if self.min_dry_by_fdm:
            parts.append("dry matter by class of FDM")
        if self.age:
            parts.append(self.age)
        if self.ground == "from memory":
            parts.append("limits from memory")
        return f"{self.authority} {self.cheese} ({'; '.join(parts)})"


@overload
def standards_met(
    moisture_pct: float, fat_pct: float, standards: Sequence[Standard]
) -> list[Standard]: ...
@overload
def standards_met(
    moisture_pct: Floats, fat_pct: Numbers, standards: Sequence[Standard]
) -> list[list[Standard]]: ...
def standards_met(moisture_pct: Numbers, fat_pct: Numbers, standards: Sequence[Standard]) -> Any:
    """The standards whose limits of moisture and fat are kept, in their order.

    Age, milk and manner of making are asked for besides: each standard says so in words.
    Sources: 21 CFR 133; University of Guelph (Canada); Codex, as each standard names it. Over
    arrays a list of such lists.
    """

    def met(moisture: float, fat: float) -> list[Standard]:
        return [one for one in standards if one.met(moisture, fat)]

    return listed(met, moisture_pct, fat_pct)
