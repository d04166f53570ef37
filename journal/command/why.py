"""Why a wheel or make is so: the trade's causes beside what was really done."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from journal.command.answer import CommandAnswer
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import to_read
from journal.wording import text_of, worded

if TYPE_CHECKING:
    from journal.findings.grades import Graded
    from journal.findings.why import NextTime, SuspectedCause, Why


@command(
    "why",
    "what the trade would look at first in a wheel or make",
    FILE,
    CommandOption("what", "the code of a wheel or of a make", "WHEEL|MAKE"),
    CommandOption("--defect", "a defect, like bitter; the most often named if left out", "NAME"),
)
def _why(args: argparse.Namespace) -> CommandAnswer:
    from journal.background import State
    from journal.reports.why import why_of

    with to_read(args.file) as journal:
        found = why_of(journal, args.what, (args.defect or "").strip(), State(lambda *_: None)).why
    return CommandAnswer(_data(found), _text(found))


def _data(found: Why) -> dict[str, Any]:
    from journal.findings.why import DOUBTFUL, LIKELY, OPEN, OUT
    from journal.wording.trade_words import disagreement_words

    return {
        "make": found.make,
        "wheel": found.wheel or None,
        "defect": found.defect or None,
        "named": found.named,
        "samples_scored": found.samples,
        "family": found.family or None,
        "other_makes": found.others,
        "health": [text_of(one) for one in found.health],
        "likely": [_likely(one) for one in found.of(LIKELY, DOUBTFUL)],
        "ruled_out": [_ruled_out(one) for one in found.of(OUT)],
        "not_known": [_not_known(one) for one in found.of(OPEN)],
        "next_time": [_next(one) for one in found.next_time],
        "composition": [_composed(one) for one in found.composition],
        "disagree": [" ".join(disagreement_words(one)[1:]) for one in found.disagree],
    }


def _composed(one: Graded) -> dict[str, Any]:
    from journal.wording.trade_words import grade_words, source_words

    return {
        "name": one.name,
        "value": one.value,
        "low80": one.low80,
        "high80": one.high80,
        "published": [
            {
                "low": row.low,
                "high": row.high,
                "beside": one.beside(row),
                "of": grade_words(row.row),
                "row": row.row,
                "source": source_words(row.source),
            }
            for row in one.ranges
        ],
    }


def _likely(one: SuspectedCause) -> dict[str, Any]:
    from journal.findings.why import LIKELY
    from journal.wording.trade_words import cause_words, remedy_words, source_words

    row = one.rows[0]
    own = one.own
    return {
        "cause": cause_words(row.id) or None,
        "variable": one.key,
        "here": _here(one),
        "usual": _usual(one),
        "books": one.direction if row.id else None,
        "trials": one.trials,
        "family": row.family or None,
        "source": source_words(row.source) if row.source else None,
        "own_evidence": None if own is None else {
            "about": own.about, "evidence": own.evidence, "says": own.says or None,
        },
        "standing": "likely" if one.likelihood == LIKELY else "less likely",
        "outside": [word for word in one.reasons if word != "alone"],
        "planned": one.planned,
        "published": _published(one),
        "remedy": remedy_words(row.id) or None,
        "rows": [row.id for row in one.rows if row.id],
    }  # fmt: skip


def _here(one: SuspectedCause) -> dict[str, Any] | None:
    here = one.here
    if here is None:
        return None
    if here.kind:
        return {"kind": here.kind}
    unit = "" if one.read is None or one.read.variable is None else one.read.variable.unit
    return {"value": here.value, "low80": here.low, "high80": here.high, "unit": unit}


def _usual(one: SuspectedCause) -> dict[str, Any] | None:
    usual = one.usual
    if usual is None:
        return None
    if usual.kinds:
        return {"kinds": list(usual.kinds), "makes": usual.makes}
    return {"low80": usual.low, "middle": usual.middle, "high80": usual.high, "makes": usual.makes}


def _published(one: SuspectedCause) -> dict[str, Any] | None:
    found = one.published
    return None if found is None else {"low": found.low, "high": found.high, "row": found.row}


def _ruled_out(one: SuspectedCause) -> dict[str, Any]:
    from journal.wording.why import reason_words

    return {
        "variable": one.key,
        "here": _here(one),
        "usual": _usual(one),
        "reason": reason_words(one),
        "rows": [row.id for row in one.rows],
    }


def _not_known(one: SuspectedCause) -> dict[str, Any]:
    from journal.findings.trade_values import measured
    from journal.wording.why import open_words

    return {
        "variable": one.variable,
        "ask": open_words(one),
        "measured_here": one.variable in measured(),
        "here": _here(one),
        "trials": one.trials,
        "rows": [row.id for row in one.rows],
    }


def _next(one: NextTime) -> dict[str, Any]:
    from journal.wording.why import next_time_words

    return {
        "do": one.do,
        "variable": one.suspect.variable if one.do == "note" else one.suspect.key,
        "value": one.value,
        "words": next_time_words(one),
    }


def _text(found: Why) -> str:
    from journal.findings.why import DOUBTFUL, LIKELY, OPEN, OUT
    from journal.wording import why as words

    lines = [f"{words.whose_words(found)}: {words.title_words(found)} {words.named_words(found)}"]
    lines += [text_of(one) for one in found.health]
    lines.append(words.why_verdict_words(found))
    first = "command.likely-here" if found.defect else "command.unusual-here"
    for head, likelihood in ((first, LIKELY), ("command.less-likely", DOUBTFUL)):
        rows = found.of(likelihood)
        lines += ["", worded(head)] if rows else []
        for one in rows:
            lines += _block(one)
    if found.defect:
        for head, likelihood, say in (
            ("command.ruled-out-here", OUT, words.out_words),
            ("command.not-known", OPEN, words.open_words),
        ):
            sentences = list(dict.fromkeys(map(say, found.of(likelihood))))
            lines += ["", worded(head), *(f"  {one}" for one in sentences)] if sentences else []
    if found.next_time:
        sentences = [words.next_time_words(one) for one in found.next_time if one.do != "note"]
        sentences += [worded(words.WRITE_DOWN)] if found.of(OPEN) else []
        lines += ["", worded("command.next-time"), *(f"  {one}" for one in sentences)]
    if found.composition:
        lines += ["", worded(words.COMPOSED)]
        lines += [f"  {words.composition_words(one)}" for one in found.composition]
    if found.disagree:
        lines += ["", worded("command.books-disagree")]
        lines += [f"  {sentences}" for sentences in words.disagree_words(found)]
    return "\n".join([*lines, "", worded(words.FOOT)])


def _block(one: SuspectedCause) -> list[str]:
    from journal.wording import why as words
    from journal.wording.trade_words import source_words

    beside = (words.usual_words(one), words.plan_words(one), words.published_words(one))
    about = "; ".join(part for part in beside if part)
    lines = [
        f"  {words.cause_heading(one)}: {words.here_words(one)}" + (f" ({about})" if about else "")
    ]
    if one.rows[0].id:
        lines.append(f"    {words.literature_words(one)} {words.own_makes_words(one.own)}")
        lines.append(f"    {source_words(one.rows[0].source)}")
    return lines


COMMANDS = (_why,)
