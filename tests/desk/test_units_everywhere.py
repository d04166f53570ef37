"""With every unit switched no place, sheet or command says a stored unit, but for what is excepted
here with its reason."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QAbstractTableModel, Qt
from PySide6.QtWidgets import QAbstractItemView, QWidget

from journal.command import main
from journal.desk.charts.chart import Chart
from journal.desk.places import PLACES
from journal.desk.preferences import choose
from journal.desk.shots import settle
from journal.keeping import Journal
from journal.records.plan_text import builtin_plan
from journal.wording import written_in
from journal.wording.plan_lines import with_stored_parts
from journal.wording.shown import in_shown_units
from journal.wording.style import Style
from journal.wording.why import measured_words
from tests import present
from tests.desk.printed import own_plan, words_of, write_all
from tests.desk.test_plan_writing import K, Writer, _clock

US = {"temperature": "F", "mass": "lb", "volume": "gal", "length": "in"}
_STORED = re.compile(
    r"°C|\d ?(?:g|kg|L|mm|cm)\b(?!/)|(?:^|, |\s\s)(?:g|kg|L|mm|cm)(?:$|\s\s)", re.MULTILINE
)
EXCEPT = (
    # less than an ounce is weighed in grams: kitchen scales show no hundredths of an ounce
    r"\b(?:1?\d|2[0-7])(?:\.\d+)? g\b|\b28(?:\.[0-2]\d*)? g\b|\b0\.\d+ g\b",
    # what is quoted from a rule or a source stays as its source has it
    r"not less than 1\.7 °C",
)  # fmt: skip


def stored_units(text: str, written: tuple[str, ...] = ()) -> list[str]:
    """Where a text says a stored unit, without what people wrote themselves."""
    for one in sorted(written, key=len, reverse=True):
        text = text.replace(one, "")
    for pattern in EXCEPT:
        text = re.sub(pattern, "", text)
    return [text[max(0, at.start() - 30) : at.end() + 10] for at in _STORED.finditer(text)]


def seen(window: QWidget) -> Iterator[str]:
    """All words that a place shows, says to the pointer and to a screen reader."""
    for one in window.findChildren(QWidget):
        if not one.isVisible():
            continue
        for name in ("text", "toolTip", "accessibleName", "accessibleDescription"):
            read = getattr(one, name, None)
            if callable(read):
                yield str(read())
        if isinstance(one, QAbstractItemView) and one.model() is not None:
            yield from _cells(one)
        if isinstance(one, Chart):
            yield str(one.table())


def _cells(view: QAbstractItemView) -> Iterator[str]:
    model, role = view.model(), Qt.ItemDataRole
    columns = model.columnCount() if isinstance(model, QAbstractTableModel) else 1
    for column in range(columns):
        yield str(model.headerData(column, Qt.Orientation.Horizontal) or "")
        for row in range(model.rowCount()):
            for kind in (role.DisplayRole, role.ToolTipRole, role.AccessibleTextRole):
                yield str(model.index(row, column).data(kind) or "")


def written_by_people(journal: Journal) -> tuple[str, ...]:
    """Instructions, notes and remarks: they stay as somebody wrote them."""
    plans = [journal.makes.plan_of(make) for make in journal.makes.all()]
    found = {note.text for note in journal.notes.where()}
    for plan in (*plans, own_plan(), builtin_plan("washed-curd type")):
        found |= {plan.note, plan.caution, plan.source}
        for stage in plan.stages:
            found |= {stage.instruction, stage.until, stage.until[:1].lower() + stage.until[1:]}
            found |= {dose.note for dose in stage.doses}
    return tuple(one.strip() for one in found if one.strip())


def test_every_place_follows_the_units(qtbot, qapp, sample: Journal, window_on, saved) -> None:
    for key, value in US.items():
        choose(saved, key, value)
    written = written_by_people(sample)
    window = window_on(sample, clock=present.now)
    window.resize(1440, 900)
    found: dict[str, list[str]] = {}
    for entry in PLACES:
        window.go(entry.key)
        qtbot.waitUntil(window.settled, timeout=60_000)
        settle(qapp, window)
        words = list(seen(window))
        assert len(words) > 20
        found[entry.key] = [hit for text in words for hit in stored_units(text, written)]
    assert found == {entry.key: [] for entry in PLACES}


@pytest.mark.parametrize(("value", "unit", "says"), [
    (38.0, "°C", "100.4 °F"),  # by the definition of the scale
    (12.7, "mm", "0.5 in"),  # an inch is 25.4 mm
    (37.8541, "L", "10 US gal"),  # a gallon is 3.785412 L (NIST SP 811, appendix B.8)
    (52.0, "min", "52 min"), (6.07, "pH", "6.07"),
])  # fmt: skip
def test_why_says_any_variable_in_the_units(value, unit, says) -> None:
    with written_in(Style(**US)):
        assert measured_words(value, unit) == says


@pytest.mark.parametrize("paper", ["A4"])
def test_every_sheet_follows_the_units(sample: Journal, tmp_path: Path, paper) -> None:
    written = tuple(" ".join(one.split()) for one in written_by_people(sample))
    with written_in(Style(**US)):
        sheets = write_all(sample, tmp_path, paper)
        says = {name: words_of(path) for name, path in sheets.items()}
        found = {name: stored_units(words, written) for name, words in says.items()}
    assert found == {name: [] for name in found}
    for words in (
        "3.17 US gal",
        "mould 5.91 in",
        "1.09 oz",
        "Pieces of 0.37 in",
        "The room: 51.8 °F",
    ):
        assert words in says["make sheet"]
    assert "should be 32.0 °F" in says["list"]


# What reads, and what says what it wrote.
COMMANDS = (
    ("plans",), ("makes",), ("milk",), ("wheels",), ("parts", "HL-0022-A"), ("due",), ("away",),
    ("room",), ("room", "cellar"), ("air", "cellar"), ("ready",), ("history", "HL-0022"), ("bin",),
    ("sessions",), ("session-results", "latest"), ("tests",), ("deviation", "HL-0022"),
    ("why", "HL-0022"), ("why", "HL-0022-A"), ("plan-care", "cheddar type"),
    ("wheel-care", "HL-0022-A"), ("log", "latest", "milk-temp", "88F"),
    ("care", "HL-0022-A", "turn"), ("open", "2026-12-20"), ("check",), ("backups",),
    ("findings", "--score", "overall"), ("next",), ("next", "--manner", "bold"), ("series",),
    ("make-for", "cheddar type", "2026-12-20"), ("forecast", "latest", "--ph", "6.4"),
)  # fmt: skip


@pytest.mark.usefixtures("saved")
def test_every_command_follows_the_units(sample_file, tmp_path, monkeypatch, capsys) -> None:
    import shutil

    path = tmp_path / "s.vatside"
    shutil.copy(sample_file, path)
    (tmp_path / "Vatside").mkdir()
    chosen = "\n".join(f"{key}={value}" for key, value in US.items())
    (tmp_path / "Vatside" / "vatside.ini").write_text(f"[preferences]\n{chosen}\n")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    found = {}
    for name, *rest in COMMANDS:
        code = main([name, str(path), *rest])
        output = capsys.readouterr()
        assert code == 0, (name, output.err)
        found[name] = stored_units(output.out)
        if name == "findings":  # a typical change of 1 °C, by the size of a degree alone
            assert re.search(r"^cook temperature +\+1\.8 °F ", output.out, re.MULTILINE)
    assert found == {name: [] for name in found}


# The cells of a plan


@pytest.fixture
def writer(window_on, journal, saved) -> Writer:
    for key, value in US.items():
        choose(saved, key, value)
    made = Writer(window_on(journal, place="plans", clock=_clock))
    made.place.show_plan("cheddar type")
    return made


def test_what_goes_in_is_shown_and_typed_in_the_units_chosen(writer: Writer) -> None:
    known, author = builtin_plan("cheddar type"), writer.place.author
    kinds = [stage.kind for stage in known.stages]
    cut, salt, press = kinds.index("cut"), kinds.index("salt"), kinds.index("press")
    assert author.text_of(cut, "what").startswith("0.37 in;")
    assert author.text_of(salt, "what").startswith("salt 1.09 oz")
    assert author.text_of(press, "what").startswith("19.8 lb = 5.0 kPa")
    assert writer.line(cut).words == "0.37 in"
    assert writer.place.page.title.text() == "Cheddar type, 3.17 US gal"
    for place in (cut, salt, press):  # opened, and nothing is typed
        writer.at(place, 3)
        writer.presses(K.Key_Return)
        writer.presses(K.Key_Return)
        assert author.settled.plan().stages[place] == known.stages[place]
    assert in_shown_units("± 1.5 °C; salt 61.8 g; 0.2 g") == "± 2.7 °F; salt 2.18 oz; 0.2 g"
    text = with_stored_parts(author.settled, press, "19.8 lb = 5.0 kPa; turn twice", 12.0)
    assert text.startswith("9.0 kg = 5.0 kPa;")
    writer.at(cut, 3)
    writer.types("1/2 in")
    writer.presses(K.Key_Return)
    assert author.settled.plan().stages[cut].size_mm == pytest.approx(12.7)


def test_the_moulds_field_is_in_the_unit_chosen(writer: Writer) -> None:
    field = writer.place.page.mould
    assert field.line.text() == "5.91"
    assert field.unit == "in"
    field.line.setFocus()
    writer.presses(K.Key_Tab)
    assert writer.place.author.settled.head.mould_mm == 150.0  # nobody typed over it
    field.line.setFocus()
    field.line.selectAll()
    writer.types("6")
    writer.presses(K.Key_Tab)
    assert writer.place.author.settled.head.mould_mm == pytest.approx(152.4)
