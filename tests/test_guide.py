"""The guide's own examples: each addition that DEVELOPERS.md tells how to make is made on a copy of
the program. With the files the guide names it works; with one of them left out it does not. And the
tests that hold the house stay green with all of them made."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from journal.sample import write_sample

ROOT = Path(__file__).resolve().parents[1]


@dataclass(frozen=True)
class Step:
    """What is written into a file: behind `after`, or as a file of its own."""

    file: str
    after: str
    text: str


@dataclass(frozen=True)
class Example:
    """An addition of the guide: how it begins there, its steps, and what then works.

    `works` is run in the copy, with an open journal of six makes as `journal`; it fails where the
    addition does not work.
    """

    guide: str
    steps: tuple[Step, ...]
    works: str

    @property
    def files(self) -> tuple[str, ...]:
        """The files it touches, each once."""
        return tuple(dict.fromkeys(step.file for step in self.steps))


BEGIN = """
from pathlib import Path
import journal as package
assert Path(package.__file__).is_relative_to(Path.cwd()), package.__file__
from journal.keeping import Journal
path = Path("kitchen.vatside")
journal = Journal.open(path)
"""

READING = Example(
    "a reading",
    (
        Step(
            "journal/quantities/units.py",
            '        Quantity("density", "density", "kg/L", _DENSITY, 0, 1e3),\n',
            '        Quantity("conductivity", "conductivity", "mS/cm", (Unit(\n'
            '            "mS/cm", "mS/cm", "millisiemens / centimeter", (), 2, True),), 0, 1e3),\n',
        ),
        Step(
            "journal/wording/amounts.py",
            '    "density": "1.03 kg/L",\n',
            '    "conductivity": "5.2 mS/cm",\n',
        ),
        Step(
            "journal/records/kinds.py",
            '        ReadingKind("heat", "heat", "percent", "%", 0.0, 100.0, 0),\n',
            '        ReadingKind("whey-conductivity", "whey conductivity", "conductivity",\n'
            '                    "mS/cm", 0.0, 50.0, 2),\n',
        ),
        Step(
            "journal/exchange/loggers/headers.py",
            "    if is_counting(name):\n        return None\n",
            '    if re.search(r"conductiv|\\bms/cm", name, re.IGNORECASE):\n'
            '        return "whey-conductivity"\n',
        ),
        Step(
            "journal/desk/vat/entry.py",
            '    "milk-acidity": "Milk acidity",\n',
            '    "whey-conductivity": "Whey conductivity",\n',
        ),
    ),
    """
from journal.command import main
from journal.desk.undisplayed import application
app = application()
# A logger's file names it.
from journal.exchange.loggers.headers import kinds_of
assert kinds_of(["Time", "Conductivity (mS/cm)"]) == [None, "whey-conductivity"]
# The command line keeps it, and refuses what it is not.
journal.close()
assert main(["log", str(path), "latest", "whey-conductivity", "5200 uS/cm"]) == 2
assert main(["log", str(path), "latest", "whey-conductivity", "5.2 mS/cm"]) == 0
journal = Journal.open(path)
make = journal.makes.running()[0]
kept = journal.whole(make.id).trace("whey-conductivity")
assert kept.value[-1] == 5.2
now = int(kept.at_ms[-1])
# It is typed at the vat, and drawn on the chart of the day.
from PySide6.QtCore import QSettings
from journal.desk.preview import PlaceAlone
from journal.desk.shots import settle
from journal.records.clocks import Clocks
settings = QSettings("vat.ini", QSettings.Format.IniFormat)
alone = PlaceAlone("vat", journal, Clocks(lambda: now), settings)
settle(app, alone.place)
entry = alone.place.page.entry
for _ in range(10):
    entry.next_kind()
    if entry.acid_kind == "whey-conductivity":
        break
