"""The numbers of a finding beside each other, and the notes under them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from journal.findings import (
    AGE_KEY,
    CLEAR,
    LEAST_MAKES,
    NEVER,
    UNKNOWN,
    Finding,
    FindingError,
    Scatter,
    ScoreTable,
    Study,
)
from journal.findings.answer import StudyAnswer
from journal.findings.curve import BestValue
from journal.findings.evidence import HARDLY, MOST_MORE
from journal.findings.predict import PredictionBase, predict
from journal.findings.residuals import MakeResidual
from journal.message import Message
from journal.records.dates import MONTH_DAYS
from journal.records.kinds import ATTRIBUTES
from journal.wording.findings import at_best
from journal.wording.letters import capital
from journal.wording.numbers import NOTHING, number, signed
from journal.wording.sentences import text_of, worded
from journal.wording.shown import unit_ahead
from journal.wording.variable_values import in_unit_shown, label_shown, step_words, value_words

FAR = 0.5  # of the span of the makes: a value further outside is not predicted
MANY = 120  # points of a picture: more are drawn small
SURE = "wording.effect-sure"
_DESIGNED = 10  # makes from which is said what only changes made on purpose can tell apart
SPREADS, RANGES = "findings.spreads", "findings.ranges-begin"  # notes with a place of their own


def chance(p: float) -> str:
    """A p or q: three decimals, never zero."""
    if not math.isfinite(p):
        return NOTHING
    if p < 0.001:
        return worded("wording.effect-p-under")
    return f"{p:.3f}" if p < 0.1 else f"{p:.2f}"


def typical_change(finding: Finding) -> str:
    """The typical change: "+10 min"."""
    if finding.step_label is not None:
        return text_of(finding.step_label)
    if not math.isfinite(finding.step):
        return ""
    return step_words(finding.step, finding.unit)


def effect_range_words(finding: Finding) -> str:
    """The effect with both ranges, for a reader that cannot see the bars."""
    if not math.isfinite(finding.effect):
        return worded("wording.effect-no-range")
    ends = (finding.effect, finding.low80, finding.high80, finding.low95, finding.high95)
    names = ("effect", "low80", "high80", "low95", "high95")
    return worded("wording.effect-ranges", **dict(zip(names, map(signed, ends), strict=True)))


def beside(finding: Finding) -> list[tuple[str, str, str]]:
    """The rows of the comparison: what, on its own, beside all others."""
    own = finding.evidence not in (NEVER, UNKNOWN)
    step = typical_change(finding) or Message("wording.effect-typical-change")
    effect, odds, partial = signed(finding.effect), finding.chance_positive, NOTHING
    joint = effect
    if math.isfinite(finding.low80):
        low, high = signed(finding.low80), signed(finding.high80)
        joint = worded("wording.effect-joint", effect=effect, low=low, high=high)
    if joint != NOTHING:
        partial = worded("wording.effect-partial", r=signed(finding.partial_r))
    return [
        (
            worded("wording.effect-step-gives", step=step),
            signed(finding.slope * finding.step) if own else NOTHING,
            joint,
        ),
        (
            worded("wording.effect-correlation"),
            f"ρ {signed(finding.rho)}" if own else NOTHING,
            partial,
        ),
        (
            worded("wording.effect-how-sure"),
            f"p {chance(finding.p)}, q {chance(finding.q)}" if own else NOTHING,
            worded("wording.effect-raises", chance=_percent(odds)) if odds == odds else NOTHING,
        ),
    ]


def settle_words(finding: Finding, *, shortly: bool = False) -> str:
    """Where it is best, how many more makes would settle it, and what it changed together with;
    `shortly` where what is clear is listed below."""
    parts = []
    if finding.best is not None:
        parts.append(worded("wording.effect-best", best=best_words(finding)))
    if finding.moved_with:
        parts.append(worded("wording.effect-moved-with", names=finding.moved_with))
    if finding.evidence == UNKNOWN:
        at = finding.known and finding.unit
        known = "wording.effect-known-at" if at else "wording.effect-known"
        value = only_value_words(finding)
        parts.append(worded(known, known=finding.known_of, value=value))
    elif finding.evidence == HARDLY:
        parts.append(worded("wording.effect-hardly"))
    elif finding.evidence == NEVER:
        parts.append(_never_words(finding))
    elif finding.makes_to_settle is not None:
        parts.append(_settled_words(finding, finding.makes_to_settle))
    elif finding.evidence == CLEAR:
        parts.append(worded("wording.effect-clear" if shortly else SURE))
    elif math.isfinite(finding.low95):
        parts.append(worded("wording.effect-too-small"))
    return " ".join(parts)


def _never_words(finding: Finding) -> str:
    if finding.makes:
        which = "wording.effect-never-always-in" if finding.unit else "wording.effect-never-in"
    else:
        which = "wording.effect-never-always" if finding.unit else "wording.effect-never"
    return worded(which, known=finding.known_of, value=only_value_words(finding))


def _settled_words(finding: Finding, more: int) -> str:
    """How many more makes would settle it, and how few and how many it may be, 4 times in 5."""
    low, high = finding.makes_to_settle_low, finding.makes_to_settle_high
    makes = "wording.effect-makes-or-more" if more >= MOST_MORE else "wording.effect-about-makes"
    which, most = "wording.effect-settles", Message("wording.or-more", count=high)
    if low is not None and high is not None and low != high:
        which = "wording.effect-settles-between"
    return worded(
        which,
        makes=Message(makes, more=more),
        low=low,
        most=most if high is not None and high >= MOST_MORE else f"{high or 0:,}",
    )


def best_words(finding: Finding) -> str:
    """Where a curve is best: "best near 1.8 % (1.6 to 2.0)"; "" where there is no such value."""
    return "" if finding.best is None else best_range_words(finding.best, finding.unit)


def best_range_words(best: BestValue, unit: str) -> str:
    """A best value with its range: "best near 1.8 % (1.6 to 2.0)"."""
    ends = {"value": best.value, "low": best.low80, "high": best.high80}
    return worded("wording.effect-best-near", **ends, unit=unit)


def only_value_words(finding: Finding) -> str:
    """The only value a variable had, with its unit."""
    return f"{unit_ahead(finding.unit)}{value_words(finding.always, finding.unit, '3g')}"


def looked_words(answer: StudyAnswer) -> str:
    """How many wheels, makes, assessors and variables were looked at."""
    study = answer.study
    parts = [Message("wording.study-wheels", wheels=study.wheels, makes=study.makes)]
    if study.assessors is not None:
        parts.append(Message("wording.study-assessors", assessors=study.assessors))
    first, last = (day / MONTH_DAYS for day in answer.ages())
    if math.isfinite(first):
        ages = "wording.study-month" if round(first) == round(last) else "wording.study-months"
        parts.append(Message(ages, first=first, last=round(last)))
    return worded("wording.study-looked", parts=parts, variables=study.variables_tried)


def footnotes(answer: StudyAnswer) -> list[str]:
    """What holds for the whole table."""
    study = answer.study
    notes = []
    if study.makes >= LEAST_MAKES and study.joint is not None:
        notes.append(worded("wording.study-thick-thin"))
    if study.makes >= _DESIGNED and study.joint is not None and answer.makes:
        notes.append(worded("wording.study-only-designed"))
    names = [v.name for v in answer.table.variables]
    for note in study.notes:
        elsewhere = _is_about(note, names) or note.id in (RANGES, SPREADS)
        if not elsewhere:
            notes.append(capital(text_of(note)))
    return [note for note in notes if note]


def residual_words(answer: StudyAnswer) -> str:
    """Which makes lie far off what their variables say, and what the answer is without them."""
    study = answer.study
    if not study.residuals:
        return worded("wording.study-no-residuals")
    far = [one for one in study.residuals if one.is_far]
    if not far:
        return worded("wording.study-none-far")
    return " ".join(weight_words(study, one, answer.table) for one in far)


def weight_words(study: Study, one: MakeResidual, table: ScoreTable) -> str:
    """One make that lies far off, and what it weighs."""
    off = "wording.study-make-above" if one.off > 0 else "wording.study-make-below"
    lies = Message(off, make=one.make, points=abs(one.off))
    if study.entries is None or not one.weighs:
        return worded("wording.study-weighs-little", lies=lies)
    member = study.entries.entries[one.entry].members[0]
    finding = study.finding(table.variables[member].key)
    if not math.isfinite(finding.effect):
        return worded("wording.study-weighs-little", lies=lies)
    index, _ = study.entries.of(member) or (0, 1)
    assert study.joint is not None
    whole = float(study.joint.mean[1 + index])
    share = one.moves / whole if abs(whole) > 1e-9 else 0.0
    without = finding.effect * (1 + share) if share else finding.effect
    return worded(
        "wording.study-weighs",
        lies=lies,
        variable=finding.variable,
        step=typical_change(finding),
        without=signed(without, 1),
        effect=signed(finding.effect, 1),
    )


def fit_notes(answer: StudyAnswer) -> list[str]:
    """What so many makes could show at best, and what the fit of all is worth, for those who ask
    for numbers."""
    study = answer.study
    notes = [at_best(study.makes, study.variables_tried)]
    if math.isfinite(study.r2):
        notes.append(_fit_words(study.r2, study.r2_left_one_out))
    return [note for note in notes if note]


def _fit_words(r2: float, left_out: float) -> str:
    """What a fit of all variables is worth on the makes it has, and on new ones."""
    fits = "wording.study-fit-good" if r2 >= 0.5 else "wording.study-fit-little"
    worse = "wording.study-predicts-worse" if left_out <= 0 else "wording.study-left-out-in-turn"
    return worded(worse, fit=Message(fits, r2=r2), left_out=number(left_out, 2))


def number_notes(answer: StudyAnswer, finding: Finding) -> str:
    """What stands under the numbers of a variable: its own notes, then those of the whole fit."""
    names = [v.name for v in answer.table.variables]
    own = [n for n in answer.study.notes if _is_about(n, names) == finding.variable]
    own += [note for note in answer.study.notes if note.id == SPREADS]
    words = " ".join(capital(text_of(note)) for note in own)
    return "\n".join(part for part in (words, *fit_notes(answer)) if part)


def _is_about(note: Message, names: list[str]) -> str:
    """The one variable a note is about, "" where it is about several or the whole table."""
    name = note.values.get("variable", "")
    return name if name in names else ""


def _percent(share: float) -> str:
    if share > 0.995:
        return worded("wording.effect-over-99")
    return f"{100 * share:.0f} %" if share >= 0.005 else worded("wording.effect-under-1")


def prediction_text(answer: StudyAnswer, finding: Finding, value: float) -> tuple[str, str]:
    """The score a value of the variable would give (for a defect: in how many samples it is named),
    and what to bear in mind.

    Raises
    ------
    FindingError
        When nothing can be predicted.
    """
    _check_near(answer, finding, value)
    ground = PredictionBase.of(answer.table, answer.newest)
    predicted = predict(answer.table, answer.study, ground, {finding.key: value})
    score, low80, high80 = (
        _on_scale(answer, v) for v in (predicted.score, predicted.low80, predicted.high80)
    )
    against = [predicted.against, predicted.against_low80, predicted.against_high80]
    change, low, high = (signed(one, 0 if answer.is_defect else 1) for one in against)
    text = worded(
        "wording.effect-predicts-defect" if answer.is_defect else "wording.effect-predicts",
        newest=answer.newest,
        name=answer.table.score_name,
        score=score,
        low80=low80,
        high80=high80,
        change=change,
        low=low,
        high=high,
    )
    with_age = finding.key == AGE_KEY
    more = [worded("wording.effect-beyond")] if predicted.outside else []
    more.append(worded("wording.effect-random" if with_age else "wording.effect-random-at-age"))
    return text, " ".join(more)


def _check_near(answer: StudyAnswer, finding: Finding, value: float) -> None:
    """Refuse a value further from all makes than these are from each other."""
    column = answer.table.x[:, answer.table.position(finding.variable)]
    known = column[np.isfinite(column)]
    low, high = float(known.min()), float(known.max())
    room = FAR * (high - low)
    if high > low and not low - room <= value <= high + room:
        raise FindingError(
            "wording.effect-too-far",
            known=finding.known_of,
            variable=finding.variable,
            low=low,
            high=high,
            unit=finding.unit,
            value=value,
        )


def _on_scale(answer: StudyAnswer, value: float) -> float:
    """A score as it can be given: the attributes' scale goes from 0 to 10."""
    return min(max(value, 0.0), 10.0) if answer.study.score in ATTRIBUTES else value


