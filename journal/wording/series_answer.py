"""A series in words: what is made, what is still to make, and what it says so far."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from journal.findings import CLEAR, LEANING, Finding
from journal.findings.evidence import LEAST_MAKES
from journal.findings.lack_of_fit import LackOfFit
from journal.findings.series import Design, Factor
from journal.findings.series_answer import AllMakes, Means, SeriesAnswer, SeriesEffect
from journal.keeping.series import SeriesMakeState, SeriesWithMakes
from journal.wording import text_of
from journal.wording.counts import counted, listed
from journal.wording.evidence import evidence_words
from journal.wording.letters import capital
from journal.wording.numbers import short, signed
from journal.wording.series import change_words, make_words
from journal.wording.series_kinds import alias_words

_NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
_EACH_IN_WORDS = 3  # variables; of more, the picture says what each did
_LIKELY = 0.05  # a lack of fit this unlikely by chance is told
_SAME = 0.05  # points: seasons nearer than this are called alike


@dataclass(frozen=True)
class SeriesMakeRow:
    """One make: its number, its season, its values in words, and what became of it."""

    number: str
    season: str
    values: tuple[str, ...]
    became: str = ""
    score: str = ""
    make_id: int | None = None
    position: int = 0


def state_words(full_series: SeriesWithMakes) -> str:
    """How far the series is, and what is next."""
    count = len(full_series.makes)
    if full_series.next is None:
        return f"All {count} makes are made."
    done = "None" if not full_series.made else f"{full_series.made}"
    verb = "is" if full_series.made <= 1 else "are"
    values = change_words(full_series.series.variables, full_series.next.one.wanted)
    called = make_words(full_series, full_series.next)
    return f"{done} of the {count} makes {verb} made. Next, {called}: {values}."


def set_rows(full_series: SeriesWithMakes, answer: SeriesAnswer | None) -> list[SeriesMakeRow]:
    """The makes as rows."""
    out = []
    for i, one in enumerate(full_series.makes):
        score = answer.score[i] if answer is not None else math.nan
        out.append(
            SeriesMakeRow(
                f"{i + 1}",
                f"{one.one.block + 1}",
                tuple(short(v) for v in one.one.wanted),
                _became(full_series, one),
                f"{score:.1f}" if math.isfinite(score) else "",
                one.make.id if one.make is not None else None,
                i,
            )
        )
    return out


def _became(full_series: SeriesWithMakes, one: SeriesMakeState) -> str:
    if one.make is None:
        return "next" if one is full_series.next else "to be made"
    if one.make.failed:
        return f"{one.make.code} failed: make it again"
    return one.make.code if one.make.finished_ms is not None else f"{one.make.code}, in the vat"


def headline(answer: SeriesAnswer, score: str) -> str:
    """What the series says, in a sentence."""
    if not answer.scored:
        return "No make of the series has a score yet."
    if not answer.effects:
        return "" if answer.why is None else text_of(answer.why)
    clear, lean = (
        [e.factor for e in answer.effects if e.evidence == word] for word in (CLEAR, LEANING)
    )
    what = "the score" if score == "overall" else score
    if clear:
        verb = "makes" if len(clear) == 1 else "make"
        return capital(f"{listed(clear)} {verb} a clear difference to {what}.")
    if lean:
        return capital(f"{listed(lean)} may matter; nothing is clear yet.")
    return f"{counted(answer.scored, 'make')} cannot tell any effect from chance yet."


def effect_words(effect: SeriesEffect, factor: Factor) -> str:
    """What one variable did."""
    chance = effect.chance_positive
    odds = (
        f" The chance that it raises the score is {100 * chance:.0f} in 100."
        if chance == chance
        else ""
    )
    return (
        f"{factor.name} from {format_step(factor)}: {signed(effect.effect, 1)} points, 8 times "
        f"in 10 between {signed(effect.low80, 1)} and {signed(effect.high80, 1)}; "
        f"{evidence_words(effect.evidence)}.{odds}"
    )


def together_words(whole: AllMakes | None) -> str:
    """What all makes of the journal say of the same change, those of the series among them."""
    if whole is None:
        return ""
    return (
        f" Over all {counted(whole.makes, 'make')} of the journal that know it, it is "
        f"{signed(whole.effect, 1)}, between {signed(whole.low80, 1)} and "
        f"{signed(whole.high80, 1)}."
    )


def all_together_words(factors: Sequence[Factor], every: Sequence[AllMakes | None]) -> list[str]:
    """The same of many variables in one sentence; their own effects stand in the picture."""
    parts = [
        f"{f.name} {signed(one.effect, 1)} ({signed(one.low80, 1)} to {signed(one.high80, 1)})"
        for f, one in zip(factors, every, strict=True)
        if one is not None
    ]
    return [f"Over all makes of the journal, those of the series among them: {'; '.join(parts)}."
            ] if parts else []  # fmt: skip


def fit_words(fit: LackOfFit | None) -> list[str]:
    """How far makes made alike differ, and whether straight lines are enough."""
    if fit is None:
        return []
    out = [f"Makes made alike differ by about ±{fit.pure_sd:.1f} points."]
    if math.isfinite(fit.bend_p) and fit.bend_p < _LIKELY:
        side = "higher" if fit.bend > 0 else "lower"
        out.append(
            f"The makes in the middle scored {abs(fit.bend):.1f} points {side} than the ends say "
            f"(by chance alone {_in_100(fit.bend_p)}): something has its "
            f"{'best' if fit.bend > 0 else 'worst'} value between low and high. Straight lines are "
            "not enough."
        )
    elif math.isfinite(fit.p) and fit.p < _LIKELY:
        out.append(
            "What is left is more than makes made alike differ (lack of fit; by chance alone "
            f"{_in_100(fit.p)}): something bends, or two act together."
        )
    elif math.isfinite(fit.p):
        out.append(
            "Straight lines fit as well as makes made alike agree: no lack of fit is seen "
            f"(p = {fit.p:.2f})."
        )
    return [" ".join(out)]


def _in_100(p: float) -> str:
    return "in less than 1 of 100 series" if p < 0.01 else f"in {100 * p:.0f} of 100 series"


def format_step(factor: Factor) -> str:
    """From low to high: "2.1 to 2.9 %"."""
    unit = f" {factor.unit}" if factor.unit and factor.unit != "pH" else ""
    return f"{ends_words(factor)}{unit}"


def ends_words(factor: Factor) -> str:
    """From low to high without the unit, which stands in the picture: "2.1 to 2.9"."""
    return text_of(factor.ends)


def means_words(means: Sequence[Means]) -> list[str]:
    """The plain means, where there is no range yet."""
    return [
        f"{m.factor}: {_mean(m.low, m.lows)} at the low value, "
        f"{_mean(m.high, m.highs)} at the high one."
        for m in means
        if m.lows and m.highs
    ]


def notes(full_series: SeriesWithMakes, planned: Design, answer: SeriesAnswer) -> list[str]:
    """What to keep in mind."""
    out = []
    if not answer.scored:
        out.append(
            "When its wheels have scores, each variable's effect appears here with its range; "
            f"ranges need at least {LEAST_MAKES} makes."
        )
    if answer.effects:
        every = answer.together or (None,) * len(answer.effects)
        rows = zip(answer.effects, planned.factors, every, strict=True)
        if len(answer.effects) <= _EACH_IN_WORDS:
            out += [effect_words(e, f) + together_words(whole) for e, f, whole in rows]
        else:
            out += all_together_words(planned.factors, every)
        out += fit_words(answer.fit)
        out += alias_words(planned, shortly=True)
    elif answer.scored:
        out += means_words(answer.means)
    out += season_words(planned, answer)
    if answer.age_out:
        out.append("The wheels were tasted at ages over two weeks apart: age is taken out too.")
    out += off_words(full_series, planned, answer)
    out += left_words(full_series, answer)
    return [capital(note) for note in out]


def season_words(planned: Design, answer: SeriesAnswer) -> list[str]:
    """What the milk's seasons did."""
    if len(planned.parts) < 2 or not answer.scored:
        return []
    known = [math.isfinite(level) for level in answer.seasons]
    if not answer.effects:
        return []
    if sum(known) < 2:
        return ["Only one season of milk has scores yet, so nothing can be said about seasons."]
    parts = []
    for i, level in enumerate(answer.seasons[1:], 1):
        if not math.isfinite(level):
            continue
        name = _NTH[i] if i < len(_NTH) else f"{i + 1}th"
        if abs(level) < _SAME:
            parts.append(f"the {name} season of milk scored like the first")
        else:
            way = "higher" if level > 0 else "lower"
            parts.append(
                f"the {name} season of milk scored about {abs(level):.1f} points {way} than the "
                "first"
            )
    return [f"{'; '.join(parts)}: the seasons are taken out of the effects."]