assert entry.acid_kind == "whey-conductivity", "F6 does not come to it"
entry.acid.set_text("5.4 mS/cm")
entry.acid.line.returnPressed.emit()
settle(app, alone.place)
assert journal.whole(make.id).trace("whey-conductivity").value[-1] == 5.4
import pyqtgraph as pg
words = [one for one in alone.place.chart.acid.items if isinstance(one, pg.TextItem)]
drawn = [one.toPlainText() for one in words]
assert "5.40 mS/cm" in drawn, drawn
alone.close()
""",
)
VARIABLE = Example(
    "a make variable",
    (
        Step(
            "journal/findings/readers.py",
            'NONE = float("nan")\n',
            "\n\ndef _litres(make: WholeMake) -> float:\n    return make.make.milk.litres\n\n\n",
        ),
        Step(
            "journal/findings/readers.py",
            "MAKE_VARIABLES: tuple[MakeVariable, ...] = (\n",
            '    MakeVariable(Variable("milk in the vat", unit="L", step=2.0), _litres),\n',
        ),
    ),
    """
from journal.findings.variables import score_table
wholes = [journal.whole(row.id) for row in journal.makes.rows()]
table = score_table(wholes, "overall")
found = [one for one in table.variables if one.name == "milk in the vat"]
assert found and found[0].step == 2.0
column = table.x[:, table.variables.index(found[0])]
assert set(column) == {one.make.milk.litres for one in wholes if one.scores}
""",
)
SUM = Example(
    "a sum",
    (
        Step(
            "journal/reckoning/density.py",
            "",
            '\n\ndef whey_l(milk_l: float, cheese_kg: float) -> float:\n    """Whey, L."""\n'
            '    require(milk_l > cheese_kg, "reckoning.no-whey", cheese=cheese_kg)\n'
            "    return milk_l - cheese_kg / 1.03\n",
        ),
        Step(
            "journal/reckoning/density.py",
            "from journal.reckoning.bounds import Numbers, above, outside, part",
            ", require",
        ),
        Step(
            "journal/topics/milk.py",
            "CHEDDAR_MOISTURE_PCT = 37.0\n",
            "\n\ndef work_out_whey(asked: Inputs) -> SumAnswer:\n"
            '    found = milk_density.whey_l(asked.litres(), asked.need("fresh_cheese"))\n'
            '    return answer(asked, {"whey_l": found}, "topics.whey-formula",\n'
            '                  "topics.bandage-source")\n',
        ),
        Step(
            "journal/topics/milk.py",
            "TOPICS = (\n",
            '    Topic("whey", "topics.whey-is-for", (MILK, DENSITY, Input(\n'
            '        "fresh_cheese", "topics.the-cheese", ("mass",))),\n'
            '        ("whey_l",), work_out_whey),\n',
        ),
        Step("journal/topics/registry.py", '    "topics.stage-milk": ("density", ', '"whey", '),
        Step(
            "resources/sentences/topics.toml",
            "# `milk.py`\n",
            'topics.whey-is-for = "the whey of a milk"\ntopics.the-cheese = "the cheese"\n'
            'topics.whey-formula = "whey = milk - cheese"\n'
            'topics.name-whey = "whey of a milk"\ntopics.title-whey = "whey"\n'
            'topics.title-fresh-cheese = "fresh cheese"\n',
        ),
        Step(
            "journal/topics/bare.py",
            '    "have": (0.0, 2000.0),\n',
            '    "fresh_cheese": _NONE,\n',
        ),
        Step(
            "resources/sentences/reckoning.toml",
            "# What `reckoning` refuses and warns of.\n",
            'reckoning.no-whey = "A cheese of {cheese:g} kg leaves no whey of this milk."\n',
        ),
        Step(
            "tests/outside/test_reckon_command.py",
            "PUBLISHED = [\n",
            '    ("whey milk=10L fresh_cheese=1.03kg", "whey_l", 9, 1e-9, "exact"),\n',
        ),
    ),
    """
import contextlib, io, json
from journal.command import main
said = io.StringIO()
with contextlib.redirect_stdout(said):
    assert main(["reckon", "whey", "milk=10 L", "fresh_cheese=1.03 kg", "--json"]) == 0
assert json.loads(said.getvalue())["whey_l"] == 9.0
refused = io.StringIO()
with contextlib.redirect_stderr(refused):
    assert main(["reckon", "whey", "milk=10 L", "fresh_cheese=2"]) == 2  # kg or lb?
    assert main(["reckon", "whey", "milk=10 L", "fresh_cheese=12 kg"]) == 2
