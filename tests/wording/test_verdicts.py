"""What a journal keeps of a verdict is read for good, word for word."""

from __future__ import annotations

import json

import pytest

from journal.message import Instant, Message
from journal.records.verdicts import Verdict, read_verdict
from journal.wording import text_of

SENTENCE = (
    "Do not eat this cheese, do not age it: throw it out untasted. By curd pH 6.58 at 11:40 its "
    "culture was slow or had stalled (97 in 100); toxin that lasts may be in it."
)
READ = {
    "id": "curves.read-at",
    "values": {
        "kind": "curd-ph",
        "value": 6.58,
        "at": {"at_ms": 1_790_000_400_000, "zone": "Europe/London"},
        "other_day": False,
    },
}
# As released journals hold them: never to be changed.
KEPT = [
    (SENTENCE, SENTENCE),
    (
        {"id": "curves.not-to-eat", "values": {"why": {
            "id": "curves.why-stalled", "values": {"read": READ, "chance": 0.9712}}}},
        "Do not eat this cheese, do not age it: throw it out untasted. By curd pH 6.58 at 15:20 "
        "its culture was slow or had stalled (97 in 100); toxin that lasts may be in it.",
    ),
    (
        {"id": "curves.not-to-eat", "values": {"why": {
            "id": "curves.why-too-slow", "values": {"read": READ | {"values": READ["values"]
            | {"other_day": True}}, "limit": {"id": "curves.limit-published", "values": {
            "family": "lactic", "hours": 24.0, "note": "whey of 55 to 65 °D is usual",
            "source": "a teaching page"}}}}}},
        "Do not eat this cheese, do not age it: throw it out untasted. By curd pH 6.58 at 15:20 "
        "on 21 September the acid was too slow: published for lactic cheese after 24 hours: whey "
        "of 55 to 65 °D is usual (a teaching page); toxin that lasts may be in it.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("kept", "output"), KEPT)
def test_a_verdict_that_was_kept_is_read_as_it_was_said(kept, output) -> None:
    found = read_verdict(json.dumps([1_790_000_400_000, kept]))
    assert found is not None
    assert found.at_ms == 1_790_000_400_000
    assert text_of(found.message) == output


def test_a_verdict_is_kept_by_its_id_and_its_values() -> None:
    at = Instant(1_790_000_400_000, "Europe/London")
    read = Message("curves.read-at", kind="curd-ph", value=6.58, at=at, other_day=False)
    why = Message("curves.why-stalled", read=read, chance=0.9712)
    verdict = Verdict(at.at_ms, Message("curves.not-to-eat", why=why))
    assert json.loads(verdict.written()) == [at.at_ms, KEPT[1][0]]
    assert read_verdict(verdict.written()) == verdict
    assert read_verdict(None) is None


def nested(deep: int) -> dict[str, object]:
    """A message that gives another as its reason, so many times."""
    output: dict[str, object] = {"id": "curves.read-at", "values": {}}
    for _ in range(deep):
        output = {"id": "curves.not-to-eat", "values": {"why": output}}
    return output


@pytest.mark.parametrize("kept", [
    {"id": "curves.said-by-a-later-release", "values": {"ph": 6.5}},
    {"id": "curves.read-at", "values": {"kind": "no-such-kind", "value": "six"}},
    {"id": "__class__", "values": {}}, {"id": "curves.not-to-eat", "values": {}}, nested(400),
])  # fmt: skip
def test_what_another_release_kept_is_shown_and_ends_nothing(kept) -> None:
    found = read_verdict(json.dumps([1_790_000_400_000, kept]))
    assert found is not None
    assert text_of(found.message)


@pytest.mark.parametrize("kept", [
    "", "[1]", "{}", "[null, {}]", '[1, {"id": 3}]', '[1e999, "x"]', f"[1, {'[' * 100_000}",
])  # fmt: skip
def test_a_verdict_that_cannot_be_read_still_says_not_to_eat(kept) -> None:
    found = read_verdict(kept)
    assert found is not None
    assert text_of(found.message).startswith("Do not eat this cheese")
