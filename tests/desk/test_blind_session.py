"""A blind session through the window: laid out, scored, typed in, lifted, by real keys alone."""

from __future__ import annotations

import pypdf
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage
from PySide6.QtTest import QTest

from journal.desk import dialogs
from journal.desk.find import things_of
from journal.desk.messages import MessageBar
from journal.desk.tastings.blind.paper_entry import read_defects
from journal.desk.timeline import life_of
from journal.keeping import Journal
from journal.message import Message
from journal.records import RecordError
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.page_answers import PageAnswer, write_answer
from journal.records.plans import Plan, Stage
from tests.desk.hands import key_for, save_printed
from tests.desk.printed import type_of

ZONE = "Europe/London"
MADE = from_iso("2026-03-01T08:00", ZONE)
NOW = from_iso("2026-07-01T19:30", ZONE)
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
KEEP = (Qt.Key.Key_Return, CTRL)
PEOPLE = ("Orla", "Tam", "Wen")
LIKED = {"HL-0001-A": 8.0, "HL-0001-B": 7.0, "HL-0002-A": 6.0, "HL-0002-B": 5.0, "Abbey": 4.0}
LEVEL = {"Orla": 0.5, "Tam": -0.5, "Wen": 0.0}


def clock() -> int:
    return NOW


@pytest.fixture
def wheels(journal: Journal) -> Journal:
    plan = Plan("Plain", (Stage("warm", 30.0, target_c=31.0),), taste_at_days=(60.0, 120.0))
    for k in range(2):
        at = MADE + k * 7 * DAY_MS
        make = journal.makes.begin(plan, Milk(12.0), at)
        journal.makes.finish(make.id, [0.6, 0.5], at + DAY_MS // 4)
    return journal


@pytest.fixture
def place(wheels, window_on):
    place = window_on(wheels, clock=clock, place="tastings").current
    press(place, *key_for("part_2"))
    return place


@pytest.fixture
def part(place):
    return place.shown_part()


def focus(place):
    return place.window().focusWidget()


def press(place, *key) -> None:
    QTest.keyClick(focus(place), *key)


def enter(place, text: str) -> None:
    QTest.keyClicks(focus(place), text)
    press(place, Qt.Key.Key_Return)


def set_up(place, cheeses=("0001-a", "0001-b", "0002-a", "0002-b", "Abbey"), people=PEOPLE):
    for text in cheeses:
        enter(place, text)
    press(place, Qt.Key.Key_Return)
    for name in people:
        enter(place, name)
    press(place, *KEEP)


def names(journal: Journal) -> dict[int, str]:
    """What each sample is, read by another door."""
    with Journal.open(journal.path, read_only=True) as again:
        return {
            s.id: again.wheels.get(s.wheel_id).code if s.wheel_id else s.reference
            for s in again.samples.all()
        }


def serving_shown(place, part):
    return part.scoring._here()


def everything_shown(place) -> str:
    """Every word and accessible description in the window that can be seen."""
    output = []
    for widget in [place.window(), *place.window().findChildren(type(place).__mro__[-3])]:
        if widget.isVisible():
            text = getattr(widget, "text", None) if not isinstance(widget, MessageBar) else None
            output += [widget.accessibleName(), widget.accessibleDescription(), widget.toolTip()]
            output.append(text() if callable(text) else "")
    return " | ".join(output)


def test_three_assessors_and_five_samples_by_keyboard(place, part, wheels):
    set_up(place)
    assert part.pages.currentWidget() is part.sheet
    cheeses = names(wheels)
    assert sorted(cheeses.values()) == sorted(LIKED)
    for _ in range(15):
        here = serving_shown(place, part)
        assert part.sheet.code.text() == here.code
        assert part.sheet.who.text() == f"{here.assessor} is tasting"
        given = LIKED[cheeses[here.sample_id]] + LEVEL[here.assessor]
        enter(place, f"{given:g}".replace(".", ","))
        for value in ("7", "6,5", "7", "5,5", "6", "1,5", "7"):
            enter(place, value)
        press(place, *KEEP)
    assert "All have finished" in part.sheet.message.text()
    assert wheels.sessions.all() == []
    press(place, *key_for("lift"))
    assert part.pages.currentWidget() is part.shown
    rows = part.shown.table.rows_model.rows
    assert [row.sample.name for row in rows] == list(LIKED)
    assert [row.now for row in rows] == pytest.approx(list(LIKED.values()))
    with Journal.open(wheels.path, read_only=True) as again:
        assert len(again.scores.all()) == 15 * 8
        whole = again.whole(again.makes.by_code("HL-0001").id)
        assert {
            (g.assessor, g.value)
            for g in whole.scores
            if g.attribute == "overall" and g.wheel_code == "HL-0001-A"
        } == {("Orla", 8.5), ("Tam", 7.5), ("Wen", 8.0)}
    assert wheels.check() == []
    assert not wheels.within_unit


def test_nothing_on_the_screen_gives_a_code_away(place, part, wheels):
    part.draw_seed = lambda: 7  # drawn at random a code may be a number that stands there anyway
    set_up(place)
    codes = {row.code for row in wheels.sessions.servings(part.session.id)}
    for _ in range(4):
        enter(place, "9,5")
        press(place, *KEEP)
        shown = everything_shown(place)
        assert not any(name in shown for name in LIKED), shown
    window = place.window()
    assert not any(code in thing.words for thing in things_of(wheels) for code in codes)
    for make in wheels.makes.all():
        assert not any(m.kind == "tasting" for m in life_of(wheels.whole(make.id), NOW).marks)
    for key in ("today", "room", "makes", "findings"):
        window.go(key)
        shown = everything_shown(window.current)
        assert not any(code in shown for code in codes), key
        assert "9.5" not in shown, key
    window.go("tastings")
    press(place, *key_for("part_1"))
    assert place.open.chooser.table.rows_model.rows[0].row.tasted == 0
    assert "9.5" not in everything_shown(place)


def test_the_helpers_key_is_covered_until_it_is_asked_for(place, part, wheels):
    set_up(place)
    press(place, *key_for("key"))
    assert part.pages.currentWidget() is part.key
    assert not any(name in everything_shown(place) for name in LIKED)
    press(place, Qt.Key.Key_Return)
    rows = part.key.table.rows_model.rows
    assert {row.cheese for row in rows} == set(LIKED)
    press(place, *key_for("key"))
    assert part.pages.currentWidget() is part.sheet
    press(place, *key_for("key"))
    press(place, Qt.Key.Key_Return)
    place.window().go("today")
    place.window().go("tastings")
    assert part.pages.currentWidget() is part.sheet
    assert part.key.table.rows_model.rows == []


def test_the_cloth_asks_twice_while_somebody_has_samples_left(place, part, wheels):
    set_up(place, people=("Orla",))
    press(place, *key_for("lift"))
    assert "No scores yet" in part.sheet.message.text()
    assert wheels.sessions.hidden_sessions()
    enter(place, "7")
    press(place, *KEEP)
    press(place, *key_for("lift"))
    assert "Orla has 4 samples left" in part.sheet.message.text()
    assert wheels.sessions.hidden_sessions()
    press(place, *key_for("lift"))
    assert part.pages.currentWidget() is part.shown
    place.window().undo()
    assert part.pages.currentWidget() is part.sheet
    assert wheels.sessions.hidden_sessions()


def test_it_asks_anew_once_something_else_was_said(place, part, wheels):
    """Five samples are left to someone who joined since."""
    set_up(place, people=("Orla",))
    for _ in range(4):
        enter(place, "7")
        press(place, *KEEP)
    press(place, *key_for("lift"))
    assert "Orla has 1 sample left" in part.sheet.message.text()
    press(place, *key_for("join"))
    enter(place, "Tam")
    press(place, *key_for("lift"))
    assert wheels.sessions.hidden_sessions()
    assert "Orla has 1 sample left" in part.sheet.message.text()
    part.scoring._on_picked(wheels.sessions.servings(part.session.id)[0].id)
    press(place, *key_for("lift"))
    assert wheels.sessions.hidden_sessions()
    press(place, *key_for("lift"))
    assert wheels.sessions.hidden_sessions() == []


def test_a_sitting_laid_out_in_error_is_taken_away(place, part, wheels):
    set_up(place, people=("Orla",))
    press(place, *key_for("lift"))
    press(place, *key_for("lift"))
    assert wheels.sessions.hidden_sessions() == []
    assert part.pages.currentWidget() is part.form
    place.window().undo()
    assert len(wheels.sessions.hidden_sessions()) == 1
    press(place, *key_for("choose"))
    assert part.pages.currentWidget() is part.list
    press(place, Qt.Key.Key_Return)
    assert part.pages.currentWidget() is part.sheet


def test_what_was_typed_and_not_kept_comes_back(place, part, wheels):
    set_up(place)
    first = serving_shown(place, part)
    enter(place, "7,5")
    other = wheels.sessions.servings(part.session.id)[7]
    part.scoring._on_picked(other.id)
    assert part.sheet.draft().empty
    part.scoring._on_picked(first.id)
    assert part.sheet.draft().texts == {"overall": "7.5"}
    assert wheels.scores.all() == []
    place.window().go("today")
    place.window().go("tastings")
    assert part.sheet.draft().texts == {"overall": "7.5"}


def test_defects_words_and_a_photo_go_with_the_code(place, part, wheels, tmp_path, monkeypatch):
    source = tmp_path / "HL-0001-A.png"
    image = QImage(60, 40, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkYellow)
    image.save(str(source))
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(source))
    set_up(place)
    here = serving_shown(place, part)
    part.sheet.defects.setFocus()
    enter(place, "slight bitt")
    press(place, Qt.Key.Key_Return)
    assert focus(place) is part.sheet.note
    QTest.keyClicks(focus(place), "hazelnut")
    part.sheet.photo.button.setFocus()
    press(place, Qt.Key.Key_Space)
    assert part.sheet.photo.name
    assert "0001" not in part.sheet.photo.name
    press(place, *KEEP)
    card = wheels.sessions.scored(here.id)
    assert card.defects == (("flavour", "bitter", "slight"),)
    assert card.note == "hazelnut"
    assert wheels.photos.file(card.photo).is_file()


