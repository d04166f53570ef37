"""Drafts: every step can be taken back, nothing typed is lost, a half said row is no stage."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.draft_text import drafts_text, read_drafts
from journal.records.drafts import CareRow, DraftRow, PlanDraft, Writing, draft_of, new_draft
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import Stage
from tests.refusals import refused

KINDS = st.sampled_from(["warm", "ripen", "set", "cut", "cook", "press"])
ROWS = st.one_of(
    st.builds(DraftRow),
    st.builds(DraftRow, st.builds(Stage, KINDS, st.floats(1, 900), target_c=st.floats(5, 50))),
    st.builds(DraftRow, st.none(), st.fixed_dictionaries({"stage": st.text(max_size=12)})),
)


def _act(draft: PlanDraft, act: tuple[str, int, DraftRow]) -> PlanDraft:
    name, number, row = act
    at = number % max(len(draft.rows), 1)
    if name == "insert":
        return draft.insert(number % (len(draft.rows) + 1), row)
    if name == "row":
        return draft.with_row(at, row) if draft.rows else draft
    if name == "move":
        return draft.move(at, number % 5 - 2)
    return draft.duplicate(at) if name == "twice" else draft.remove(at)


ACTS = st.lists(
    st.tuples(
        st.sampled_from(["insert", "row", "move", "twice", "remove"]), st.integers(0, 40), ROWS
    ),
    max_size=25,
)


@given(ACTS)
@settings(deadline=None)
def test_undo_walks_back_through_every_step_and_redo_forth_again(acts) -> None:
    writing = Writing(draft_of(builtin_plan("tomme")))
    states = [writing.draft]
    for act in acts:
        if writing.do(act[0], _act(writing.draft, act)):
            states.append(writing.draft)
    for state in reversed(states[:-1]):
        assert writing.undo() is not None
        assert writing.draft == state
    assert writing.undo() is None
    for state in states[1:]:
        assert writing.redo() is not None
        assert writing.draft == state
    assert writing.redo() is None


@given(ACTS)
@settings(deadline=None)
def test_a_draft_comes_back_from_its_text_the_same(acts) -> None:
    draft = new_draft("Mind the milk.")
    for act in acts:
        draft = _act(draft, act)
    assert read_drafts(drafts_text({"new:1": draft})) == {"new:1": draft}


def test_every_plan_is_its_own_draft() -> None:
    for plan in builtin_plans():
        draft = draft_of(plan)
        assert draft.plan() == plan
        assert read_drafts(drafts_text({"a": draft}))["a"].plan() == plan


def test_a_new_step_forgets_what_was_undone() -> None:
    writing = Writing(draft_of(builtin_plan("tomme")))
    writing.do("one", writing.draft.remove(0))
    writing.undo()
    writing.do("two", writing.draft.remove(1))
    assert writing.redo_name is None
    assert writing.undo_name == "two"


def test_half_said_rows_are_no_stages_and_hold_a_plan_back() -> None:
    draft = new_draft("Mind the milk.")
    assert draft.plan() is None
    assert draft.head.caution == "Mind the milk."
    with refused(RecordError, "records.draft-without-name"):
        draft.finished()
    named = PlanDraft(
        "mine", draft.head, (DraftRow(Stage("warm", 30)), DraftRow(None, {"stage": "wobble"}))
    )
    assert len(named.plan().stages) == 1
    assert (named.stage_index(0), named.stage_index(1), named.row_of(0)) == (0, -1, 0)
    with refused(RecordError, "records.draft-line", text="wobble", line=2):
        named.finished()
    assert named.insert(2).without_blanks() == named


def test_text_of_another_program_is_refused() -> None:
    for text in ("", "[]", "{}", '{"form": 1, "drafts": {"a": {}}}', "nonsense"):
        with refused(RecordError, "records.drafts-unreadable"):
            read_drafts(text)
    with refused(RecordError, "records.drafts-of-newer-program"):
        read_drafts('{"form": 2, "drafts": {}}')


def test_a_draft_of_an_earlier_release_keeps_its_care() -> None:
    """Its care stands in the head alone; what is written now can be read by it too."""
    plan = replace(builtin_plan("cheddar type"), eat_from_days=None)
    table = json.loads(drafts_text({"plan:a": draft_of(plan)}))
    assert len(table["drafts"]["plan:a"]["head"]["care"]) == len(plan.care)
    del table["drafts"]["plan:a"]["care"]
    del table["drafts"]["plan:a"]["head"]["eat_from_days"]
    assert read_drafts(json.dumps(table))["plan:a"] == draft_of(plan)


def test_lines_of_care_are_in_the_drafts_text_also_half_said() -> None:
    draft = draft_of(builtin_plan("tomme"))
    half = replace(draft, care=(*draft.care, CareRow(None, {"stage": "wibble"}), CareRow()))
    assert read_drafts(drafts_text({"a": half})) == {"a": half}
    assert half.plan() == draft.plan()
    with refused(RecordError, "records.draft-line", text="wibble"):
        half.finished()
    assert half.without_blanks().care == half.care[:-1]
