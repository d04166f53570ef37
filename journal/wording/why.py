"""Why a wheel is so, in words: one sentence a thing, for window, paper and command alike."""

from __future__ import annotations

import math

from journal.findings.books import Books, Own
from journal.findings.trade import EITHER, LESS, MORE, SAME, disagreements
from journal.findings.trade_values import Known
from journal.findings.why import (
    ALONE,
    DOUBTFUL,
    LIKELY,
    OPEN,
    OUT,
    PLAN,
    PUBLISHED,
    USUAL,
    NextTime,
    Suspect,
    Usual,
    Why,
)
from journal.wording.counts import counted, listed
from journal.wording.letters import capital, small
from journal.wording.numbers import short
from journal.wording.trade_words import (
    cause_words,
    disagreement_words,
    name_words,
    question,
    remedy_words,
    source_words,
)

FOOT = (
    "What the books say moves no number of yours; it is shown beside them, with the kind of "
    "cheese and how many trials there were."
)
_HIGH = {LESS: "low", MORE: "high", EITHER: "not as usual"}
_LONG = {LESS: "short", MORE: "long", EITHER: "not as usual"}
_DIGITS = {"pH": 2, "°C": 1, "min": 0, "days": 0, "°C/min": 2, "g/L": 3, "ml/L": 3, "kg": 2,
           "% lactic": 3, "a week": 1, "mm": 1, "kPa": 1}  # fmt: skip
_TIMES = ("min", "days")


def title_words(found: Why) -> str:
    """The question: "Why was it bitter?"."""
    return f"Why was it {found.defect}?" if found.defect else "Was anything unusual?"


def whose_words(found: Why) -> str:
    """Whose it is: "HL-0027-A"."""
    return found.wheel or found.make


def cards_words(found: Why) -> str:
    """How often the defect was named, and beside how many makes this one is held."""
    parts = []
    if found.defect:
        named = found.named.get(found.defect, 0)
        of = counted(found.cards, "sample", "samples")
        parts.append(
            f"Named in {named} of {of} scored." if found.cards else "It was not scored yet."
        )
    others = counted(found.others, "other make", "other makes")
    parts.append(
        f"Held beside {others} of yours." if found.others else "There is no make like it yet."
    )
    return " ".join(parts)


def verdict_words(found: Why) -> str:
    """What is found, in one sentence."""
    likely, doubtful = found.of(LIKELY), found.of(DOUBTFUL)
    if not found.defect:
        if not likely:
            return "Nothing in this make was unusual."
        return f"Unusual here: {listed([name_words(one.key) for one in likely])}."
    if likely:
        return f"Look first at {listed([name_words(one.key) for one in likely[:2]])}."
    if doubtful:
        return "Nothing the books name stands out here; a little may have come together."
    return f"Nothing that the books name as a cause of “{found.defect}” was unusual here."


def heading(one: Suspect) -> str:
    """What was so: "pH at drain was low"."""
    name = capital(name_words(one.key))
    if one.here is not None and one.here.kind:
        return f"{name}: {one.here.kind}"
    if one.here is None:
        return name
    if one.direction == EITHER:
        way = _way(one)
        return f"{name} was {way}"
    words = _LONG if _unit(one) in _TIMES and "age" not in one.key else _HIGH
    return f"{name} was {words[one.direction]}"


def _way(one: Suspect) -> str:
    words = _LONG if _unit(one) in _TIMES else _HIGH
    if one.usual is None or one.here is None or not math.isfinite(one.usual.middle):
        return words[EITHER]
    return words[MORE if one.here.value > one.usual.middle else LESS]


def _unit(one: Suspect) -> str:
    return "" if one.read is None or one.read.variable is None else one.read.variable.unit


def amount_words(value: float, unit: str) -> str:
    """A value with its unit: "6.07", "2.48 %", "52 min"."""
    text = short(value, _DIGITS.get(unit, 2))
    if unit == "pH":  # the variable's name says it
        return f"{value:.2f}"
    if unit == "a week":
        return f"{text} a week"
    return f"{text} {unit}".rstrip()


def here_words(one: Suspect) -> str:
    """What this make had; of an estimate with its range."""
    here = one.here
    if here is None:
        return "not known"
    if here.kind:
        return here.kind
    return _known_words(here, _unit(one))


def _known_words(here: Known, unit: str) -> str:
    value = amount_words(here.value, unit)
    if here.low == here.high:
        return value
    return f"about {short(here.value, 1)} ({short(here.low, 1)} to {short(here.high, 1)}) {unit}"


def usual_words(one: Suspect) -> str:
    """What the kitchen's other makes had: "yours 6.18 to 6.35"."""
    usual = one.usual
    if usual is None:
        return ""
    if usual.kinds:
        return f"yours {listed(list(usual.kinds[:3]))}"
    return f"yours {_span(usual, _unit(one))}"


