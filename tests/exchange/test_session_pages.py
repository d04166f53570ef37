"""An assessor's page in a real browser engine: scores by real keys, the line into the journal."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote

import pytest

from journal.exchange.session_pages import write_pages
from journal.findings.setting_up import set_up_session
from journal.keeping import Journal
from journal.keeping.session_rows import SampleIdentity
from journal.records.instants import from_iso
from journal.records.tastings import BY_ASSESSOR, Tasting

ZONE = "Europe/London"
ATTRIBUTES = ("overall", "salt", "<i>own</i>")
TYPED = ("7,5", "3", "10", "6.5", "0", "½", "8", "", "2")
SAVED = (7.5, 3.0, 10.0, 6.5, 0.0, 0.5, 8.0, None, 2.0)
NOTE = "nutty, soft 🧀 <b>"


@pytest.fixture
def journal(tmp_path):
    with Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone=ZONE) as made:
        yield made


@pytest.fixture
def page(journal, tmp_path) -> Path:
    cheeses = [SampleIdentity(None, name) for name in ("Abbey", "Barn", "Abbey two")]
    set_up = set_up_session(cheeses, 2, BY_ASSESSOR, seed=5)
    at_ms = from_iso("2026-06-01T19:30", ZONE)
    tasting = journal.sessions.set_up(
        Tasting(at_ms, ZONE, coding=BY_ASSESSOR, attributes=ATTRIBUTES),
        cheeses, ("Orla & <Tam>", "Wen"), set_up.orders, set_up.codes, set_up.labels,
    )  # fmt: skip
    return write_pages(journal, tasting, tmp_path / "pages")[0]


@pytest.fixture
def browse(tmp_path):
    def run(*steps: dict[str, str]) -> list:
        done = subprocess.run(
            [sys.executable, "-m", "tests.browser", str(tmp_path / "phone")],
            input=json.dumps(steps), capture_output=True, text=True, timeout=120, check=False,
            env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": os.getcwd()},
        )  # fmt: skip
        if "ImportError" in done.stderr:
            pytest.skip(f"no browser engine here: {done.stderr.splitlines()[-1]}")
        assert done.returncode == 0, done.stderr[-2000:]
        return json.loads(done.stdout)

    return run


LINE = {"script": "document.getElementById('line').value"}
VALUES = {"script": "Array.from(document.querySelectorAll('.step input'), f => f.value)"}
WIDE = {"script": "document.documentElement.scrollWidth"}
SMALL = {
    "script": """Array.from(document.querySelectorAll("button, input, textarea"))
    .filter(e => e.offsetParent !== null)
    .filter(e => e.getBoundingClientRect().height < 44 || e.getBoundingClientRect().width < 44)
    .map(e => e.id)"""
}
NAMELESS = {
    "script": """Array.from(document.querySelectorAll("button, input, textarea"))
    .filter(e => !(e.getAttribute("aria-label") || e.textContent.trim()
        || (e.labels && e.labels.length))).map(e => e.id)"""
}
OUT = {"script": """fetch("http://vatside.invalid/").then(() => "sent", () => "refused") && 1"""}
IMAGE = {
    "script": """document.body.insertAdjacentHTML("beforeend",
    "<img src='http://vatside.invalid/x.png'><script src='http://vatside.invalid/x.js'></" +
    "script>")"""
}


def typed() -> list[dict[str, str]]:
    """Each score typed, Enter to the next; the empty one is passed over."""
    steps = [{"click": "#s0a0"}]
    for text in TYPED:
        steps += [{"keys": text}] if text else []
        steps.append({"key": "Return"})
    return steps


def test_scores_typed_into_the_page_arrive_in_the_journal(journal, page, browse):
    """By keys alone, then by the line alone; the page asks nothing of any network."""
    others = next(one for one in page.parent.iterdir() if one != page)
    first = browse(
        {"load": str(page)}, WIDE, SMALL, NAMELESS, *typed(), {"click": "#s0n"}, {"keys": "nutty"},
        {"load": str(others)}, VALUES, {"load": str(page)}, VALUES,
    )  # fmt: skip
    assert first[0] is True
    assert first[1] <= 360
    assert first[2] == first[3] == []
    assert first[-4] == [""] * 9  # another assessor's page on the same phone
    assert first[-2] == list(TYPED)  # left, and come back to
    note = {
        "script": f"(() => {{ const n = document.getElementById('s0n'); n.value = "
        f"{json.dumps(NOTE)}; return n.dispatchEvent(new Event('input')); }})()"
    }
    again = browse(
        {"load": str(page)}, VALUES, note, {"click": "#finish"}, LINE, {"click": "#s2a2 + button"},
        {"click": "#finish"}, LINE, OUT, IMAGE, {"script": "1"},
    )  # fmt: skip
    assert again[1] == list(TYPED)  # another day, in another process
    line, later = again[4], again[7]
    seen = again[-1]
    assert {unquote(url) for url in seen["requests"]} == {unquote(page.as_uri())}
    assert all("Content Security Policy" in output for output in seen["console"])
    assert seen["console"], "the policy refuses what would go out"
    sent = journal.elsewhere.find(f"Here it is: {line}")
    assert journal.elsewhere.take(sent)
    servings = [
        s for s in journal.sessions.servings(sent.tasting.id) if s.assessor == "Orla & <Tam>"
    ]
    cards = [journal.sessions.scored(s.id) for s in servings]
    assert [card.scores.get(name) for card in cards for name in ATTRIBUTES] == list(SAVED)
    assert cards[0].note == NOTE
    assert [s.given for s in servings] == [4, 3, 2]
    corrected = journal.elsewhere.find(later)
    assert (corrected.kept, corrected.taken, corrected.older) == (1, False, False)
    assert corrected.answer.scores[2][2] == 2.5
    assert (sent.answer.turn, corrected.answer.turn) == (1, 2)


def test_what_is_no_score_is_said_beside_it_and_not_sent(page, browse):
    found = browse(
        {"load": str(page)}, {"click": "#finish"},
        {"script": "document.getElementById('far').textContent"}, {"click": "#s0a0"},
        {"keys": "7,3"}, {"script": "document.getElementById('s0a0w').textContent"},
        {"click": "#finish"}, {"script": "document.getElementById('answer').hidden"},
        {"script": "document.getElementById('s0a0').getAttribute('aria-invalid')"},
    )  # fmt: skip
    assert found[2] == "Nothing is scored yet."
    assert "0 to 10" in found[5]
    assert found[6] == "s0a0"  # where the keyboard is taken to
    assert (found[7], found[8]) == (True, "true")
