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
from journal.message import Message
from journal.wording.evidence import evidence_words
from journal.wording.letters import capital
from journal.wording.numbers import signed
from journal.wording.sentences import text_if_any, text_of, worded
from journal.wording.series import change_words, make_words
from journal.wording.series_kinds import alias_words
from journal.wording.shown import unit_behind
from journal.wording.variable_values import figure_words, label_shown

_NTH = {
    1: "wording.series-second",
    2: "wording.series-third",
    3: "wording.series-fourth",
    4: "wording.series-fifth",
    5: "wording.series-sixth",
    6: "wording.series-seventh",
    7: "wording.series-eighth",
}
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
    count, made = len(full_series.makes), full_series.made
    if full_series.next is None:
        return worded("wording.series-all-made", count=count)
    return worded(
        "wording.series-made" if made else "wording.series-none-made",
        made=made,
        count=count,
        make=make_words(full_series, full_series.next),
        values=change_words(full_series.series.variables, full_series.next.one.wanted),
    )


def wanted_words(factors: Sequence[Factor], wanted: Sequence[float]) -> tuple[str, ...]:
    """The values of a make, bare, in the columns of its factors."""
    pairs = zip(factors, wanted, strict=True)
    return tuple(figure_words(value, factor.unit) for factor, value in pairs)


def set_rows(
    full_series: SeriesWithMakes, planned: Design, answer: SeriesAnswer | None
) -> list[SeriesMakeRow]:
    """The makes as rows."""
    out = []
    for i, one in enumerate(full_series.makes):
        score = answer.score[i] if answer is not None else math.nan
        out.append(
            SeriesMakeRow(
                f"{i + 1}",
                f"{one.one.block + 1}",
                wanted_words(planned.factors, one.one.wanted),
                _became(full_series, one),
                f"{score:.1f}" if math.isfinite(score) else "",
                one.make.id if one.make is not None else None,
                i,
            )
        )
    return out


def _became(full_series: SeriesWithMakes, one: SeriesMakeState) -> str:
    if one.make is None:
        is_next = one is full_series.next
        return worded("wording.series-next" if is_next else "wording.series-to-be-made")
    if one.make.failed:
        return worded("wording.series-failed", code=one.make.code)
    if one.make.finished_ms is None:
        return worded("wording.series-in-the-vat", code=one.make.code)
    return one.make.code


def series_headline(answer: SeriesAnswer, score: str) -> str:
    """What the series says, in a sentence."""
    if not answer.scored:
        return worded("wording.series-no-score")
    if not answer.effects:
        return text_if_any(answer.why)
    clear, lean = (
        [e.factor for e in answer.effects if e.evidence == word] for word in (CLEAR, LEANING)
    )
    what = Message("wording.series-the-score") if score == "overall" else score
    if clear:
        return capital(worded("wording.series-clear", names=clear, count=len(clear), what=what))
    if lean:
        return capital(worded("wording.series-may-matter", names=lean))
    return worded("wording.series-tells-nothing", scored=answer.scored)


def series_effect_words(effect: SeriesEffect, factor: Factor) -> str:
    """What one variable did."""
    chance = effect.chance_positive
    parts = [
        worded(
            "wording.series-effect",
            variable=factor.name,
            step=format_step(factor),
            effect=signed(effect.effect, 1),
            low=signed(effect.low80, 1),
            high=signed(effect.high80, 1),
            evidence=evidence_words(effect.evidence),
        )
    ]
    if chance == chance:
        parts.append(worded("wording.series-chance", chance=100 * chance))
    return " ".join(parts)


def all_makes_words(whole: AllMakes | None) -> str:
    """What all makes of the journal say of the same change, those of the series among them."""
    if whole is None:
        return ""
    effect, low, high = (signed(end, 1) for end in (whole.effect, whole.low80, whole.high80))
    return worded("wording.series-over-all", makes=whole.makes, effect=effect, low=low, high=high)


def all_together_words(factors: Sequence[Factor], every: Sequence[AllMakes | None]) -> list[str]:
    """The same of many variables in one sentence; their own effects stand in the picture."""
    parts = [
        Message(
            "wording.series-of-all",
            variable=f.name,
            effect=signed(one.effect, 1),
            low=signed(one.low80, 1),
            high=signed(one.high80, 1),
        )
        for f, one in zip(factors, every, strict=True)
        if one is not None
    ]
    return [worded("wording.series-over-all-each", parts=parts)] if parts else []


