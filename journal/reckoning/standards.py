"""Which named standards of identity a cheese's moisture and fat meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, overload

from journal.reckoning.bounds import Floats, Numbers, listed
from journal.reckoning.composition import CODEX_A6, firmness

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Standard:
    """The limits of one named cheese: None where there is none.

    `min_dry_by_fdm` is the least dry matter by class of FDM, (FDM from, dry matter %) ascending.
    `age` and `made` say in words what age and making the name asks for (the making: common
    practice), `ground` how well the figures are known.
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
    made: str = ""

    def met(self, moisture_pct: float, fat_pct: float) -> bool:
        """Whether moisture and fat keep within the limits; age and milk are not looked at."""
        fdm = _fdm(moisture_pct, fat_pct)
        dry = self._least_dry_pct(fdm)
        checks = (
            (self.max_moisture_pct, -moisture_pct, -1),
            (self.min_fdm_pct, fdm, 1),
            (self.min_fat_pct, fat_pct, 1),
            (dry, 100 - moisture_pct, 1),
        )
        return all(
            limit is None or value >= sign * limit - _ROUNDING for limit, value, sign in checks
        )

    def as_firm(self, moisture_pct: float, fat_pct: float) -> bool:
        """Whether the cheese is about as firm as the name promises.

        It shares a class of firmness (Codex A-6) with a cheese of its fat at the limit of moisture;
        a name without such a limit is of soft cheese.
        """
        return bool(_classes(moisture_pct, fat_pct) & self._classes(_fdm(moisture_pct, fat_pct)))

    def may_be_called(self, moisture_pct: float, fat_pct: float) -> bool:
        """Whether a cheese of which only moisture and fat are known could have the name.

        That is, `as_firm`, and either nothing special about the making, or a soft cheese, which
        has one of a few makings.
        """
        plain = not self.made or "soft" in _classes(moisture_pct, fat_pct)
        return plain and self.as_firm(moisture_pct, fat_pct)

    def is_called(self, name: str) -> bool:
        """Whether a name in plain words ("cheddar", "swiss") is this one's."""
        return all(word in self.cheese.lower() for word in name.lower().split())

    def _least_dry_pct(self, fdm: float) -> float | None:
        return max((d for f, d in self.min_dry_by_fdm if fdm >= f - _ROUNDING), default=None)

    def _classes(self, fdm: float) -> set[str]:
        dry, most = self._least_dry_pct(fdm), self.max_moisture_pct
        if most is None and dry is None:
            return {"soft"}
        moisture = 100 - dry if most is None and dry is not None else float(most or 0.0)
        return _classes(moisture, fdm * (100 - moisture) / 100)


def _fdm(moisture_pct: float, fat_pct: float) -> float:
    return 100 * fat_pct / (100 - moisture_pct) if moisture_pct < 100 else 0.0


def _classes(moisture_pct: float, fat_pct: float) -> set[str]:
    mnfs = min(100 * moisture_pct / (100 - fat_pct), 100.0) if fat_pct < 100 else 0.0
    return {name for name, wording in firmness(mnfs) if wording == CODEX_A6}


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
