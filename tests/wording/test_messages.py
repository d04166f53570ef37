"""Every message has a sentence that names its values, and no room below wording writes text."""

from __future__ import annotations

import ast
import pickle
import re
import string
import tomllib
from concurrent.futures import ThreadPoolExecutor
from datetime import date, datetime
from functools import cache
from pathlib import Path

import pytest

from journal.keeping.history import UNDOABLE
from journal.message import Instant, Message, MessageError
from journal.wording import Style, text_of, worded, written_in
from journal.wording.dates import clock
from journal.wording.keys import is_key_use
from journal.wording.sentences import ROOMS, catalogue

BELOW = Path(__file__).resolve().parents[2] / "journal"
SHAPE = re.compile(rf"({'|'.join(ROOMS)})\.[a-z0-9]+(-[a-z0-9]+)*")
TABLE = re.compile(rf"({'|'.join(ROOMS)})\.[a-z0-9-]+-")  # words by their codes, of `word_of`
# Rooms whose text has moved up: all below.
MOVED: tuple[str, ...] = (
    "quantities", "reckoning", "records", "curves", "findings", "keeping",
)  # fmt: skip
# What stays below. Language that is typed or kept: names of units and quantities with their
# spellings, the closed lists, a stage's cells as typed, what a row says for want of a column, the
# names of make variables (--variables and the columns of a table are read by them, --json gives
# them) and the words by which the columns of a foreign table are known.
TYPED = {"quantities/units.py", "records/kinds.py", "records/stage_written.py",
         "records/care_written.py", "records/plan_columns.py", "findings/readers.py",
         "findings/columns.py", "findings/further.py"}  # fmt: skip
# Functions whose text is written into a cell, and read back from it: what stands in brackets
# behind a dose, and "about" before it, is passed over there. What is only shown has its sentence.
WRITES = {
    "quantities/written.py": {"spoonfuls"},
    "records/dose_written.py": {"format_measured"},
}
# Words below that are no text for a person, by room: keys, kinds, what a table is searched for, and
# what the file keeps.
KEYS = {
    "curves": {
        "rennet in", "cook begins",  # moments of a make: names, as those of the stages are
        "calcium chloride",  # a kind of ingredient
        "slow acid",  # a kind of event, kept with what was heard
        "rich or sweetened", "cream for butter",  # products of the table of pasteurising
        "common practice",  # how a source in a table begins
    },
    "records": {
        "new plan",  # what a draft is called while it has no name
        "calcium chloride",  # a kind of ingredient
        "paired comparison",  # a kind of test
        "from the table",  # the assessor of scores that came in without one, a name kept
        "past makes", "a table of past makes",  # the plan of makes without one, as it is kept
        "verdict {}",  # a key of a setting
        "in {}", "salt {}", "protein to fat", "room humidity",  # parts of a cell, as typed
        # how typed text, a packet's strength and a fault of TOML are read
        r"(?:out of|end of|off)\s+(?:the\s+)?(.+?)\s+(?:by|at|on)\s+(.+)",
        r"(?:limit|at most|no quicker than)\s+(.+)",
        r"(?:%|per cent|pct).*",
        r" \(at (?:line (\d+), column (\d+)|end of document)\)$",
    },
    "keeping": {
        # Kept as the reason of a run, and shown by every program as it stands.
        "{:g} min longer", "{:g} min shorter", "flecks after {:.1f} min, × {:g}",
        "{} from {}",  # kept as the name of a whey cheese
    },
    "findings": {
        "milk source", "culture lot",  # categories: names of make variables, as those of readers.py
        "can't tell yet", "hardly varied", "never varied", "not known",  # evidence, of --json
        "acid with cook", "salt with age",  # names of variables, as those of readers.py
        "full factorial", "half of a factorial",  # designs, as the journal keeps them
        "quarter of a factorial", "quarter of a factorial, folded over", "eighth of a factorial",
        "row {}",  # the code of a make that a foreign table does not name
    },
}  # fmt: skip
# SQL as keeping writes it: a statement, or a clause of one.
SQL = re.compile(
    r"""\s*'?(?:
    select\s.+\sfrom | select\s(?:max\(|1) | with\s\w+\sas\s\( | insert\s(?:or\signore\s)?into |
    update\s"?\S+\sset | delete\sfrom | create\stemp | alter\stable |
    case\stypeof | pragma | begin\simmediate | vacuum\sinto |
    .*\s=\s\? | .*\sis\s(?:not\s)?null | .*\sin\s\(select\s
    )""",
    re.DOTALL | re.VERBOSE,
)
PROSE = re.compile(r"[A-Za-z’]{2,}[,;:]? [a-z{“]")


