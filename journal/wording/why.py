"""Why a wheel is so, in words: one sentence a thing, for window, paper and command alike."""

from __future__ import annotations

import math

from journal.findings.grades import Graded
from journal.findings.literature import Literature, OwnFinding
from journal.findings.trade import EITHER, LESS, MORE, SAME, GradeRange, disagreements
from journal.findings.trade_values import ValueEstimate
from journal.findings.why import (
    ALONE,
    CHANGE,
    DOUBTFUL,
    KEEP,
    LIKELY,
    NOTE,
    PLAN,
    PUBLISHED,
    USUAL,
    NextTime,
    SuspectedCause,
    Why,
)
from journal.message import Message
from journal.wording.evidence import evidence_words
from journal.wording.letters import capital, small
from journal.wording.numbers import short
from journal.wording.sentences import word_of, worded
from journal.wording.shown import figure, unit_shown
from journal.wording.trade_words import (
    cause_words,
    disagreement_words,
    grade_words,
    name_words,
    published_effect_words,
    remedy_words,
    source_words,
    threshold_words,
    variable_question,
)

# Their sentences are said by `worded`.
FOOT, COMPOSED = "wording.why-foot", "wording.why-composed"
WRITE_DOWN = "wording.why-write-down"
_SHOWS_NOTHING = Message("wording.why-nothing-stands-out")
_HIGH = {
    LESS: "wording.why-was-low", MORE: "wording.why-was-high", EITHER: "wording.why-was-unusual",
}  # fmt: skip
_LONG = _HIGH | {LESS: "wording.why-was-short", MORE: "wording.why-was-long"}
_DIGITS = {"pH": 2, "°C": 1, "min": 0, "days": 0, "°C/min": 2, "g/L": 3, "ml/L": 3, "kg": 2,
           "% lactic": 3, "a week": 1, "mm": 1, "kPa": 1}  # fmt: skip
_TIMES = ("min", "days")


def title_words(found: Why) -> str:
    """The question: "Why was it bitter?"."""
    return worded("wording.why-was-it" if found.defect else "wording.why-was-anything",
                  defect=found.defect)  # fmt: skip


def whose_words(found: Why) -> str:
    """Whose it is: "HL-0027-A"."""
    return found.wheel or found.make


def named_words(found: Why) -> str:
    """That it failed, how often the defect was named, and with how many makes it is compared."""
    parts = [found.reason or worded("wording.why-failed")] if found.failed else []
    if found.defect:
        named = "wording.why-named" if found.samples else "wording.why-not-scored"
        times = found.named.get(found.defect, 0)
        parts.append(worded(named, named=times, samples=found.samples))
    compared = "wording.why-compared" if found.others else "wording.why-none-like-it"
    return " ".join([*parts, worded(compared, others=found.others)])


def why_verdict_words(found: Why) -> str:
    """What is found, in one sentence."""
    likely, doubtful = found.of(LIKELY), found.of(DOUBTFUL)
    names = [_name(one) for one in likely]
    if not found.defect:
        if likely:
            return worded("wording.why-unusual", names=names)
        return worded(
            "wording.why-nothing-else-unusual" if found.failed else "wording.why-nothing-unusual"
        )
    if likely:
        return worded("wording.why-look-first", names=names[:2])
    if doubtful:
        return worded("wording.why-small-things")
    return worded("wording.why-no-cause", defect=found.defect)


def cause_heading(one: SuspectedCause) -> str:
    """What was so: "pH at drain was low"."""
    name = _name(one)
    if one.here is None:
        return capital(name)
    if one.here.kind:
        return f"{capital(name)}: {one.here.kind}"
    if one.direction == EITHER:
        return worded(_way(one), name=name)
    words = _LONG if _unit(one) in _TIMES and "age" not in one.key else _HIGH
    return worded(words[one.direction], name=name)


def _way(one: SuspectedCause) -> str:
    words = _LONG if _unit(one) in _TIMES else _HIGH
    if one.usual is None or one.here is None or not math.isfinite(one.usual.middle):
        return words[EITHER]
    return words[MORE if one.here.value > one.usual.middle else LESS]


def _name(one: SuspectedCause) -> str:
    """What it is called: of a press by what was read, its pressure or its load."""
    read = None if one.read is None else one.read.variable
    is_press = read is not None and read.key in ("press_pressure", "press_load")
    return name_words(read.key if read is not None and is_press else one.key)


def _unit(one: SuspectedCause) -> str:
    return "" if one.read is None or one.read.variable is None else one.read.variable.unit


def measured_words(value: float, unit: str) -> str:
    """A value with its unit: "6.07", "2.48 %", "52 min", "38 °C" or "100.4 °F"."""
    number = _figure(value, unit)
    return number if unit == "pH" else f"{number} {unit_shown(unit)}".rstrip()