def test_paper_sheets_are_typed_in_quickly(place, part, wheels):
    set_up(place, people=("Orla", "Tam"))
    press(place, *key_for("from_paper"))
    assert part.paper.title.text() == "What Orla wrote"
    for row in range(5):
        for value in ("7", "6,5", "7", "7", "5", "6", "1", str(row)):
            enter(place, value)
        enter(place, "nutty")
        enter(place, "slight bitter, open")
    press(place, *KEEP)
    assert part.paper.title.text() == "What Tam wrote"
    assert len(wheels.scores.all()) == 40
    assert len(wheels.defects.all()) == 10
    assert wheels.undo_name == Message("what Orla wrote")
    enter(place, "12")
    press(place, *KEEP)
    assert "halves" in part.paper.message.text()
    assert focus(place) is part.paper.rows[0].cells[0]
    press(place, Qt.Key.Key_Escape)
    assert part.pages.currentWidget() is part.sheet


def test_paper_half_typed_comes_back_after_another_page(place, part, wheels):
    """The cell one stood in is shown for a moment before the sheet is."""
    set_up(place)
    press(place, *key_for("from_paper"))
    QTest.keyClicks(focus(place), "7,5")
    press(place, *key_for("choose"))
    press(place, Qt.Key.Key_Return)
    assert part.pages.currentWidget() is part.sheet
    press(place, *key_for("from_paper"))
    assert part.paper.rows[0].texts()[0] == "7,5"
    assert focus(place) is part.paper.rows[0].cells[1]


