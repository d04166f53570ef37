"""A make as one page: whole in itself, no markup but its own, drawn by a real browser."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QBuffer, QIODevice
from PySide6.QtGui import QColor, QImage

from journal.curves.day_scene import is_ph, make_scene
from journal.desk.makes.sent_page import write_sent_page
from journal.exchange.make_page import PagePhoto, make_page, write_make_page
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.makes import Milk, Note
from journal.records.plan_text import builtin_plans
from journal.wording import Style, written_in

EVIL = '<script>alert(1)</script><img src="http://x.example/a.png" onerror=alert(2)> & “raw”'
BEGAN = 1_770_000_000_000
VOID = {"meta", "br", "img", "link", "input", "hr"}


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal in a real file."""
    with Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone="Europe/London") as made:
        yield made


@pytest.fixture
def whole(journal: Journal):
    """A finished cheddar with readings, whose name, notes and plan say what they should not."""
    plan = next(one for one in builtin_plans() if one.name == "cheddar type")
    stages = (replace(plan.stages[0], name=EVIL[:60]), *plan.stages[1:])
    make = journal.makes.begin(replace(plan, stages=stages), Milk(12.0), BEGAN, name=EVIL)
    minutes = np.arange(300, dtype=np.int64)
    journal.readings.add_many(make.id, "milk-temp", BEGAN + minutes * 60_000, 31 + minutes / 60)
    for minute, ph in ((60, 6.6), (120, 6.5), (200, 6.3)):
        journal.readings.log(make.id, "curd-ph", ph, BEGAN + minute * 60_000)
    for stage, start in zip(plan.stages[:6], plan.starts(), strict=False):
        journal.makes.end_stage(make.id, BEGAN + round((start + stage.minutes) * 60_000))
    journal.makes.finish(make.id, [1.2], BEGAN + 86_400_000)
    journal.notes.save(Note(BEGAN + 600_000, EVIL, make_id=make.id))
    return journal.whole(make.id)


class Reader(HTMLParser):
    """Reads a page: its tags, attributes and text; says where one is left open."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.text: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def test_the_page_is_whole_and_nothing_typed_is_markup(whole, tmp_path: Path) -> None:
    words = write_make_page(whole, tmp_path / "a.html").read_text("utf-8")
    assert words == make_page(whole)
    read = Reader()
    read.feed(words)
    assert read.open == []
    assert {"svg", "table", "h1", "style"} <= set(read.tags)
    assert not {"script", "img", "iframe", "link", "object"} & set(read.tags)
    names = {name for name, _ in read.attributes}
    assert not [name for name in names if name.startswith("on")]
    assert not {"src", "href"} & names
    outside = [value for name, value in read.attributes if value and "://" in value
               and name != "xmlns"]  # fmt: skip
    assert outside == []
    output = "".join(read.text)
    assert output.count("<script>alert(1)</script>") >= 3
    assert "default-src 'none'" in words
    assert whole.make.code in output
    assert "pH" in output
    assert "pasteur" in output or "raw" in output


def test_the_drawing_has_the_readings_where_they_belong(whole) -> None:
    words = make_page(whole)
    paths = dict(re.findall(r'<path class="(temp|acid)" d="([^"]+)"', words))
    temp = [tuple(map(float, pair.split())) for pair in re.split("[ML]", paths["temp"])[1:]]
    assert len(temp) > 50
    xs, ys = zip(*temp, strict=True)
    assert list(xs) == sorted(xs)
    assert list(ys) == sorted(ys, reverse=True)  # it rose all day
    assert len(re.findall('<circle class="dot"', words)) == 3
    targets = [one for one in make_scene(whole, None).acid_targets if is_ph(one)]
    assert targets
    assert len(re.findall('<rect class="target"', words)) == len(targets)
    assert all(f">{one.label}</text>" in words for one in targets)


def test_a_make_of_nothing_is_a_page_too(journal: Journal) -> None:
    plan = next(one for one in builtin_plans() if one.name == "cheddar type")
    make = journal.makes.begin(plan, Milk(12.0), BEGAN)
    read = Reader()
    read.feed(make_page(journal.whole(make.id)))
    assert read.open == []
    assert "no acidity was read" in "".join(read.text)


def jpeg(colour: str) -> bytes:
    """A photo of one colour."""
    image, written = QImage(400, 300, QImage.Format.Format_RGB32), QBuffer()
    image.fill(QColor(colour))
    written.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(written, "JPEG", 90)
    return bytes(written.data().data())


def test_its_photos_are_in_it_the_cut_first_and_none_that_is_hidden(
    whole, journal: Journal, tmp_path: Path
) -> None:
    def photo(colour: str) -> Path:
        (tmp_path / f"{colour}.jpg").write_bytes(jpeg(colour))
        return tmp_path / f"{colour}.jpg"

    (wheel,) = whole.wheels
    month = BEGAN + 62 * 86_400_000
    journal.photos.save(Note(BEGAN + 7_200_000, "the curd", whole.make.id), photo("yellow"))
    journal.photos.save(Note(month, "blue spots", wheel_id=wheel.id), photo("blue"))
    for at_ms, colour in ((month, "red"), (2 * month - BEGAN, "green")):
        card = ScoredSample({"overall": 7.0}, (), "even", journal.photos.bring(photo(colour)))
        journal.sessions.give(OpenServing(wheel.id, "Ann", at_ms), card)
    lost = journal.photos.save(Note(BEGAN + 60_000, "lost", whole.make.id), photo("white"))
    journal.photos.path(lost).unlink()
    page = write_sent_page(journal, journal.whole(whole.make.id), tmp_path / "a.html")
    output = re.findall(r'<img alt="([^"]+)" width="(\d+)" height="(\d+)"', page.read_text("utf-8"))
    assert output == [
        ("HL-0001-A, the cut at 4 months: even", "400", "300"),
        ("HL-0001-A, the cut at 2 months: even", "400", "300"),
        ("HL-0001, at 04:40: the curd", "400", "300"),
        ("HL-0001-A, the rind at 2 months: blue spots", "400", "300"),
    ]  # fmt: skip


def test_temperatures_are_in_the_unit_that_is_chosen(whole) -> None:
    with written_in(Style(temperature="F", mass="lb", volume="gal")):
        words = make_page(whole)
    assert not re.search(r"°C|\bkg\b|\d L\b", words)
    assert "°F·min" in words
    axis = [int(n) for n in re.findall(r'text-anchor="end">(\d+)</text>', words)]
    assert max(axis) >= 90  # the milk is at 31 to 36 °C


BROWSER = """
import json
import sys
from PySide6.QtCore import QTimer, QUrl
from PySide6.QtWidgets import QApplication
from PySide6.QtWebEngineWidgets import QWebEngineView
app = QApplication(["browser", "--no-sandbox"])
view = QWebEngineView()
view.resize(1000, 1400)
said = {}
def asked(found):
    said.update(json.loads(found))
    view.grab().save(sys.argv[2], "PNG")
    print(found, flush=True)
    app.quit()