assert "A cheese of 12 kg leaves no whey of this milk." in refused.getvalue()
""",
)
CARE = Example(
    "a care",
    (
        Step("journal/records/kinds.py", "CARE_KINDS = (", '"scrape",\n              '),
        Step("journal/records/kinds.py", "ONCE_CARE = (", '"scrape", '),
        Step("journal/wording/key_uses.py", "CARE_LETTERS = {\n", '    "scrape": "Z",\n'),
        Step(
            "resources/sentences/wording.toml",
            'wording.care-turn = "turn"\n',
            'wording.care-scrape = "scrape clean"\n',
        ),
        Step(
            "resources/tables/glossary.csv",
            "term,also,meaning,source\n",
            'scrape,scraped;scraping,"To scrape a rind clean with a blade.",from memory\n',
        ),
        Step("journal/findings/categories.py", "_RINDS = {", '"scrape": "scraped",\n          '),
    ),
    """
from journal.desk.undisplayed import application
app = application()
from PySide6.QtCore import QSettings
from PySide6.QtGui import QAction
from journal.desk.preview import PlaceAlone
from journal.desk.shots import settle
from journal.records.clocks import Clocks
alone = PlaceAlone("room", journal, Clocks(lambda: now_ms),
                   QSettings("room.ini", QSettings.Format.IniFormat))
settle(app, alone.place)
alone.place.findChild(QAction, "scrape").trigger()
given = [care for care in journal.cares.all() if care.kind == "scrape"]
assert len(given) == 1
alone.close()
# It makes the rind, and is asked for once, on the page as on paper.
from journal.findings.categories import CATEGORIES
wheel = next(w for w in journal.wheels.all() if w.id == given[0].wheel_id)
rind = next(one for one in CATEGORIES if one.name == "rind")
assert rind.read(journal.whole(wheel.make_id)) == "scraped"
from journal.records.plans import CareRule
rule = CareRule("scrape", 2.0, 30.0, 1.0)
from journal.wording.care import care_words
assert care_words(rule).startswith("Scrape clean once")
from journal.wording.help import explained
assert explained("scraping").term == "scrape"
from journal.records.due import WheelLife, cares_due
day_ms = 86_400_000
life = WheelLife(wheel, "", now_ms - 9 * day_ms, "UTC", (rule,), done={"scrape": now_ms - day_ms})
assert cares_due(life, now_ms) == [], "given once, it is asked for again"
""",
)
CHART = Example(
    "a chart",
    (
        Step(
            "journal/desk/room/loss_chart.py",
            "",
            '"""What a wheel has lost, as a line."""\n\nfrom __future__ import annotations\n\n'
            "import numpy as np\n\n"
            "from journal.desk.charts.axes import NumberAxis\n"
            "from journal.desk.charts.chart import Chart\n"
            "from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows\n"
            "from journal.records.traces import Floats\n\n\n"
            "class LossChart(Chart):\n"
            '    """Shows percentages by age."""\n\n'
            "    def __init__(self) -> None:\n"
            '        super().__init__("Weight lost", "nothing is weighed")\n'
            '        self.loss = self.add_plot(bottom=NumberAxis("bottom"), unit="%")\n'
            "        self.days, self.lost = np.empty(0), np.empty(0)\n\n"
            "    def show_loss(self, days: Floats, lost: Floats) -> None:\n"
            '        """Draw these days and percentages."""\n'
            "        self.days, self.lost = days, lost\n"
            '        self.describe(f"{lost[-1]:g} % / {days[-1]:g}")\n'
            "        self.refresh()\n\n"
            "    def draw(self) -> None:\n"
            "        self.loss.wipe()\n"
            "        if len(self.days):\n"
            "            view = self.seen((0.0, 1.1 * float(self.days[-1])))\n"
            "            self.loss.show_range(view, (0.0, 1.2 * float(self.lost.max())))\n"
            '            self.loss.line(self.days, self.lost, "temperature", width=2)\n\n'
            "    def table(self) -> ValueTable:\n"
            '        """The loss at each weighing."""\n'
            "        points = zip(self.days, self.lost, strict=True)\n"
            '        rows = [ValueRow((f"{x:g}", f"{y:g} %"), x, y) for x, y in points]\n'
            '        return table_of_rows(("day", "lost"), rows)\n',
        ),
        Step(
            "journal/desk/room/wheel_page.py",
            "from journal.desk.room.chart import RoomChart\n",
            "from journal.desk.room.loss_chart import LossChart\n",
        ),
        Step(
            "journal/desk/room/wheel_page.py",
            "        self.profile = ProfileChart()\n",
            "        self.loss = LossChart()\n",
        ),
        Step(
            "journal/desk/room/wheel_page.py",
            "        air.addWidget(self.profile)\n",
            "        air.addWidget(self.loss)\n",
        ),
        Step(
            "journal/desk/room/wheel_page.py",
            "        self.head.setText(row.code)\n",
            "        lost = 100 * (1 - row.life.weight.left)\n"
            "        self.loss.show_loss(np.array([0.0, row.age_days]), np.array([0.0, lost]))\n"
            "        self.loss.setVisible(lost > MUCH_PCT)\n",
        ),
        Step("journal/desk/room/wheel_page.py", "_NOTES_MOST = 2\n", "MUCH_PCT = 40.0\n"),
        Step(
            "journal/desk/room/wheel_page.py",
            "from functools import partial\n",
            "\nimport numpy as np",
        ),
        Step(
            "tests/desk/chart_walk.py",
            "from journal.desk.places import PLACES\n",
            "from journal.desk.room.loss_chart import LossChart\n",
        ),
        Step(
            "tests/desk/chart_walk.py",
            "    for chart in (strength, series, sums",
            ", loss",
        ),
        Step(
            "tests/desk/chart_walk.py",
            "    sums = SumChart()\n",
            "    loss = LossChart()\n"
            "    loss.show_loss(np.array([0.0, 10.0, 30.0]), np.array([0.0, 6.0, 12.0]))\n",
        ),
    ),
    """