def test_a_score_half_typed_stays_while_an_older_result_is_shown(place, part, wheels, window_on):
    set_up(place, ("0001-a", "0001-b"), ("Orla",))
    enter(place, "7")
    press(place, *KEEP)
    press(place, *key_for("lift"))
    press(place, *key_for("lift"))
    older = part.session.id
    press(place, *key_for("choose"))
    press(place, *key_for("choose"))
    set_up(place, ("0001-a", "0001-b"), ())
    enter(place, "7,5")
    part.show_revealed(older)
    place.window().close()
    again = window_on(wheels, clock=clock, place="tastings").current
    press(again, *key_for("part_2"))
    assert again.blind.made().sheet.draft().texts == {"overall": "7.5"}


def test_a_sheet_of_ones_own_with_words_for_its_scale(place, part, wheels):
    enter(place, "0001-a")
    part.form.people.setFocus()
    enter(place, "Orla")
    part.form.sheet.setFocus()
    for _ in range(7):
        press(place, Qt.Key.Key_Backspace)
        press(place, Qt.Key.Key_Delete)
    enter(place, "grassy")
    press(place, *KEEP)
    assert part.session.attributes == ("overall", "grassy")
    assert [row.attribute for row in part.sheet.rows] == ["overall", "grassy"]
    enter(place, "7")
    assert focus(place) is part.sheet.rows[1].line
    assert part.going.scale.meaning.text().startswith("Grassy")
    part.going.scale.words[0].setFocus()
    enter(place, "no grass at all")
    part.sheet.rows[0].setFocus()
    assert "not to be eaten" in part.going.scale.words[0].text()
    part.sheet.rows[1].setFocus()
    assert part.going.scale.words[0].text() == "no grass at all"
    enter(place, "3")
    press(place, *KEEP)
    press(place, *key_for("lift"))
    assert {
        g.attribute
        for g in wheels.sessions.for_panel("grassy")
        and wheels.sessions.of_wheel(wheels.wheel_by_code("HL-0001-A").id)
    } == {"overall", "grassy"}