def _figure(value: float, unit: str) -> str:
    """A value without its unit; a pH has all its digits, and its variable's name says the rest."""
    if unit == "pH":
        return f"{value:.2f}"
    shown = figure(value, unit, _DIGITS.get(unit, 2))
    return short(shown.value, shown.digits)


def here_words(one: SuspectedCause) -> str:
    """What this make had; of an estimate with its range."""
    here = one.here
    if here is None:
        return worded("wording.evidence-not-known")
    if here.kind:
        return here.kind
    return _known_words(here, _unit(one))


def _known_words(here: ValueEstimate, unit: str) -> str:
    if here.low == here.high:
        return measured_words(here.value, unit)
    value, low, high = (
        short(figure(end, unit, 1).value, 1) for end in (here.value, here.low, here.high)
    )
    return worded("wording.why-about", value=value, low=low, high=high, unit=unit_shown(unit))


def usual_words(one: SuspectedCause) -> str:
    """What the kitchen's other makes had: "yours 6.18 to 6.35"."""
    usual = one.usual
    if usual is None:
        return ""
    if usual.kinds:
        return worded("wording.why-yours", kinds=usual.kinds[:3])
    low, high = _figure(usual.low, _unit(one)), _figure(usual.high, _unit(one))
    if low == high:
        return worded("wording.why-yours", kinds=[low])
    return worded("wording.why-yours-between", low=low, high=high)


def literature_words(one: SuspectedCause) -> str:
    """What the books say: which way brings it, of how many trials, for which kind of cheese."""
    row = one.rows[0]
    if not row.id:
        return ""
    several = Message("wording.why-trials", trials=one.trials)
    return worded(
        "wording.why-books" if one.fits == SAME else "wording.why-books-other-kind",
        cause=small(cause_words(row.id)),
        known=several if one.trials > 1 else word_of("wording.evidence-of-", row.evidence),
        family=row.family,
    )


def own_makes_words(own: OwnFinding | None) -> str:
    """What the journal's own makes say of the same: "Your makes: may matter, the same way."."""
    if own is None:
        return worded("wording.why-own-too-few")
    which = "wording.why-own"
    if own.says:
        which = "wording.why-own-same" if own.says == "same" else "wording.why-own-opposite"
    return worded(which, evidence=evidence_words(own.evidence))


def reason_words(one: SuspectedCause) -> str:
    """Why a cause is ruled out, or is weighed as it is: "as usual", "as planned"."""
    if one.departs <= -1.0:
        return worded("wording.why-other-way")
    if one.here is not None and one.here.kind and one.usual is not None:
        elsewhere = one.here.kind in one.usual.kinds
        return worded("wording.why-as-others" if elsewhere else "wording.why-not-so-here")
    return worded(_REASONS.get(one.reasons[0], "wording.why-nothing-of-yours"))


_REASONS = {
    USUAL: "wording.why-as-usual",
    PLAN: "wording.why-as-planned",
    PUBLISHED: "wording.why-inside-published",
}


def plan_words(one: SuspectedCause) -> str:
    """The plan's value beside the make's, where it settles one: "plan 6.29"."""
    if one.planned is None:
        return ""
    return worded("wording.why-plan", value=_figure(one.planned, _unit(one)))


def published_words(one: SuspectedCause) -> str:
    """The published range, where there is one: "published 5.1 to 5.4"."""
    found = one.published
    if found is None:
        return ""
    return worded("wording.why-published", span=_span(found.low, found.high, _unit(one)))


def _span(low: float | None, high: float | None, unit: str = "%") -> Message:
    """ "at most 5.4", "at least 5.1", "5.1 to 5.4"."""
    if low is None:
        return Message("wording.why-at-most", high=high or 0.0, unit=unit)
    if high is None:
        return Message("wording.why-at-least", low=low, unit=unit)
    return Message("findings.low-to-high", low=low, high=high, unit=unit)


def out_words(one: SuspectedCause) -> str:
    """A cause that this make rules out: "Salt in curd 2.48 %: as usual."."""
    name, here = _name(one), here_words(one)
    return worded("wording.why-ruled-out", name=name, here=here, reason=reason_words(one))


def open_words(one: SuspectedCause) -> str:
    """A cause of which nobody knows: what to ask."""
    if ALONE in one.reasons and one.here is not None:
        return worded("wording.why-alone", name=_name(one), here=here_words(one))
    return variable_question(one.variable)