from journal.desk.undisplayed import application
app = application()
import numpy as np
from journal.desk.room.loss_chart import LossChart
from journal.desk.theme import Look, colours
look = Look(app, "light")
chart = LossChart()
chart.resize(600, 400)
chart.show()
chart.show_loss(np.array([0.0, 10.0, 30.0]), np.array([0.0, 6.0, 12.0]))
assert chart.accessibleDescription() == "12 % / 30"
assert chart.has_values() and chart.values.rows[1].cells == ("10", "6 %")
for mode in ("light", "dark"):
    look.set_mode(mode)
    app.processEvents()
    picture = chart.picture(1.0).toImage()
    paper = colours(mode == "dark").paper
    seen = {picture.pixel(x, y) for x in range(0, 600, 2) for y in range(0, 400, 2)}
    assert paper.rgb() in seen and len(seen) > 4
chart.sheet().save("loss.png")
assert Path("loss.png").stat().st_size > 1000
chart.close()
from PySide6.QtCore import QSettings
from journal.desk.preview import PlaceAlone
from journal.records.clocks import Clocks
settings = QSettings("room.ini", QSettings.Format.IniFormat)
alone = PlaceAlone("room", journal, Clocks(lambda: now_ms), settings)
assert alone.place.wheel.findChild(LossChart) is not None
alone.close()
""",
)
SCREEN = Example(
    "a screen",
    (
        Step(
            "journal/desk/cellar/place.py",
            "",
            '"""Cellar: how many wheels there are."""\n\n'
            "from journal.desk.commands import Command\nfrom journal.desk.labels import Label\n"
            "from journal.desk.place import Place\n\n\n"
            "class CellarPlace(Place):\n"
            '    """Counts the wheels."""\n\n'
            '    key = "cellar"\n    title = "Cellar"\n\n'
            "    def __init__(self, desk, parent=None) -> None:\n"
            "        super().__init__(desk, parent)\n"
            '        self.count = Label("")\n'
            "        self.arrange(self.count)\n\n"
            "    def commands(self):\n"
            '        return (Command("count", "Count again", self.entered),)\n\n'
            "    def entered(self) -> None:\n"
            '        self.count.setText(f"{len(self.journal.wheels.all())} wheels")\n\n'
            "    def on_change(self, change) -> None:\n"
            '        if "wheel" in change.kinds:\n'
            "            self.entered()\n",
        ),
        Step(
            "journal/desk/places.py",
            "PLACES: tuple[PlaceEntry, ...] = (\n",
            '    PlaceEntry("cellar", "Cellar", "journal.desk.cellar.place", "CellarPlace"),\n',
        ),
        Step(
            "journal/wording/key_uses.py",
            '        ("undelete", "Undelete a make", ""),\n',
            '        ("count", "Count again", "Ctrl+F5"),\n',
        ),
    ),
    """
