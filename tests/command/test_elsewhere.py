"""Assessors elsewhere through the command: pages out, answers in, once, and nothing is told."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace

import pytest

from journal.keeping import Journal
from journal.records.page_answers import PageAnswer, write_answer

NAMES = ("HL-0001", "Abbey")
BOARD = ("--wheel", "HL-0001-A", "HL-0001-B", "--reference", "Abbey", "--assessor", "Orla",
         "Tam <b>&\"'", "--codes", "assessor", "--attributes", "overall,</script>,salt",
         "--at", "2026-11-14T19:30")  # fmt: skip
SCORES = ((7.5, None, 6.0), (8.0, 2.0, None), (0.0, 10.0, 5.5))
ANSWER = PageAnswer(SCORES, ("", "nutty", ""))


@pytest.fixture
def set_up(finished, run):
    assert run("session-set-up", finished, *BOARD).code == 0
    return finished


def line_of(path, who="Orla", answer=ANSWER):
    with Journal.open(path, read_only=True) as journal:
        tasting = journal.tastings.all()[-1]
        page = next(p for p in journal.elsewhere.pages(tasting.id) if p.assessor.startswith(who))
    return write_answer(answer, page.key)


def saved(path, who="Orla"):
    """Every score by code and attribute, read by another door."""
    with Journal.open(path, read_only=True) as journal:
        tasting = journal.tastings.all()[-1]
        rows = [s for s in journal.sessions.servings(tasting.id) if s.assessor.startswith(who)]
        cards = [journal.sessions.scored(row.id) for row in rows]
        return [(dict(card.scores), card.note) if card else ({}, "") for card in cards]


def test_a_page_holds_its_codes_and_nothing_of_what_they_are(set_up, run, tmp_path):
    done = run("session-pages", set_up, "latest", tmp_path / "out" / "pages", "--json")
    assert done.code == 0, done
    texts = {}
    for one in done.data["pages"]:
        with open(one["file"], encoding="utf-8") as file:
            texts[one["assessor"]] = file.read()
    orla, tam = texts["Orla"], texts["Tam <b>&\"'"]
    codes = {one["assessor"]: one["codes"] for one in done.data["pages"]}
    for mine, other, text in (("Orla", "Tam <b>&\"'", orla), ("Tam <b>&\"'", "Orla", tam)):
        assert re.findall(r"<h2 id=\"s\d\">(\d{3})</h2>", text) == codes[mine]
        shown = re.sub(r"<script>.*?</script>|<style>.*?</style>", "", text, flags=re.DOTALL)
        assert not any(f">{code}<" in shown for code in codes[other])
        assert not any(name in text for name in NAMES)
        assert len(text) < 40_000
        policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text).group(1)
        assert policy.startswith("default-src 'none'; script-src 'sha256-")
        assert "unsafe" not in policy
        script = re.search(r"<script>(.*?)</script>\n</body>", text, re.DOTALL).group(1)
        style = re.search(r"<style>(.*?)</style>", text, re.DOTALL).group(1)
        for part in (script, style):
            digest = base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()
            assert f"'sha256-{digest}'" in policy
        assert not re.search(r"https?:|src=|url\(|import|fetch|XMLHttp|WebSocket", text)
        data = json.loads(re.search(r'id="page">(.*?)</script>', text).group(1))
        assert set(data) == {"head", "key", "file", "words"}
    assert "Tam <b>" not in tam
    assert "For Tam &lt;b&gt;&amp;&quot;" in tam
    assert text.count("</script>") == 2
    with Journal.open(set_up, read_only=True) as journal:
        assert journal.scores.all() == []


def test_an_answer_is_taken_once(set_up, run, refused):
    line = line_of(set_up)
    done = run("session-take", set_up, f"Hello!\n{line}\nBye", "--json")
    assert done.code == 0, done
    assert done.data == {"sitting": 1, "assessor": "Orla", "taken": True, "replaced": 0,
                         "samples": 3, "scores": 7, "left": 3}  # fmt: skip
    wanted = [({"overall": 7.5, "salt": 6.0}, ""), ({"overall": 8.0, "</script>": 2.0}, "nutty"),
              ({"overall": 0.0, "</script>": 10.0, "salt": 5.5}, "")]  # fmt: skip
    assert saved(set_up) == wanted
    again = run("session-take", set_up, line, "--json")
    assert (again.code, again.data["taken"]) == (0, False)
    assert "Taken already" in run("session-take", set_up, line.lower()).out
    assert saved(set_up) == wanted
    assert not any(name in done.out + again.out for name in NAMES)
    acts = run("history", set_up)
    assert "Answer of Orla" in acts.out
    assert "7.5" not in acts.out


def test_a_corrected_answer_is_asked_about_and_an_older_one_is_known(set_up, run, refused):
    first = line_of(set_up)
    better = replace(ANSWER, scores=((9.0, None, 6.0), *SCORES[1:]), turn=2)
    assert run("session-take", set_up, first).code == 0
    assert "differs from what is saved in 1 score" in refused(
        "session-take", set_up, line_of(set_up, answer=better)
    )
    assert saved(set_up)[0][0]["overall"] == 7.5
    done = run("session-take", set_up, line_of(set_up, answer=better), "--replace", "--json")
    assert (done.data["taken"], done.data["replaced"]) == (True, 1)
    assert saved(set_up)[0][0]["overall"] == 9.0
    assert run("session-take", set_up, first, "--replace", "--json").data["taken"] is False
    assert saved(set_up)[0][0]["overall"] == 9.0
    other = replace(ANSWER, scores=((1.0, None, 6.0), *SCORES[1:]))
    assert "A later one" in refused("session-take", set_up, line_of(set_up, answer=other))


def test_what_a_small_file_holds_is_taken(set_up, run, refused, tmp_path):
    file = tmp_path / "answer.txt"
    file.write_text(line_of(set_up, "Tam") + "\r\n", encoding="utf-8")
    assert run("session-take", set_up, file, "--json").data["left"] == 3
    assert saved(set_up, "Tam")[0][0] == {"overall": 7.5, "salt": 6.0}
    file.write_bytes(b"\xff\xfe\x00" * 100_000)
    assert "too much text" in refused("session-take", set_up, file)
    assert "no answer" in refused("session-take", set_up, tmp_path / "none.txt")


def test_undo_takes_an_answer_back_and_it_can_be_taken_again(set_up, run):
    line = line_of(set_up)
    with Journal.open(set_up) as journal, Journal.open(set_up, read_only=True) as second:
        sent = journal.elsewhere.find(line)
        assert journal.elsewhere.take(sent)
        assert second.elsewhere.find(line).taken
        assert not journal.elsewhere.take(journal.elsewhere.find(line))
        journal.undo()
        assert journal.scores.all() == second.scores.all() == []
        assert not second.elsewhere.find(line).taken
        journal.redo()
        assert journal.elsewhere.find(line).taken
        journal.undo()
    assert run("session-take", set_up, line, "--json").data["taken"] is True
    assert len(saved(set_up)) == 3


def test_what_does_not_belong_here_is_refused_and_nothing_is_saved(set_up, run, refused, tmp_path):
    line = line_of(set_up)
    assert "cut short" in refused("session-take", set_up, line[:-4])
    assert "changed on its way" in refused("session-take", set_up, line[:25] + "ZZ" + line[27:])
    assert run("session-set-up", set_up, *BOARD).code == 0
    another = tmp_path / "another.vatside"
    Journal.create(another, letters="HL", zone="Europe/London").close()
    assert "no blind session" in refused("session-take", another, line)
    assert saved(set_up) == [({}, "")] * 3
    assert run("session-take", set_up, line, "--json").data["sitting"] == 1  # of the first session
    assert run("session-reveal", set_up, "1", "--unfinished").code == 0
    assert "revealed" in refused("session-take", set_up, line)
    assert "revealed" in refused("session-pages", set_up, "1", tmp_path / "late")
    assert not (tmp_path / "late").exists()


def test_a_copy_that_took_an_answer_is_merged_and_it_counts_as_taken(set_up, run, tmp_path):
    """The pages of both are the same; what one took the other need not take again."""
    copy = tmp_path / "copy.vatside"
    copy.write_bytes(set_up.read_bytes())
    line = line_of(set_up)
    assert line == line_of(copy)
    assert run("session-take", copy, line, "--json").data["taken"] is True
    assert run("merge", set_up, copy).code == 0
    assert saved(set_up) == saved(copy)
    assert run("session-take", set_up, line, "--json").data["taken"] is False
    older = replace(ANSWER, scores=((1.0, None, 6.0), *SCORES[1:]))
    assert run("session-take", set_up, line_of(set_up, answer=older)).code == 2