@cache
def written() -> set[str]:
    """The texts of the whole program: a sentence may be of a room above."""
    return {node.value for path in BELOW.rglob("*.py")
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)}  # fmt: skip


def calls() -> list[tuple[str, ast.Call, str]]:
    """Each call whose first text is a message id: where, the call, the id."""
    found = []
    for path in sorted(BELOW.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            given = node.args if isinstance(node, ast.Call) else []
            for one in [*given, *(line for some in given for line in getattr(some, "elts", ()))]:
                if isinstance(one, ast.Constant) and SHAPE.fullmatch(str(one.value)):
                    where = f"{path.relative_to(BELOW)}:{node.lineno}"
                    found.append((where, node, str(one.value)))
    return found


def makes_one(call: ast.Call) -> bool:
    """Whether a call makes the message itself; a helper that is handed an id gives the values."""
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    return name.endswith(("Error", "Message", "Fault")) or name in (
        "unit", "appending", "worded", "answer", "NotUnderstood", "PasswordWanted",
    )  # fmt: skip


def names_in(template: str) -> set[str]:
    return {name for _, name, form, _ in string.Formatter().parse(template)
            if name and not (name == "key" and is_key_use(str(form)))}  # fmt: skip


def test_a_message_that_is_raised_has_a_sentence_that_names_its_values():
    for where, call, output in calls():
        sentences = catalogue(output.partition(".")[0])
        assert output in sentences, f"{where}: {output} has no sentence"
        template = sentences[output]
        given = {one.arg for one in call.keywords}
        if isinstance(template, str) and None not in given and makes_one(call):
            lacking = names_in(template) - given
            assert not lacking, f"{where}: {output} lacks {lacking}"


def test_where_one_of_two_sentences_is_chosen_both_have_their_values():
    """`which = "desk.a" if … else "desk.b"`, and then `worded(which, …)`."""
    checked = 0
    for path in sorted(BELOW.rglob("*.py")):
        functions = (node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
                     if isinstance(node, ast.FunctionDef))  # fmt: skip
        for function in functions:
            nodes = list(ast.walk(function))
            for call in nodes:
                if not (isinstance(call, ast.Call) and ast.unparse(call.func) == "worded"):
                    continue
                chosen = ast.unparse(call.args[0])
                sources = [call.args[0], *(one.value for one in nodes if isinstance(one, ast.Assign)
                                           and ast.unparse(one.targets[0]) == chosen)]  # fmt: skip
                ids = [
                    str(one.value)
                    for source in sources
                    for one in ast.walk(source)
                    if isinstance(one, ast.Constant) and SHAPE.fullmatch(str(one.value))
                ]
                checked += len(ids) > 1
                given = {one.arg for one in call.keywords}
                for message in ids:
                    lacking = names_in(str(catalogue(message.partition(".")[0])[message])) - given
                    assert None in given or not lacking, f"{path.name}: {message} lacks {lacking}"
    assert checked > 20


@pytest.mark.parametrize("room", ROOMS)
def test_each_sentence_is_of_a_message_that_is_raised(room):
    tables = tuple(one for one in written() if TABLE.fullmatch(one))
    unsaid = {one for one in catalogue(room) if not one.startswith(tables)}
    assert unsaid <= written()
    assert all(SHAPE.fullmatch(output) and output.startswith(room) for output in catalogue(room))


def test_no_two_sentences_have_one_id():
    """TOML refuses a name twice in a file; what a function says is in none."""
    ids = [str(key.value) for path in sorted((BELOW / "wording" / "messages").glob("*.py"))
           for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
           if isinstance(node, ast.Dict) for key in node.keys
           if isinstance(key, ast.Constant) and SHAPE.fullmatch(str(key.value))]  # fmt: skip
    assert sorted(ids) == sorted(set(ids))
    for room in ROOMS:
        path = BELOW.parent / "resources" / "sentences" / f"{room}.toml"
        written = tomllib.loads(path.read_text(encoding="utf-8"))
        assert set(written) == {room}
        assert all(isinstance(one, str) and one for one in written[room].values())
        assert not {f"{room}.{name}" for name in written[room]} & set(ids)


@pytest.mark.parametrize("room", MOVED)
def test_no_room_below_writes_text_for_a_person(room):
    for path in sorted((BELOW / room).rglob("*.py")):
        where = str(path.relative_to(BELOW))
        if where in TYPED:
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        tree.body = [one for one in tree.body
                     if getattr(one, "name", "") not in WRITES.get(where, set())]  # fmt: skip
        for text, line in texts(tree):
            if text not in KEYS.get(room, ()):
                assert not PROSE.search(text), f"{path.name}:{line}: {text}"


def texts(tree: ast.Module) -> list[tuple[str, int]]:
    """The texts of a module, docstrings and SQL aside."""
    aside: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            aside.add(id(node.value))
        if isinstance(node, ast.JoinedStr):
            aside.update(id(one) for value in node.values for one in ast.walk(value))
    found = []
    for node in ast.walk(tree):
        if id(node) in aside:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.append((node.value, node.lineno))
        elif isinstance(node, ast.JoinedStr):
            parts = (str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
            found.append(("".join(parts), node.lineno))
    return [(text, line) for text, line in found if not SQL.match(text)]


# What a template can say


@pytest.mark.parametrize(("template", "values", "says"), [
    ("{litres:g} L", {"litres": 10.0}, "10 L"),
    ("{n:wheel|wheels}", {"n": 1}, "1 wheel"),
    ("{n:wheel|wheels}", {"n": 1204}, "1,204 wheels"),
    ("There {n:|is|are} {n:g}.", {"n": 2}, "There are 2."),
    ("It {lasts:|lasts|is over}{lasts:| so far|}.", {"lasts": False}, "It is over."),
    ("It {lasts:|lasts|is over}{lasts:| so far|}.", {"lasts": True}, "It lasts so far."),
    ("{names:list}", {"names": ["salt", "rennet", "set"]}, "salt, rennet and set"),
    ("{names:commas}", {"names": ["salt", "set"]}, "salt, set"),
    ("{said:semicolons}", {"said": (OSError("No room"), "no light")}, "No room; no light"),
    ("{said:sentences}", {"said": ("No room.", "No light.")}, "No room. No light."),
    ("{chance:in-hundred}", {"chance": 0.384}, "38 in 100"),
    ("{chance:in-hundred}", {"chance": 0.9999}, "99 in 100"),
    ("{minutes:duration}", {"minutes": 150.0}, "2 h 30 min"),
    ("{minutes:hours}", {"minutes": 3725.2}, "62 h 5 min"),
    ("{share:volume.1}", {"share": 2.04}, "2.0 L"),
    ("{at:clock}", {"at": Instant(1_773_480_600_000, "Europe/London")}, "09:30"),
    ("{at:day}", {"at": Instant(1_773_480_600_000, "Pacific/Auckland")}, "14 March 2026"),
    ("{on:date}, a {on:weekday}", {"on": date(2026, 3, 14)}, "14 March 2026, a Saturday"),
    ("{at:minute}", {"at": Instant(1_773_480_600_000, "Pacific/Auckland")}, "2026-03-14 22:30"),
    ("{kind:reading} in {kind:reading-unit}", {"kind": "milk-temp"}, "milk in °C"),
    ("{noun:words}", {"noun": "air_reading"}, "air reading"),
    ("{text:first} milk", {"text": "raw"}, "Raw milk"),
    ("{text:first} was 5", {"text": "pH at drain"}, "pH at drain was 5"),
    ("{of:list}", {"of": (Message("salt"), "set")}, "salt and set"),
    ("{value:short}", {"value": -0.05}, "−0.05"),
    ("{unit:ahead}{value:short}{unit:behind}", {"value": 12.0, "unit": "mm"}, "12 mm"),
    ("{unit:ahead}{value:short}{unit:behind}", {"value": 5.3, "unit": "pH"}, "pH 5.3"),
    ("{unit:ahead}{value:short}{unit:behind}", {"value": 3.125, "unit": ""}, "3.125"),
    ("{key:undo} or {key:undo}.", {}, "Ctrl+Z or Ctrl+Z."),
    ("{why} Again.", {"why": OSError("No room.")}, "No room. Again."),
])  # fmt: skip
def test_a_template_writes_its_values(monkeypatch, template, values, says):
    monkeypatch.setitem(catalogue("records"), "records.tried", template)
    assert text_of(MessageError("records.tried", **values)) == says
    assert text_of(Message("records.tried", **values)) == says


def test_a_template_writes_in_the_style_in_use(monkeypatch):
    monkeypatch.setitem(catalogue("records"), "records.tried", "{at:clock}, {at:day}")
    output = Message("records.tried", at=Instant(1_773_480_600_000, "Europe/London"))
    assert text_of(output) == "09:30, 14 March 2026"
    with written_in(Style(clock="12")):
        assert text_of(output) == "9:30 am, 14 March 2026"
    assert text_of(output) == "09:30, 14 March 2026"


def test_one_text_is_asked_for_in_another_style_while_others_are_written(monkeypatch):
    monkeypatch.setitem(catalogue("records"), "records.tried", "{kg:mass} at {at:clock}")
    output = Message("records.tried", kg=1.0, at=Instant(1_773_480_600_000, "Europe/London"))
    usual, other = "1 kg at 09:30", "2.205 lb at 9:30 am"  # 1 lb is 0.45359237 kg (NIST SP 811)
    pounds = Style(clock="12", mass="lb")
    assert (text_of(output), text_of(output, pounds), text_of(output)) == (usual, other, usual)
    with written_in(pounds), ThreadPoolExecutor(1) as beside:
        assert text_of(output) == other
        assert beside.submit(text_of, output).result() == usual


# Twelve-hour time as ISO 8601's 24 h correspond to it: midnight is 12 am, noon 12 pm (from memory).
@pytest.mark.parametrize(("at", "says"), [
    ("2026-03-14T00:05", "12:05 am"), ("2026-03-14T11:59", "11:59 am"),
    ("2026-03-14T12:00", "12:00 pm"), ("2026-03-14T23:59", "11:59 pm"),
])  # fmt: skip
def test_twelve_hours_tell_noon_from_midnight(at, says):
    at_ms = round(datetime.fromisoformat(f"{at}+00:00").timestamp() * 1000)
    with written_in(Style(clock="12")):
        assert clock(at_ms, "UTC") == says


def test_what_an_older_journal_kept_and_what_python_says_stand_as_they_are():
    assert text_of(Message("Do not eat it: the acid came too late.")) == (
        "Do not eat it: the acid came too late."
    )
    assert text_of(ValueError("no such codec")) == "no such codec"
    assert text_of(OSError(13, "Permission denied", "/kept")) == "Permission denied"
    assert text_of(OSError(22, "keeping.no-plain-file")) == worded("keeping.no-plain-file")


def test_a_refusal_comes_whole_from_another_process():
    one = MessageError("records.tried", litres=3.0)
    again = pickle.loads(pickle.dumps(one))
    assert (again.id, again.values) == ("records.tried", {"litres": 3.0})
    assert str(again) == "records.tried (litres=3.0)"


def test_no_sentence_has_anybody_copy_a_journal_by_hand() -> None:
    """A copy of the file alone may lack the day, and one laid over another is the end of that:
    there are “backup”, “restore” and “rescue”."""
    root = BELOW.parent
    pages = [root / "README.md", *(root / "resources" / "help").glob("*.md")]
    texts = [text for room in ROOMS for text in catalogue(room).values() if isinstance(text, str)]
    texts += [page.read_text(encoding="utf-8") for page in pages]
    announced = re.compile(
        r"make a copy|copy (it|them|the (file|journal)s?) (over|to|onto|beside|elsewhere|and)"
        r"|(copy|move|rename) .{0,30} over (it|the journal|the file)", re.IGNORECASE,
    )  # fmt: skip
    assert [text for text in texts if announced.search(text)] == []
    assert len(texts) > 300


def test_every_table_of_the_journal_can_be_counted():
    for noun in UNDOABLE:
        assert f"wording.many-{noun.replace('_', '-')}" in catalogue("wording"), noun


def test_every_kind_of_evidence_has_a_word():
    from journal.findings.evidence import WORDS
    from journal.wording.evidence import evidence_words

    ids = {f"wording.evidence-{re.sub('[^a-z]+', '-', one)}" for one in WORDS}
    assert ids <= set(catalogue("wording"))
    assert [evidence_words(one) for one in WORDS[:3]] == ["clear", "may matter", "undecided"]