from journal.desk.undisplayed import application
app = application()
from dataclasses import replace
from PySide6.QtCore import QSettings
from PySide6.QtGui import QAction
from journal.desk.window import Window
settings = QSettings("cellar.ini", QSettings.Format.IniFormat)
window = Window(journal, clock=lambda: now_ms, settings=settings, place="cellar")
window.show()
place = window.current
assert place.title == "Cellar" and place.count.text() == f"{len(journal.wheels.all())} wheels"
assert place.findChild(QAction, "count").shortcut().toString() == "Ctrl+F5"
wheel = journal.wheels.all()[0]
with journal.unit("one more"):
    journal.wheels.save(replace(wheel, id=None, uuid="1", code="HL-9999-A"))
assert place.count.text() == f"{len(journal.wheels.all())} wheels"
window.close()
from journal.desk.preview import main
assert main(["cellar", "--empty", "--picture"]) == 0
assert Path("cellar-empty.png").exists()
""",
)
COMMAND = Example(
    "a command",
    (
        Step(
            "journal/command/lists.py",
            "\nCOMMANDS = (_plans, _makes",
            ", _wheels",
        ),
        Step(
            "journal/command/lists.py",
            "def _state(row: MakeRow) -> str:\n",
            "    return _of(row)\n\n\n"
            "WHEELS: Table[Any] = Table(\n"
            '    AnswerColumn("code", lambda wheel: wheel.code, "wheel"),\n'
            '    AnswerColumn("green_kg", lambda one: figure(one.green_weight_kg, 2, "kg"), ""),\n'
            ")\n\n\n"
            '@command("green-weights", "list the wheels", FILE)\n'
            "def _wheels(args: argparse.Namespace) -> CommandAnswer:\n"
            "    with to_read(args.file) as journal:\n"
            '        return WHEELS.answer(journal.wheels.all(), "There is no wheel yet.")\n\n\n'
            "def _of(row: MakeRow) -> str:\n",
        ),
        Step(
            "journal/command/lists.py",
            "from typing import TYPE_CHECKING",
            ", Any",
        ),
    ),
    """
import contextlib, io, json
from journal.command import main
wheels = journal.wheels.all()
said, listed = io.StringIO(), io.StringIO()
with contextlib.redirect_stdout(said):
    assert main(["green-weights", str(path), "--json"]) == 0
found = json.loads(said.getvalue())
assert [one["code"] for one in found] == [wheel.code for wheel in wheels]
assert found[0]["green_kg"] == wheels[0].green_weight_kg
with contextlib.redirect_stdout(listed):
    assert main(["green-weights", str(path)]) == 0
