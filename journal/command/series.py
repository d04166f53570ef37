"""Designed series: what is planned, what is made, and the results so far."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    answer,
    as_value,
    lines,
    number,
)
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import to_read
from journal.wording import text_of, worded
from journal.wording.evidence import evidence_words
from journal.wording.variable_values import figure_words, label_shown

if TYPE_CHECKING:
    from journal.findings.lack_of_fit import LackOfFit
    from journal.findings.series import Design, Factor
    from journal.findings.series_answer import AllMakes, SeriesAnswer, SeriesEffect
    from journal.findings.study import Study
    from journal.findings.table import ScoreTable
    from journal.keeping import Journal
    from journal.keeping.series import SeriesMakeState, SeriesWithMakes
    from journal.records.makes import Make


@command(
    "series",
    "list the series of makes, with their results so far",
    FILE,
    CommandOption("--score", "which score; overall if left out", "NAME", default="overall"),
)
def _series(args: argparse.Namespace) -> CommandAnswer:
    from journal.findings.study import study

    with to_read(args.file) as journal:
        found = journal.designs.all()
        if not found:
            return CommandAnswer([], worded("command.no-series-yet"))
        table = _table(journal, args.score)
        whole = None if table is None else study(table, permutations=1)
        series = [_one(journal, design, table, whole, args.score) for design in found]
    return CommandAnswer([one.data for one in series], "\n\n".join(one.text for one in series))


def _table(journal: Journal, score: str) -> ScoreTable | None:
    """The scores there are, None where there is none at all."""
    from journal.findings.variables import score_table
    from journal.reports.study import ticked_in

    if not journal.sessions.attributes():
        return None
    return score_table(journal.wholes(), score, ticked=ticked_in(journal))


def _one(
    journal: Journal,
    full_series: SeriesWithMakes,
    table: ScoreTable | None,
    study: Study | None,
    score: str,
) -> CommandAnswer:
    from journal.findings.series_answer import answer_series
    from journal.findings.series_plans import design_of
    from journal.wording.series_answer import fit_words
    from journal.wording.series_kinds import alias_words

    series, done = full_series.series, full_series.made
    planned = design_of(series, full_series.ones)
    found = answer_series(planned, series.variables, full_series.codes, table, study)
    report = zip(series.variables, planned.factors, found.effects, found.together, strict=False)
    effects = [_effect(*one) for one in report]
    apart, fit = alias_words(planned), fit_words(found.fit)
    parts = [part for part, there in (("{effects}", effects), ("{why}", not effects),
            ("{lack_of_fit}", fit), ("{not_told_apart}", apart)) if there]  # fmt: skip
    return answer(
        ("command.series", "{makes}", *(parts or [""])),
        name=series.name,
        plan=journal.plans.get(series.plan_id or 0).name,
        kind=series.kind,
        efficiency=planned.efficiency,
        score=score,
        made=Value(done, worded("findings.some-makes", known=done, makes=len(full_series.makes))),
        makes=_makes(planned, series.variables, found).of(enumerate(full_series.makes)),
        effects=lines(effects),
        seasons=found.seasons,
        lack_of_fit=_fit(found.fit, fit),
        not_told_apart=Value(apart, " ".join(apart)),
        why="" if found.why is None else text_of(found.why),
    )


def _makes(
    planned: Design, variables: Sequence[str], found: SeriesAnswer
) -> Table[tuple[int, SeriesMakeState]]:
    """The makes of a series, with a column for the planned value of each variable."""

    def wanted(index: int, factor: Factor) -> AnswerColumn[tuple[int, SeriesMakeState]]:
        name = f"{factor.name} {label_shown(factor.unit)}".rstrip()
        return AnswerColumn(
            "", lambda row: figure_words(row[1].one.wanted[index], factor.unit, "g"), name,
            right=True,
        )  # fmt: skip

    def score(row: tuple[int, SeriesMakeState]) -> Value:
        value = float(found.score[row[0]])
        return Value(value, number(value, 1) if math.isfinite(value) else "")

    return Table(
        AnswerColumn("", lambda row: row[0] + 1, "make", right=True),
        AnswerColumn("season", lambda row: row[1].one.block + 1, "season", right=True),
        *(wanted(index, factor) for index, factor in enumerate(planned.factors)),
        AnswerColumn("wanted", lambda row: dict(zip(variables, row[1].one.wanted, strict=True))),
        AnswerColumn("code", lambda row: _became(row[1].make), "code"),
        AnswerColumn("failed", lambda row: row[1].make is not None and row[1].make.failed),
        AnswerColumn("score", score, "score", right=True),
    )


def _became(make: Make | None) -> Value:
    if make is None:
        return as_value(None)
    text = worded("command.code-failed", code=make.code) if make.failed else make.code
    return Value(make.code, text)


def _fit(fit: LackOfFit | None, words: list[str]) -> Value:
    if fit is None:
        return as_value(None)
    data = {
        "pure_error_sd": fit.pure_sd, "pure_error_df": fit.pure_df, "df": fit.lack_df,
        "f": fit.f, "p": fit.p, "bend": fit.bend,
        "bend_p": fit.bend_p,
    }  # fmt: skip
    return Value(data, " ".join(words))


def _effect(variable: str, factor: Factor, effect: SeriesEffect, whole: AllMakes | None) -> Value:
    data = {
        "variable": variable, "low": factor.low, "high": factor.high, "effect": effect.effect,
        "low80": effect.low80, "high80": effect.high80, "low95": effect.low95,
        "high95": effect.high95, "evidence": effect.evidence,
        "all_makes": None if whole is None else asdict(whole),
    }  # fmt: skip
    values: dict[str, Any] = {
        "factor": effect.factor, "from_": factor.low, "to": factor.high, "unit": factor.unit,
        "points": _signed(effect.effect), "low": _signed(effect.low80),
        "high": _signed(effect.high80), "evidence": evidence_words(effect.evidence),
    }  # fmt: skip
    if whole is None:
        return Value(data, worded("command.series-effect", **values))
    every = {"makes": whole.makes, "all_points": _signed(whole.effect),
             "all_low": _signed(whole.low80), "all_high": _signed(whole.high80)}  # fmt: skip
    return Value(data, worded("command.series-effect-in-all", **values, **every))


def _signed(value: float) -> str:
    return number(value, 2, sign=True)


COMMANDS = (_series,)