def scatter_shown(seen: Scatter) -> Scatter:
    """A picture with its variable in the unit it is shown in."""
    unit, best = seen.unit, seen.best
    if best is not None:
        ends = (in_unit_shown(end, unit) for end in (best.value, best.low80, best.high80))
        best = BestValue(*ends)
    x, line_x = in_unit_shown(seen.x, unit), in_unit_shown(seen.line_x, unit)
    return replace(seen, unit=label_shown(unit), x=x, line_x=line_x, best=best)


def axis_words(seen: Scatter, is_defect: bool) -> str:
    """What the vertical axis of the picture shows."""
    if is_defect:
        of_samples = "wording.axis-samples-line" if seen.line_x.size else "wording.axis-samples"
        return worded(of_samples, score=seen.score)
    equal = "wording.axis-score-equal" if seen.line_x.size else "wording.axis-score"
    return worded(equal, score=seen.score)


def scatter_words(seen: Scatter) -> str:
    if not seen.x.size:
        return worded("wording.nothing-to-show")
    points = seen.x.size
    parts = [worded("wording.scatter", points=points, variable=seen.variable, score=seen.score)]
    if seen.line_y.size:
        parts.append(worded("wording.scatter-line", first=seen.line_y[0], last=seen.line_y[-1]))
    if seen.best is not None:
        parts.append(best_range_words(seen.best, seen.unit))
    return "; ".join(parts)