def test_tasting_alone_with_a_helpers_shuffle(place, part, wheels):
    part.form.codes.choose("shuffle")
    set_up(place, cheeses=("0001-a", "0002-b", "Abbey"), people=("Orla",))
    labels = {row.cheese: row.code for row in wheels.sessions.key(part.session.id)}
    given = {}
    for value in (8, 5, 2):
        given[serving_shown(place, part).code] = value
        assert part.sheet.code.text() == f"cup {serving_shown(place, part).code}"
        enter(place, str(value))
        press(place, *KEEP)
    press(place, *key_for("lift"))
    assert part.pages.currentWidget() is part.cups
    under = dict(zip(("1", "2", "3"), ("Abbey", "HL-0001-A", "HL-0002-B"), strict=True))
    for cup in ("1", "2", "3"):
        enter(place, labels[under[cup]])
    press(place, *KEEP)
    assert part.pages.currentWidget() is part.shown
    got = {row.sample.name: row.now for row in part.shown.table.rows_model.rows}
    assert got == {under[cup]: value for cup, value in given.items()}


def test_a_wheel_served_twice_stands_as_two_codes(place, part, wheels):
    set_up(place, cheeses=("0001-a", "0001-a", "0001-a", "0002-a"))
    assert len(wheels.samples.all()) == 3
    assert sorted(names(wheels).values()) == ["HL-0001-A", "HL-0001-A", "HL-0002-A"]


@pytest.mark.parametrize(
    ("cheeses", "people", "says"),
    [((), ("Orla",), "what to taste"), (("0001-a",), (), "who is tasting")],
)
def test_what_is_missing_is_said(place, part, wheels, cheeses, people, says):
    set_up(place, cheeses, people)
    assert says in part.form.message.text()
    assert part.pages.currentWidget() is part.form
    assert wheels.tastings.all() == []


def test_the_sheets_are_printed_and_read_again(place, part, wheels, tmp_path, monkeypatch):
    target = tmp_path / "sheets.pdf"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(target))
    set_up(place)
    press(place, Qt.Key.Key_P, CTRL)
    save_printed()
    assert "key.pdf" in place.messages.text("print")
    pages = [page.extract_text() for page in pypdf.PdfReader(target).pages]
    text = "\n".join(pages)
    assert not any(name in text for name in LIKED)
    sizes = type_of(target)
    assert min(size for _, size in sizes) > 8.95
    figures = [size for word, size in sizes if word.isdecimal() and int(word) <= 10]
    assert len(figures) >= 11
    assert min(figures) > 10.95
    servings = wheels.sessions.servings(part.session.id)
    begins = [text.index(name) for name in PEOPLE] + [len(text)]
    for k, name in enumerate(PEOPLE):
        mine = text[begins[k] : begins[k + 1]]
        at = [mine.index(s.code) for s in servings if s.assessor == name]
        assert len(at) == 5
        assert at == sorted(at)
    assert text.count("consistency") == 15
    key = pypdf.PdfReader(tmp_path / "sheets key.pdf").pages[0].extract_text()
    assert all(name in key for name in LIKED)
    assert all(s.code in key for s in servings)


def test_defects_are_read_as_written():
    assert read_defects("bitter, slight open,") == (
        ("flavour", "bitter", "definite"),
        ("body_texture", "open", "slight"),
    )
    assert read_defects("") == ()
    with pytest.raises(RecordError, match="no-such-defect"):
        read_defects("zzz")


