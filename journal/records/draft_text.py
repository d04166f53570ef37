"""Drafts as one text, so that nothing typed is lost: every row with what it says and does not."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, fields, replace
from typing import Any

from journal.records import RecordError
from journal.records.care_written import AgeLine, CareLine, care_fields, care_lines
from journal.records.drafts import (
    COLUMNS,
    HOLDER,
    CareRow,
    DraftRow,
    PlanDraft,
    care_rows,
    without_care,
)
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage

FORM = 1
_PLAIN = ("name", "from_name", "from_version", "from_make")


def drafts_text(drafts: Mapping[str, PlanDraft]) -> str:
    """All drafts by key, as JSON; `read_drafts` gives them back the same."""
    return json.dumps(
        {"form": FORM, "drafts": {key: _packed(draft) for key, draft in drafts.items()}},
        ensure_ascii=False,
    )


def read_drafts(text: str) -> dict[str, PlanDraft]:
    """The drafts of a text.

    Raises
    ------
    RecordError
        When it is no such text, or a newer program wrote it.
    """
    try:
        table = json.loads(text)
        newer = table["form"] != FORM
        found = {} if newer else {str(k): _unpacked(one) for k, one in table["drafts"].items()}
    except RecordError:
        raise
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise RecordError("records.drafts-unreadable", message=str(error)) from None
    if newer:
        raise RecordError("records.drafts-of-newer-program")
    return found


def _packed(draft: PlanDraft) -> dict[str, Any]:
    whole = replace(draft.head, **care_fields(draft.care_lines())._asdict())
    head = {k: v for k, v in asdict(whole).items() if k != "stages"}
    rows = [
        {"stage": None if row.stage is None else _stage_packed(row.stage), "loose": dict(row.loose)}
        for row in draft.rows
    ]
    plain = {key: getattr(draft, key) for key in _PLAIN}
    cares = [
        {"line": None if row.line is None else asdict(row.line), "loose": dict(row.loose)}
        for row in draft.care
    ]
    return {
        **plain,
        "head": head,
        "rows": rows,
        "care": cares,
        "head_loose": dict(draft.head_loose),
    }


def _stage_packed(stage: Stage) -> dict[str, Any]:
    """The stage as a table; its acid target under the key that all releases read."""
    table = asdict(stage)
    table["gate"] = table.pop("acid_target")
    return table


def _unpacked(table: Mapping[str, Any]) -> PlanDraft:
    head = dict(table["head"])
    head["care"] = tuple(CareRule(**rule) for rule in head["care"])
    for several in ("taste_at_days", "taste_notes"):
        head[several] = tuple(head.get(several, ()))
    rows = tuple(
        DraftRow(None if one["stage"] is None else _stage(one["stage"]), _loose(one["loose"]))
        for one in table["rows"]
    )
    plan = Plan(**head, stages=HOLDER)
    care = care_rows(care_lines(plan))  # as releases before wrote it
    if "care" in table:
        care = tuple(
            CareRow(_care_line(one["line"]), _loose(one["loose"])) for one in table["care"]
        )
    return PlanDraft(
        head=without_care(plan),
        rows=rows,
        care=care,
        head_loose=_loose(table["head_loose"]),
        **{key: table[key] for key in _PLAIN},
    )


def _care_line(table: Mapping[str, Any] | None) -> CareLine | None:
    if table is None:
        return None
    if "days" in table:
        return AgeLine(table["kind"], tuple(table["days"]), str(table.get("note", "")))
    return CareRule(**table)


def _stage(table: Mapping[str, Any]) -> Stage:
    named = {f.name: table[f.name] for f in fields(Stage) if f.name in table}
    for name in ("intervals_min", "pressures_kpa"):
        named[name] = tuple(named.get(name, ()))
    target = table.get("gate")
    doses = tuple(Dose(**dose) for dose in named.pop("doses", ()))
    named["acid_target"] = None if target is None else AcidTarget(**target)
    return Stage(**named, doses=doses)


def _loose(table: Mapping[str, Any]) -> dict[str, str]:
    return {str(c): str(t) for c, t in table.items() if c in COLUMNS}
