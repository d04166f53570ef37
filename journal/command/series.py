"""Designed series: what was laid out, what is made of it, and what it says so far."""

from __future__ import annotations

import argparse
import math
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer, aligned, number
from journal.command.parser import Command, Parser, add_file
from journal.command.values import to_read
from journal.wording import text_of
from journal.wording.counts import counted

if TYPE_CHECKING:
    from journal.findings.series import Design
    from journal.findings.series_answer import SeriesAnswer, SeriesEffect
    from journal.findings.table import ScoreTable
    from journal.keeping import Journal
    from journal.keeping.series import Laid


def _series_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument(
        "--score", metavar="NAME", default="overall", help="the score asked about; else overall"
    )


def _series(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        found = journal.designs.all()
        if not found:
            return Answer("No series is laid out. Findings lays one out, with Ctrl D.", [])
        table = _table(journal, args.score)
        told = [_told(laid, table) for laid in found]
        plans = [journal.plans.get(laid.series.plan_id or 0).name for laid in found]
    texts = [_text(laid, *one, plan) for laid, one, plan in zip(found, told, plans, strict=True)]
    data = [
        _data(laid, *one, plan, args.score)
        for laid, one, plan in zip(found, told, plans, strict=True)
    ]
    return Answer("\n\n".join(texts), data)


def _table(journal: Journal, score: str) -> ScoreTable | None:
    """The scores there are, None where there is none at all."""
    from journal.findings.variables import score_table

    if not journal.sittings.attributes():
        return None
    return score_table(journal.wholes(), score)


def _told(laid: Laid, table: ScoreTable | None) -> tuple[Design, SeriesAnswer]:
    from journal.findings.series_answer import answer_series
    from journal.findings.series_plans import design_of

    planned = design_of(laid.series, laid.ones)
    return planned, answer_series(planned, laid.series.variables, laid.codes, table)


def _text(laid: Laid, planned: Design, told: SeriesAnswer, plan: str) -> str:
    head = (
        f"{laid.series.name}: {laid.series.kind} of {plan}, "
        f"{laid.made} of {counted(len(laid.makes), 'make')} made"
    )
    names = [f"{f.name} {f.unit}".rstrip() for f in planned.factors]
    rows = [["make", "season", *names, "became", "score"]]
    for i, one in enumerate(laid.makes):
        code = "" if one.make is None else one.make.code + (" failed" if one.make.failed else "")
        score = number(told.score[i], 1) if math.isfinite(told.score[i]) else ""
        values = [f"{value:g}" for value in one.one.wanted]
        rows.append([f"{i + 1}", f"{one.one.block + 1}", *values, code, score])
    table = aligned(rows, right=(0, 1, *range(2, 2 + len(names)), 3 + len(names)))
    effects = [_effect(e, f.low, f.high, f.unit)
               for e, f in zip(told.effects, planned.factors, strict=False)]  # fmt: skip
    return "\n".join([head, table, *(effects or [_why(told)])])


def _why(told: SeriesAnswer) -> str:
    return "" if told.why is None else text_of(told.why)


def _effect(effect: SeriesEffect, low: float, high: float, unit: str) -> str:
    step = f"{effect.factor} from {low:g} to {high:g} {unit}".rstrip()
    points = number(effect.effect, 2, sign=True)
    ranges = f"{number(effect.low80, 2, sign=True)} to {number(effect.high80, 2, sign=True)}"
    return f"{step}: {points} points, 80 %: {ranges}; {effect.evidence}"


def _data(laid: Laid, planned: Design, told: SeriesAnswer, plan: str, score: str) -> dict[str, Any]:
    series = laid.series
    return {
        "name": series.name,
        "plan": plan,
        "kind": series.kind,
        "efficiency": planned.efficiency,
        "score": score,
        "made": laid.made,
        "makes": [
            {
                "season": one.one.block + 1,
                "wanted": dict(zip(series.variables, one.one.wanted, strict=True)),
                "code": one.make.code if one.make is not None else None,
                "failed": one.make is not None and one.make.failed,
                "score": float(told.score[i]),
            }
            for i, one in enumerate(laid.makes)
        ],
        "effects": [
            {
                "variable": key, "low": low, "high": high, "effect": effect.effect,
                "low80": effect.low80, "high80": effect.high80, "low95": effect.low95,
                "high95": effect.high95, "evidence": effect.evidence,
            }
            for key, low, high, effect in zip(
                series.variables, series.low, series.high, told.effects, strict=False
            )
        ],
        "seasons": told.seasons,
        "why": _why(told),
    }  # fmt: skip


COMMANDS = (
    Command("series", "the series of makes laid out, and what they say", _series_arguments,
            _series),
)  # fmt: skip