def test_someone_joins_by_keys_after_the_laying_out(place, part, wheels):
    set_up(place, people=("Orla", "Tam"))
    enter(place, "7,5")
    before = serving_shown(place, part)
    press(place, *key_for("join"))
    enter(place, "Wen")
    assert focus(place) is part.sheet.rows[1].line  # back where one was
    assert serving_shown(place, part) == before
    assert part.sheet.draft().texts == {"overall": "7.5"}
    assert "Wen joins" in part.sheet.message.text()
    rows = wheels.sessions.servings(part.session.id)
    assert [r.assessor for r in rows] == ["Orla"] * 5 + ["Tam"] * 5 + ["Wen"] * 5
    assert {r.code for r in rows[:5]} == {r.code for r in rows[10:]}
    press(place, *key_for("join"))
    enter(place, "Wen")
    assert "is already in this session" in part.sheet.message.text()
    for _ in range(15):
        enter(place, "7")
        press(place, *KEEP)
    assert "All have finished" in part.sheet.message.text()
    press(place, *key_for("lift"))
    assert all(len(row.sample.all_scored) == 3 for row in part.shown.table.rows_model.rows)


def test_someone_joins_while_paper_is_typed_in(place, part, wheels):
    set_up(place, people=("Orla",))
    press(place, *key_for("from_paper"))
    enter(place, "7")
    press(place, *key_for("join"))
    enter(place, "Wen")
    assert part.paper.rows[0].cells[0].text() == "7"
    assert "Wen joins" in part.paper.message.text()
    press(place, *KEEP)
    assert part.paper.title.text() == "What Orla wrote"
    assert [w.text() for w in part.paper.others.itemAt(0).widget().choice._words] == ["Orla", "Wen"]


def test_older_sittings_are_reached_by_keys(place, part, wheels):
    set_up(place, cheeses=("0001-a", "0001-b"), people=("Orla",))
    first = part.session
    press(place, *key_for("choose"))
    assert part.pages.currentWidget() is part.list
    press(place, *key_for("choose"))
    assert part.pages.currentWidget() is part.form
    set_up(place, cheeses=("0002-a", "0002-b"), people=("Tam",))
    second = part.session
    assert second.id != first.id
    enter(place, "6")
    press(place, *key_for("choose"))
    rows = part.list.table.rows_model.rows
    assert [row.tasting.id for row in rows] == [second.id, first.id]
    press(place, Qt.Key.Key_Down)
    press(place, Qt.Key.Key_Return)
    assert part.session.id == first.id
    assert part.sheet.who.text() == "Orla is tasting"
    for _ in range(2):
        enter(place, "8")
        press(place, *KEEP)
    press(place, *key_for("lift"))
    assert part.pages.currentWidget() is part.shown
    press(place, *key_for("choose"))
    assert part.list.table.current().tasting.id == second.id  # what is hidden first
    press(place, *KEEP)
    assert part.session.id == second.id
    assert part.sheet.draft().texts == {"overall": "6.0"}  # what was typed there was not lost
    press(place, *key_for("choose"))
    press(place, Qt.Key.Key_Down)
    press(place, Qt.Key.Key_Return)
    assert part.pages.currentWidget() is part.shown
    assert part.session.id == first.id


def test_one_stands_on_the_same_session_while_another_comes(place, part):
    set_up(place, ("0001-a", "0001-b"), ("Orla",))
    first = part.session.id
    press(place, *key_for("choose"))
    press(place, *key_for("choose"))
    set_up(place, ("0002-a", "0002-b"), ())
    place.window().undo()
    press(place, *key_for("choose"))
    place.window().redo()
    assert len(part.list.table.rows) == 2
    assert part.list.table.current().tasting.id == first


def test_a_board_half_laid_out_stays_when_one_looks_elsewhere(place, part, wheels):
    set_up(place, cheeses=("0001-a",), people=("Orla",))
    press(place, *key_for("choose"))
    press(place, *key_for("choose"))
    enter(place, "0002-a")
    place.window().go("today")
    place.window().go("tastings")
    assert part.pages.currentWidget() is part.form
    assert [entry.words for entry in part.form.board.entries()] == ["HL-0002-A"]