def loaded(fine):
    view.page().runJavaScript(
        "JSON.stringify((function(){var s=document.querySelector('svg').getBoundingClientRect();"
        "return {wide:s.width, high:s.height, rows:document.querySelectorAll('tr').length,"
        "scripts:document.scripts.length,"
        "images:[...document.images].map("
        "i => [i.naturalWidth, i.alt, i.getBoundingClientRect().width]),"
        "title:document.title, body:document.body.scrollWidth}})())", 0, asked)
view.loadFinished.connect(lambda fine: QTimer.singleShot(300, lambda: loaded(fine)))
view.load(QUrl.fromLocalFile(sys.argv[1]))
view.show()
QTimer.singleShot(40000, app.quit)
app.exec()
"""


@pytest.mark.slow
def test_a_browser_draws_it(whole, tmp_path: Path) -> None:
    pytest.importorskip("PySide6.QtWebEngineWidgets", exc_type=ImportError)
    photos = [PagePhoto(jpeg(colour), 400, 300, f"{colour}: {EVIL}") for colour in ("red", "blue")]
    page, seen = write_make_page(whole, tmp_path / "a.html", photos), tmp_path / "seen.png"
    (tmp_path / "browser.py").write_text(BROWSER, "utf-8")
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "QTWEBENGINE_DISABLE_SANDBOX": "1",
           "QTWEBENGINE_CHROMIUM_FLAGS": "--disable-gpu --no-sandbox"}  # fmt: skip
    ran = subprocess.run(
        [sys.executable, str(tmp_path / "browser.py"), str(page), str(seen)],
        env=env, capture_output=True, text=True, timeout=90, check=False,
    )  # fmt: skip
    assert '"wide"' in ran.stdout, ran.stderr[-800:]
    found = json.loads(ran.stdout.strip().splitlines()[-1])
    assert found["wide"] > 700
    assert found["high"] > 300
    assert found["rows"] > 15
    assert found["scripts"] == 0
    assert [(wide, alt) for wide, alt, _ in found["images"]] == [
        (400, f"red: {EVIL}"), (400, f"blue: {EVIL}")
    ]  # fmt: skip
    assert found["images"][0][2] > found["images"][1][2] > 200  # the cut is seen first, and large
    assert found["title"].startswith(whole.make.code)
    assert found["body"] <= 1000
    assert seen.stat().st_size > 5000