def fit_words(fit: LackOfFit | None) -> list[str]:
    """How far makes made alike differ, and whether straight lines are enough."""
    if fit is None:
        return []
    out = [worded("wording.series-made-alike", sd=fit.pure_sd)]
    if math.isfinite(fit.bend_p) and fit.bend_p < _LIKELY:
        bend = "wording.series-bends-up" if fit.bend > 0 else "wording.series-bends-down"
        out.append(worded(bend, points=abs(fit.bend), chance=_in_100(fit.bend_p)))
    elif math.isfinite(fit.p):
        lacks = "wording.series-lack-of-fit" if fit.p < _LIKELY else "wording.series-fits"
        out.append(worded(lacks, chance=_in_100(fit.p), p=fit.p))
    return [" ".join(out)]


def _in_100(p: float) -> Message:
    if p < 0.01:
        return Message("wording.series-hardly-by-chance")
    return Message("wording.series-by-chance", chance=100 * p)


def format_step(factor: Factor) -> str:
    """From low to high: "2.1 to 2.9 %"."""
    return f"{low_to_high(factor)}{unit_behind(label_shown(factor.unit))}"


def low_to_high(factor: Factor) -> str:
    """From low to high without the unit, which stands in the picture: "2.1 to 2.9"."""
    return text_of(factor.ends)


def means_words(means: Sequence[Means]) -> list[str]:
    """The plain means, where there is no range yet."""
    return [
        worded(
            "wording.series-means",
            variable=m.factor,
            low=Message("wording.series-mean", value=m.low, makes=m.lows),
            high=Message("wording.series-mean", value=m.high, makes=m.highs),
        )
        for m in means
        if m.lows and m.highs
    ]


def notes(full_series: SeriesWithMakes, planned: Design, answer: SeriesAnswer) -> list[str]:
    """What to keep in mind."""
    out = []
    if not answer.scored:
        out.append(worded("wording.series-when-scored", least=LEAST_MAKES))
    if answer.effects:
        every = answer.together or (None,) * len(answer.effects)
        rows = zip(answer.effects, planned.factors, every, strict=True)
        if len(answer.effects) <= _EACH_IN_WORDS:
            out += [" ".join(filter(None, (series_effect_words(e, f), all_makes_words(whole))))
                    for e, f, whole in rows]  # fmt: skip
        else:
            out += all_together_words(planned.factors, every)
        out += fit_words(answer.fit)
        out += alias_words(planned, shortly=True)
    elif answer.scored:
        out += means_words(answer.means)
    out += series_season_words(planned, answer)
    if answer.age_out:
        out.append(worded("wording.series-age-out"))
    out += off_plan(full_series, planned, answer)
    out += series_left_words(full_series, answer)
    return [capital(note) for note in out]


def series_season_words(planned: Design, answer: SeriesAnswer) -> list[str]:
    """What the milk's seasons did."""
    if len(planned.parts) < 2 or not answer.scored:
        return []
    known = [math.isfinite(level) for level in answer.seasons]
    if not answer.effects:
        return []
    if sum(known) < 2:
        return [worded("wording.series-one-season")]
    parts = []
    for i, level in enumerate(answer.seasons[1:], 1):
        if not math.isfinite(level):
            continue
        nth = Message(_NTH.get(i, "wording.series-nth"), number=i + 1)
        which = "wording.series-season-like-first"
        if abs(level) >= _SAME:
            higher = level > 0
            which = "wording.series-season-higher" if higher else "wording.series-season-lower"
        parts.append(Message(which, nth=nth, points=abs(level)))
    return [worded("wording.series-seasons", parts=parts)]


def off_plan(full_series: SeriesWithMakes, planned: Design, answer: SeriesAnswer) -> list[str]:
    """Makes that were made otherwise than planned: what was made counts."""
    out = []
    for i, j in answer.off:
        made = full_series.makes[i].make
        factor = planned.factors[j]
        if made is None:
            continue
        out.append(
            worded(
                "wording.series-made-otherwise",
                code=made.code,
                variable=factor.name,
                value=answer.real[i, j],
                wanted=full_series.makes[i].one.wanted[j],
                unit=factor.unit,
            )
        )
    return out


def series_left_words(full_series: SeriesWithMakes, answer: SeriesAnswer) -> list[str]:
    """What is still to make, and what has no score yet."""
    left, waits = len(full_series.makes) - full_series.made, full_series.made - answer.scored
    out = []
    if waits > 0:
        out.append(worded("wording.series-waiting", makes=waits))
    if left:
        out.append(worded("wording.series-left", makes=left))
    if len(full_series.makes) < LEAST_MAKES:
        out.append(worded("wording.series-small", makes=len(full_series.makes)))
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


def series_scatter_words(planned: Design, answer: SeriesAnswer) -> str:
    if not answer.scored:
        return worded("wording.nothing-to-show")
    seasons = len(planned.parts) > 1
    which = "wording.series-scatter-seasons" if seasons else "wording.series-scatter"
    return worded(which, scored=answer.scored, names=[f.name for f in planned.factors])