assert listed.getvalue().startswith("wheel") and " kg" in listed.getvalue()
""",
)
EXAMPLES = (READING, VARIABLE, SUM, CARE, CHART, SCREEN, COMMAND)
NOW_MS = 1_795_606_800_000
KITCHEN = "kitchen.vatside"
# Files that come with an example: of its subject's own, and the page that shows it.
OF_ITS_OWN = (
    "journal/desk/room/loss_chart.py", "journal/desk/room/wheel_page.py",
    "journal/desk/cellar/place.py",
)  # fmt: skip


# What may be touched by a word, a kind or a class that is new.
HELD_BY = (
    "tests/test_house.py", "tests/test_imports.py", "tests/wording/test_messages.py",
    "tests/wording/test_amounts.py", "tests/topics", "tests/records/test_care_typed.py",
    "tests/outside/test_reckon_command.py", "tests/desk/test_help.py", "tests/desk/test_keys.py",
    "tests/desk/test_kinds_by_keys.py", "tests/desk/test_charts_by_hand.py",
)  # fmt: skip
TOGETHER = (READING, VARIABLE, SUM, CARE, CHART)


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program, to be changed, with what is compiled of it, which is known by its time; and a
    journal to try it on."""
    folder = tmp_path_factory.mktemp("guide")
    for name in ("journal", "resources", "tests", "packaging"):
        shutil.copytree(ROOT / name, folder / name)
    for path in (*ROOT.glob("*.md"), ROOT / "LICENSE", ROOT / "pyproject.toml"):
        shutil.copy2(path, folder)
    (folder / "kept").mkdir()
    write_sample(folder / "kept" / KITCHEN, makes=6, readings_per_make=60, now_ms=NOW_MS)
    return folder


def paragraph(example: Example) -> str:
    """What the guide says of an addition."""
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(rf"^- \*\*{example.guide}:\*\*(.*?)(?=^- |\Z)", page, re.M | re.S)
    assert found, f"the guide does not say how to add {example.guide}"
    return found[1]


@contextmanager
def made(folder: Path, *examples: Example, without: str = "") -> Iterator[None]:
    """The additions, all but what belongs in one file; then all is put back."""
    steps = [step for example in examples for step in example.steps]
    try:
        for step in steps:
            if step.file != without:
                write_step(step, folder / step.file)
        yield
    finally:
        for name in {step.file for step in steps}:
            (folder / name).unlink(missing_ok=True)
            if (ROOT / name).exists():
                shutil.copy2(ROOT / name, folder / name)


def carried_out(
    example: Example, folder: Path, without: str = ""
) -> subprocess.CompletedProcess[str]:
    """Make the addition, all but what belongs in one file, and run what it is for."""
    for left in folder.glob(f"{KITCHEN}*"):
        shutil.rmtree(left) if left.is_dir() else left.unlink()
    shutil.copytree(folder / "kept", folder, dirs_exist_ok=True)
    with made(folder, example, without=without):
        return run(folder, "-c", f"now_ms = {NOW_MS}\n{BEGIN}{example.works}")


def write_step(step: Step, path: Path) -> None:
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    assert text.count(step.after) == 1 or not step.after, (
        f"{step.file} has no “{step.after.strip()}” any more: the example wants another place"
    )
    there = text.index(step.after) + len(step.after) if step.after else len(text)
    path.parent.mkdir(exist_ok=True)
    path.write_text(text[:there] + step.text + text[there:], encoding="utf-8")


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one.guide)
def test_the_guide_names_the_files_of_its_example(example):
    report = paragraph(example)
    for name in example.files:
        subject = f"`{Path(name).parent}`"  # "a function in its subject's file in `…`"
        assert f"`{name}`" in report or subject in report or name in OF_ITS_OWN, name
    named = set(re.findall(r"`((?:journal|resources|tests)/[\w/]+\.\w+)`", report))
    if example is not CHART:  # of which it names the base and the colours, to be read
        named.discard("tests/sample/test_findings_name_the_truth.py")  # to be looked at
        assert named <= set(example.files), "the guide names a file that the example leaves alone"


@pytest.mark.slow
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one.guide)
def test_an_addition_made_as_the_guide_says_works(example, copied):
    done = carried_out(example, copied)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    ("example", "without"),
    [(one, name) for one in EXAMPLES for name in one.files if not name.startswith("tests/")],
    ids=lambda one: one if isinstance(one, str) else one.guide,
)
def test_every_file_the_guide_names_is_needed(example, without, copied):
    done = carried_out(example, copied, without)
    assert done.returncode != 0, f"it works without {without}: the guide need not name it"
    assert "the example wants" not in done.stderr


@pytest.mark.slow
def test_the_tests_stay_green_with_all_additions_made(copied):
    with made(copied, *TOGETHER):
        done = run(copied, "-m", "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", *HELD_BY)
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