def _span(usual: Usual, unit: str) -> str:
    digits = _DIGITS.get(unit, 2)
    low, high = short(usual.low, digits), short(usual.high, digits)
    return low if low == high else f"{low} to {high}"


def books_words(one: Suspect) -> str:
    """What the books say: which way brings it, of how many trials, for which kind of cheese."""
    row = one.rows[0]
    if not row.id:
        return ""
    known = counted(one.trials, "trial") if one.trials > 1 else _EVIDENCE[row.evidence]
    kind = row.family if one.fits == SAME else f"{row.family}, not your kind"
    return f"Books: {small(cause_words(row.id))} ({known}; {kind})."


_EVIDENCE = {
    "trial": "one trial",
    "textbook": "textbook, no trial",
    "extension": "advice to farms, no trial",
    "case": "one outbreak",
    "practice": "practice, no trial",
}


def own_words(own: Own | None) -> str:
    """What the journal's own makes say of the same: "Your makes: leaning, the same way."."""
    if own is None:
        return "Your makes: not enough scores to tell."
    if not own.says:
        return f"Your makes: {own.evidence}."
    way = "the same way" if own.says == "same" else "the opposite way"
    return f"Your makes: {own.evidence}, {way}."


def reason_words(one: Suspect) -> str:
    """Why a cause is ruled out, or is weighed as it is: "as usual", "as planned"."""
    words = {USUAL: "as usual", PLAN: "as planned", PUBLISHED: "inside the published range"}
    if one.departs <= -1.0:
        return "rather the other way"
    if one.here is not None and one.here.kind and one.usual is not None:
        return "as in other makes" if one.here.kind in one.usual.kinds else "not so here"
    return words.get(one.reasons[0], "nothing of yours to compare with")


def plan_words(one: Suspect) -> str:
    """The plan's value beside the make's, where it settles one: "plan 6.29"."""
    return "" if one.planned is None else f"plan {short(one.planned, _DIGITS.get(_unit(one), 2))}"


def published_words(one: Suspect) -> str:
    """The published range, where there is one: "published 5.1 to 5.4"."""
    found = one.published
    if found is None:
        return ""
    low, high = found.low, found.high
    if low is None:
        return f"published: at most {short(high or 0.0)}"
    return f"published: {'at least ' if high is None else ''}{short(low)}" + (
        "" if high is None else f" to {short(high)}"
    )


def out_words(one: Suspect) -> str:
    """A cause that this make rules out: "Salt in curd 2.48 %: as usual."."""
    return f"{capital(name_words(one.key))} {here_words(one)}: {reason_words(one)}."


def open_words(one: Suspect) -> str:
    """A cause of which nobody knows: what to ask."""
    if ALONE in one.reasons and one.here is not None:
        return f"{capital(name_words(one.key))} {here_words(one)}: nothing to compare it with yet."
    return question(one.variable)


def next_words(one: NextTime) -> str:
    """What to do next time, one sentence."""
    if one.do == "note":
        return question(one.suspect.variable)
    name, unit = name_words(one.suspect.key), _unit(one.suspect)
    value = amount_words(one.value, unit)
    if one.do == "keep":
        return f"Keep the {name} as the plan has it: {value}."
    if one.do == "change":
        return f"Plan the {name} at {value}, as is usual here."
    remedy = remedy_words(one.suspect.rows[0].id)
    return f"Aim at a {name} near {value}." + (f" The books: {small(remedy)}." if remedy else "")


def disagree_words(found: Why) -> list[str]:
    """Where the books disagree about what departs here."""
    return [": ".join(disagreement_words(one)) for one in found.disagree]


def every_disagreement() -> list[tuple[str, str]]:
    """Title and text of each disagreement there is."""
    return [disagreement_words(one.id) for one in disagreements()]


def source_lines(found: Why) -> list[str]:
    """The sources of what is shown, each once: its key, and where it was read."""
    rows = [row for one in found.of(LIKELY, DOUBTFUL, OUT, OPEN) for row in one.rows if row.source]
    return [source_words(key) for key in dict.fromkeys(row.source for row in rows)]


def beside_words(books: Books) -> str:
    """What the books expect beside a finding: "Books expect the same (5 trials, cheddar-type)."."""
    if books.says == "none":
        return "Nothing in the books."
    known = counted(books.trials, "trial") if books.trials else "no trial"
    about = f"({known}; {books.family})"
    if books.says == "disagree":
        return f"The books disagree {about}."
    if books.says == "open":
        return f"The books expect {_EXPECTS[books.expects]} {about}."
    return f"The books expect {'the same' if books.says == 'same' else 'the opposite'} {about}."


_EXPECTS = {
    "more": "more of it with more of this",
    "less": "less of it with more of this",
    "middle": "a best value in the middle",
    "none_found": "no difference",
}