def test_a_double_is_told_once_the_cloth_is_lifted(place, part, wheels):
    set_up(place, cheeses=("0001-a", "0001-a", "0002-a"), people=("Orla", "Tam"))
    twice = iter({"Orla": (7, 7.5), "Tam": (5, 6)}[name] for name in ("Orla", "Tam"))
    cheeses = names(wheels)
    for _ in range(2):
        pair = iter(next(twice))
        for _ in range(3):
            double = cheeses[serving_shown(place, part).sample_id] == "HL-0001-A"
            enter(place, f"{next(pair) if double else 4:g}".replace(".", ","))
            press(place, *KEEP)
    assert not part.shown.twice.text()
    press(place, *key_for("lift"))
    output = part.shown.twice.text()
    assert output.startswith("HL-0001-A was served twice: ")
    assert sorted(output.split(": ")[1].rstrip(".").split(", ")) in (
        ["Orla 7 and 7.5", "Tam 5 and 6"], ["Orla 7.5 and 7", "Tam 5 and 6"],
        ["Orla 7 and 7.5", "Tam 6 and 5"], ["Orla 7.5 and 7", "Tam 6 and 5"],
    )  # fmt: skip
    dots = [row.cells for row in part.beside.all.table().rows if row.cells[0] == "HL-0001-A"]
    assert len(dots) == 1
    assert [dots[0][3].count(name) for name in ("Orla", "Tam")] == [2, 2]
    press(place, *key_for("part_4"))
    panel = place.shown_part()
    assert {row.name: row.dots for row in panel.cups.rows} == {
        "Orla": (7.0, 7.5), "Tam": (5.0, 6.0)
    }  # fmt: skip
    press(place, *key_for("part_1"))


def test_pages_go_out_and_what_comes_back_is_pasted_or_dropped_once(
    place, part, wheels, tmp_path, monkeypatch, qapp
):
    """Nothing on the screen says what was given; a correction replaces only when it comes twice."""
    set_up(place, people=("Orla", "Tam"))
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "pages"))
    press(place, Qt.Key.Key_E, CTRL | SHIFT)
    assert "2 pages saved" in place.messages.text("elsewhere")
    assert len(list((tmp_path / "pages").glob("*.html"))) == 2
    first, second = wheels.elsewhere.pages(part.session.id)
    table = tuple((7.5, *[None] * 6, 9.5) for _ in LIKED)
    line = write_answer(PageAnswer(table, ("",) * 5), first.key)

    def paste(text: str) -> str:
        qapp.clipboard().setText(text)
        press(place, Qt.Key.Key_V, CTRL | SHIFT)
        return place.messages.text("elsewhere")

    assert "Nothing that was copied" in paste("") or "no answer" in paste("hello")
    assert "cut short" in paste(line[:-5])
    assert wheels.scores.all() == []
    assert "Saved Orla's answer" in paste(f"Hi!\n{line}")
    assert "5 samples; 5 samples left" in place.messages.text("elsewhere")
    shown = everything_shown(place)
    assert not any(name in shown + place.messages.text("elsewhere") for name in LIKED)
    assert serving_shown(place, part).given == 2
    with Journal.open(wheels.path, read_only=True) as again:
        assert [s.value for s in again.scores.all()] == [7.5, 9.5] * 5
    assert "taken already" in paste(line)
    better = write_answer(PageAnswer(((8.0, *table[0][1:]), *table[1:]), ("",) * 5, 2), first.key)
    assert "once more to replace" in paste(better)
    assert wheels.scores.all()[0].value == 7.5
    assert "Saved" in paste(better)
    assert wheels.scores.all()[0].value == 8.0
    press(place, Qt.Key.Key_Z, CTRL)
    assert wheels.scores.all()[0].value == 7.5
    file = tmp_path / "answer.txt"
    file.write_text(write_answer(PageAnswer(table, ("nutty",) * 5), second.key), encoding="utf-8")
    drop(place, file)
    assert "all have finished" in place.messages.text("elsewhere")
    assert [note.text for note in wheels.sample_notes.all()] == ["nutty"] * 5
    press(place, *key_for("lift"))
    assert part.pages.currentWidget() is part.shown
    assert not place.can_take()


def drop(place, path) -> None:
    """A file let go over the place."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    how = (Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier(0))
    entering, dropped = QDragEnterEvent(QPoint(50, 50), *how), QDropEvent(QPointF(50, 50), *how)
    place.dragEnterEvent(entering)
    place.dropEvent(dropped)
    assert entering.isAccepted()
    assert dropped.isAccepted()