def off_words(full_series: SeriesWithMakes, planned: Design, answer: SeriesAnswer) -> list[str]:
    """Makes that were made otherwise than planned: what was made counts."""
    out = []
    for i, j in answer.off:
        made = full_series.makes[i].make
        factor = planned.factors[j]
        if made is None:
            continue
        unit = f" {factor.unit}" if factor.unit and factor.unit != "pH" else ""
        out.append(
            f"{made.code} was made with {factor.name} {answer.real[i, j]:.3g} instead of "
            f"{short(full_series.makes[i].one.wanted[j])}{unit}: what was made counts."
        )
    return out


def left_words(full_series: SeriesWithMakes, answer: SeriesAnswer) -> list[str]:
    """What is still to make, and what has no score yet."""
    left, waits = len(full_series.makes) - full_series.made, full_series.made - answer.scored
    out = []
    if waits > 0:
        out.append(f"{counted(waits, 'make')} {'has' if waits == 1 else 'have'} no score yet.")
    if left:
        out.append(f"{counted(left, 'make')} {'is' if left == 1 else 'are'} still to be made.")
    if len(full_series.makes) < LEAST_MAKES:
        out.append(f"A series of {len(full_series.makes)} gives a picture, but no range.")
    return out


def as_findings(planned: Design, answer: SeriesAnswer, keys: Sequence[str]) -> list[Finding]:
    """The effects as rows of the table of dots and ranges."""
    nan = math.nan
    out = []
    for effect, factor, key in zip(answer.effects, planned.factors, keys, strict=False):
        out.append(
            Finding(
                variable=factor.name, key=key, step=factor.high - factor.low, unit=factor.unit,
                step_label=factor.ends, effect=effect.effect, low80=effect.low80,
                high80=effect.high80, low95=effect.low95, high95=effect.high95,
                chance_positive=effect.chance_positive, ols_effect=nan, slope=nan, rho=nan, p=nan,
                q=nan, partial_r=nan, evidence=effect.evidence, moved_with=[], makes_to_settle=None,
            )
        )  # fmt: skip
    return out


def _mean(value: float, count: int) -> str:
    return f"{value:.1f} ({counted(count, 'make')})"


def scatter_words(planned: Design, answer: SeriesAnswer) -> str:
    if not answer.scored:
        return "nothing to show yet"
    names = " and ".join(f.name for f in planned.factors)
    marks = "; filled marks are the first season" if len(planned.parts) > 1 else ""
    return f"{answer.scored} scores against {names}{marks}"