def next_time_words(one: NextTime) -> str:
    """What to do next time, one sentence."""
    if one.do == NOTE:
        return variable_question(one.suspect.variable)
    remedy = small(remedy_words(one.suspect.rows[0].id))
    which = "wording.why-aim-remedy" if remedy else "wording.why-aim"
    which = {KEEP: "wording.why-keep", CHANGE: "wording.why-change"}.get(one.do, which)
    name, value = _name(one.suspect), measured_words(one.value, _unit(one.suspect))
    return worded(which, name=name, value=value, remedy=remedy)


def plan_button_words(found: Why) -> str:
    """What planning the next make does: "Plan it: salt in curd 2.5 %"; "" where there is nothing to
    plan or to write down."""
    if not found.next_time:
        return ""
    first = found.next_time[0]
    if first.do == NOTE:
        return worded("wording.why-plan-to-note")
    which = "wording.why-plan-to-keep" if first.do == KEEP else "wording.why-plan-it"
    value = measured_words(first.value, _unit(first.suspect))
    return worded(which, name=_name(first.suspect), value=value)


def note_words(found: Why) -> str:
    """What to write down next time, as the note of a plan."""
    asks = _asks(found)
    return worded("wording.why-to-write-down", asks=asks) if asks else ""


def _asks(found: Why) -> list[str]:
    return [next_time_words(one) for one in found.next_time if one.do == NOTE]


def nothing_words(found: Why) -> str:
    """In the place of a picture, where no cause stands out: what would tell more next time."""
    asks = _asks(found)
    which = "wording.why-write-down-next" if asks else "wording.why-note-what-else"
    return worded(which if found.defect else "wording.why-name-a-defect",
                  nothing=_SHOWS_NOTHING, asks=asks)  # fmt: skip


def disagree_words(found: Why) -> list[str]:
    """Where the books disagree about what departs here."""
    return [": ".join(disagreement_words(one)) for one in found.disagree]


def composition_words(one: Graded) -> str:
    """An estimate and what is published beside it, one sentence."""
    value, low, high = (short(end, 1) for end in (one.value, one.low80, one.high80))
    return worded(
        "wording.why-part-published" if one.ranges else "wording.why-part",
        name=word_of("wording.part-", one.name),
        value=value,
        low=low,
        high=high,
        published=[_grade(one, row) for row in one.ranges],
    )


def _grade(one: Graded, row: GradeRange) -> Message:
    is_value = row.low is not None and row.high is None and row.is_found
    span = short(row.low or 0.0) if is_value else _span(row.low, row.high)
    which = _BESIDE.get(one.beside(row), "wording.why-graded")
    return Message(which, span=span, grade=grade_words(row.row))


_BESIDE = {
    "below": "wording.why-graded-below",
    "above": "wording.why-graded-above",
    "inside": "wording.why-graded-inside",
}


def books_words(published: Literature, key: str) -> str:
    """What the books expect beside a finding of a variable: "The books expect the same (5 trials;
    cheddar-type).", or what they disagree about."""
    if published.says == "none":
        return worded("wording.why-books-nothing")
    trials = Message("wording.why-trials", trials=published.trials)
    known = trials if published.trials else Message("wording.why-no-trial")
    what: list[str] = []
    if published.says == "disagree":
        what = [small(title) for title, _ in _disputes(key)]
        which = "wording.why-books-disagree-on" if what else "wording.why-books-disagree"
    elif published.says == "open":
        table, expects, family = "wording.books-expect-", published.expects, published.family
        return word_of(table, expects, known=known, family=family)
    else:
        same = published.says == "same"
        which = "wording.why-books-same" if same else "wording.why-books-opposite"
    return worded(which, known=known, family=published.family, what=what)


def rows_words(published: Literature) -> str:
    """What each row of the books says, a line each."""
    return "\n".join(cause_words(row) or published_effect_words(row) for row in published.rows)


def dispute_words(key: str) -> str:
    """Where the books disagree about a variable, "" where they do not."""
    return "\n".join(f"{title}: {text}" for title, text in _disputes(key))


def _disputes(key: str) -> list[tuple[str, str]]:
    return [disagreement_words(one.id) for one in disagreements() if key in one.variables]


def causes_text(one: SuspectedCause) -> str:
    """Each row of a cause with its figure, what to do, and its source."""
    parts = []
    for row in one.rows:
        if not row.id:
            continue
        figure, remedy = threshold_words(row.id), small(remedy_words(row.id))
        which = "wording.why-cause-figure" if figure else "wording.why-cause"
        words = worded(which, cause=cause_words(row.id), figure=figure)
        if remedy:
            words = worded("wording.why-what-to-do", cause=words, remedy=remedy)
        parts.append(f"{words}\n{capital(row.evidence)}, {row.family}: {source_words(row.source)}")
    return "\n\n".join(parts)
