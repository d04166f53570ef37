"""The house rules that a reader can trust: floors, rooms, sizes, and what loads when."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path

import pytest

from journal.topics.ageing import SALTS
from journal.topics.heat import PRODUCTS
from journal.wording.care import CARE_PHRASES
from tests.wording.test_messages import PROSE, texts

ROOT = Path(__file__).resolve().parents[1]
MODULES = sorted((ROOT / "journal").rglob("*.py"))
ROOMS = sorted((ROOT / "journal").glob("*/__init__.py"))
PACKAGES = sorted((ROOT / "journal").rglob("__init__.py"))
PAGES = sorted(
    page for inside in ("*", "journal/**/*", "tests/**/*", "packaging/*")
    for page in ROOT.glob(f"{inside}.md") if page.name != "CHANGELOG.md"
)  # fmt: skip
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "pyproject.toml",
    "journal",
    "resources",
    "tests",
    "packaging",
}
SUBJECTLESS = {"utils", "util", "helpers", "helper", "common", "misc", "tools"}
LONGEST_FUNCTION = 60
LONGEST_FILE = 600
FRONT_PAGE = 130
LINK = re.compile(r"\[[^\]\n]+\]\(([^)\s]+)\)")
WORD_OF_CODE = re.compile(r"`([^`\s]+)`")
FILE_NAME = re.compile(r"[\w./*-]+\.(?:py|toml|csv|txt)|(?:journal|tests|resources)/[\w./-]+")
CLASS_NAME = re.compile(r"(?!None$)(?:[A-Z][a-z]+){1,4}")
TYPE_NAME = re.compile(r"_?[A-Z]\w*[a-z]\w*")
IDENTIFIER = re.compile(r"\w+_\w+|_[A-Z]+")
WRITTEN = "\n".join(path.read_text(encoding="utf-8") for path in MODULES)
CLASSES = set(re.findall(r"^class (\w+)", WRITTEN, re.MULTILINE))
PAINTERS = {
    "cells.py": "Qt hands a list's cells its painter",
    "charts/axes.py": "pyqtgraph hands an axis its painter",
    "charts/clearing.py": "a map of what a plot shows, for words to keep off it",
    "charts/drawing.py": "draws every scene of marks",
    "charts/item.py": "pyqtgraph hands an item its painter",
    "charts/saving.py": "the sheet of a picture that is saved",
    "moments.py": "a photo made up for the sample",
    "printing.py": "a printer",
    "sheets/paper.py": "paper",
    "tables.py": "Qt hands a list's titles its painter",
    "tastings/scenes.py": "a photo made up for the sample",
}
MACHINE_PATH = re.compile(r"(?<![\w./])/(?:work|root|tmp|home|Users)/\w")


def in_house(path: Path) -> str:
    return str(path.relative_to(ROOT))


def lines_of_code(function: ast.FunctionDef) -> int:
    """Count a function's lines from its name on, without its docstring."""
    report = function.body[0] if ast.get_docstring(function) else None
    docstring = (report.end_lineno or 0) - report.lineno + 1 if report else 0
    return (function.end_lineno or 0) - function.lineno + 1 - docstring


def tracked() -> list[Path]:
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [ROOT / name for name in listed.stdout.split("\0") if name]


def fresh_python(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )


def test_an_import_goes_down_a_floor_and_each_room_keeps_its_own_tools():
    checked = fresh_python(
        "from importlinter.cli import lint_imports_command; lint_imports_command(['--no-cache'])"
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_the_top_level_holds_only_what_it_should():
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize("path", ROOMS, ids=in_house)
def test_a_room_tells_a_stranger_what_belongs_there(path):
    page = path.with_name("README.md").read_text(encoding="utf-8")
    assert page.count("\n") >= 10, f"{in_house(path)}: its page says too little"
    for wanted in ("**Here:**", "**Not here:**", "## Main types", "## Finding one's way"):
        assert wanted in page, f"{in_house(path)}: no {wanted}"


@pytest.mark.parametrize("path", PACKAGES, ids=in_house)
def test_a_package_says_in_one_sentence_what_it_is(path):
    report = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    assert report.endswith(".")
    assert "\n" not in report, (
        f"{in_house(path)}: what is beyond a sentence belongs in its README.md"
    )


def test_the_front_page_is_two_screens_and_leads_to_every_room():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert page.count("\n") <= FRONT_PAGE
    for room in ROOMS:
        assert f"({in_house(room.with_name('README.md'))})" in page


def test_the_map_of_the_desk_names_every_folder_and_place():
    page = (ROOT / "journal" / "desk" / "README.md").read_text(encoding="utf-8")
    for folder in (ROOT / "journal" / "desk").iterdir():
        if (folder / "__init__.py").exists():
            assert f"`{folder.name}/`" in page, f"desk/{folder.name} is not on the map"
    listed = (ROOT / "journal" / "desk" / "places.py").read_text(encoding="utf-8")
    places = re.findall(r'Entry\("\w+", "([\w ]+)", "journal\.desk\.(\w+)\.', listed)
    assert len(places) >= 8
    for title, folder in places:
        assert f"| `{folder}/` | {title} |" in page


def test_the_desk_is_composed():
    """Nothing asks whether a part is built, is found by a name, or is handed a whole place."""
    for path in (ROOT / "journal" / "desk").rglob("*.py"):
        source = path.read_text(encoding="utf-8")
        asked = re.search(r"__dict__|hasattr|cached_property|findChild(ren)?\([^()]*[\"']", source)
        assert asked is None, f"{in_house(path)}: {asked and asked.group()}"
        for made in (
            one for one in ast.walk(ast.parse(source)) if isinstance(one, ast.FunctionDef)
        ):
            every = (*made.args.args, *made.args.kwonlyargs)
            given = " | ".join(ast.unparse(one.annotation) for one in every if one.annotation)
            handed = re.search(r"(^|\| ?['\"]?)\w*Place\b", given)
            assert made.name != "__init__" or handed is None, f"{in_house(path)}:{made.lineno}"


@pytest.mark.parametrize("page", PAGES, ids=in_house)
def test_every_link_of_a_page_leads_to_a_file_and_a_heading_that_exist(page):
    for target in LINK.findall(page.read_text(encoding="utf-8")):
        if target.startswith(("http://", "https://", "mailto:")):
            continue
        name, _, heading = target.partition("#")
        there = page.parent / name if name else page
        assert there.exists(), f"{in_house(page)} links to {target}"
        if heading:
            assert heading in headings_of(there), f"{in_house(page)} links to {target}"


@pytest.mark.parametrize("page", PAGES, ids=in_house)
def test_every_file_and_class_a_page_names_exists(page):
    """So a name that changes in the code changes on the pages too."""
    bases = (ROOT, ROOT / "journal", ROOT / "journal" / "desk", page.parent)
    for name in WORD_OF_CODE.findall(page.read_text(encoding="utf-8")):
        if FILE_NAME.fullmatch(name):
            there = any(list(base.glob(name)) for base in bases)
            assert there, f"{in_house(page)} names {name}"
        elif CLASS_NAME.fullmatch(name):
            assert name in CLASSES, f"{in_house(page)} names {name}, which no module has"
        elif IDENTIFIER.fullmatch(name):
            assert name in WRITTEN, f"{in_house(page)} names {name}, which no module has"


def headings_of(page: Path) -> set[str]:
    """The anchors of a page's headings."""
    heads = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", head.lower()).strip().replace(" ", "-") for head in heads}


@pytest.mark.parametrize("path", MODULES, ids=in_house)
def test_a_module_opens_with_a_sentence_and_stays_small(path):
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    opening = (ast.get_docstring(tree) or "").split("\n\n")[0]
    assert opening.rstrip().endswith((".", ":")), f"{in_house(path)} opens without a sentence"
    assert path.stem not in SUBJECTLESS
    assert text.count("\n") <= LONGEST_FILE
    long = [
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef) and lines_of_code(node) > LONGEST_FUNCTION
    ]
    assert not long, f"longer than {LONGEST_FUNCTION} lines in {in_house(path)}: {long}"


def test_opening_the_window_leaves_the_heavy_libraries_alone():
    loaded = fresh_python(
        "import importlib, importlib.util, sys, journal.desk\n"
        "if importlib.util.find_spec('journal.desk.window'):\n"
        "    importlib.import_module('journal.desk.window')\n"
        "print(*sorted({'scipy', 'pint', 'sqlite_utils'} & set(sys.modules)))\n"
    )
    assert loaded.returncode == 0, loaded.stderr
    assert loaded.stdout.split() == []


def test_no_tracked_file_names_a_place_on_one_machine():
    named = []
    for path in tracked():
        try:
            text = path.read_text(encoding="utf-8")
        except (UnicodeDecodeError, FileNotFoundError, IsADirectoryError):
            continue
        named += [
            f"{in_house(path)}: {line}" for line in text.splitlines() if MACHINE_PATH.search(line)
        ]
    assert not named


def test_every_sample_of_the_tests_leads_up_to_a_present_that_is_named():
    """A sample that leads up to today makes a test that fails on some other day."""
    for path in sorted((ROOT / "tests").rglob("test_*.py")) + sorted(
        (ROOT / "tests").rglob("conftest.py")
    ):
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "write_sample":
                named = {word.arg for word in call.keywords}
                assert "now_ms" in named, f"{in_house(path)}, line {call.lineno}"


LOCALE_WORDS = re.compile(r"%[-#]?[aAbBcxXph]\b")  # what strftime says in the desktop's language
NAMES_OF_DAYS = re.compile(r"(?i)\b(?:january|monday)\b")
OTHERS_NAMES = re.compile(r"calendar\.(?:month|day)_|\bQDate(?:Time)?\b")


def strings_of(tree: ast.AST) -> list[str]:
    """What is written in a module, without its docstrings."""
    nodes = list(ast.walk(tree))
    report = {ast.get_docstring(node, clean=False) for node in nodes
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)}  # fmt: skip
    constants = [node.value for node in nodes if isinstance(node, ast.Constant)]
    return [text for text in constants if isinstance(text, str) and text not in report]


def test_one_module_names_months_and_weekdays():
    """They would be of the desktop's language elsewhere, and could not be read back."""
    dates = ROOT / "journal" / "records" / "dates.py"
    for path in MODULES:
        text = path.read_text(encoding="utf-8")
        strings = strings_of(ast.parse(text))
        for written in strings:
            assert not LOCALE_WORDS.search(written), f"{in_house(path)} writes {written!r}"
        if path != dates:
            assert not NAMES_OF_DAYS.search("\n".join(strings)), in_house(path)
        assert not OTHERS_NAMES.search(text), in_house(path)
    assert NAMES_OF_DAYS.search(dates.read_text(encoding="utf-8"))


def test_the_key_of_a_saved_record_is_never_made_up():
    """`id_of` raises where a record has none; with a zero in its place nothing would be found."""
    for path in MODULES:
        assert not re.search(r"\.id or 0\b", path.read_text(encoding="utf-8")), in_house(path)


def test_one_name_means_one_class_or_type():
    """An alias may be written again where it means the same; a type variable is of its file."""
    meant: dict[str, dict[str, list[str]]] = {}
    for path in MODULES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef):
                meant.setdefault(node.name, {})[in_house(path)] = [in_house(path)]
            elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                name, means = node.targets[0].id, ast.unparse(node.value).replace("npt.", "")
                if TYPE_NAME.fullmatch(name) and not means.startswith(("TypeVar(", "ParamSpec(")):
                    meant.setdefault(name, {}).setdefault(means, []).append(in_house(path))
    assert {name: places for name, places in meant.items() if len(places) > 1} == {}


def test_one_function_of_wording_has_a_name_alone():
    named = Counter(
        node.name
        for path in (ROOT / "journal" / "wording").rglob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    )
    assert [name for name, times in named.items() if times > 1] == []


# What is filled in as a file is read or written, or as a day is simulated.
GROWS = {"Parts", "SimulatedDay", "FileHeader", "TraceMerge", "Writes", "ReachedPages"}


def test_what_one_part_hands_another_cannot_be_changed_by_it():
    """A dataclass below the desk is frozen, so that its values can be kept and compared."""
    loose = set()
    for path in MODULES:
        if in_house(path).startswith("journal/desk/"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                written = [ast.unparse(one) for one in node.decorator_list]
                if any(one.split("(")[0] == "dataclass" for one in written):
                    loose |= set() if any("frozen=True" in one for one in written) else {node.name}
    assert loose == GROWS


# What no room asks for: the other way round of a sum, and what holds a sum against a published one;
# how tests read one thing alone.
FOR_CHECKS = {
    "lactic_from_dornic", "lactic_from_soxhlet_henkel", "lactic_from_thorner", "wet_bulb_c",
    "m2_s_from_cm2_day", "parts_from_test", "mullan_yield", "fat_balance_yield", "kpa_from_psi",
    "welch_p", "write_answer", "builtin_plan", "read_cell", "read_milk",
    "former_names", "text_size", "write_schema",
}  # fmt: skip


def test_nothing_is_written_that_no_room_asks_for():
    """Functions, classes and constants of modules; a command is asked for by its name, a step of
    the file by its place."""
    words = Counter(re.findall(r"\w+", WRITTEN))
    unused = set()
    for path in MODULES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            names = [target.id for target in getattr(node, "targets", ())
                     if isinstance(target, ast.Name)]  # fmt: skip
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.decorator_list:
                names = [node.name]
            unused |= {name for name in names if words[name] == 1}
    assert unused - {name for name in unused if re.match(r"m\d\d", name)} == FOR_CHECKS


def test_every_room_is_held_to_strict_types():
    """No module is left out, and none has its errors passed over."""
    output = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mypy"]
    assert output["strict"] is True
    assert output["packages"] == ["journal"]
    assert "exclude" not in output
    for some in output["overrides"]:
        assert set(some) == {"module", "ignore_missing_imports"}
        assert not [name for name in some["module"] if name.startswith("journal")]


def test_the_present_is_asked_of_one_clock():
    """The tests shift that one (`tests/elsewhere.py`); the log's own stamp may be of another."""
    asks = re.compile(
        r"\b(?:datetime\.(?:now|today|utcnow)|date\.today|time\.(?:time|time_ns|localtime))\b"
        r"|\bcurrent(?:DateTime|Date|Time|MSecs|Secs)|CURRENT_T|'now'"
    )
    asking = {in_house(path) for path in MODULES if asks.search(path.read_text(encoding="utf-8"))}
    assert asking == {"journal/desk/uncaught.py", "journal/records/instants.py"}


# What is written by hand elsewhere would drift apart from what `wording` writes: a date or time of
# day, a minus, a first letter. What is typed back, a log and a file's own form are their own.
WRITTEN_BY_HAND = re.compile(
    r"""strftime\(|:%[A-Za-z]|\.replace\("-", "−"\)|\[:1\]\.(?:upper|lower)\(\)"""
)
OWN_FORM = {
    "quantities/written.py",  # numbers, as they are read back
    "records/stage_written.py",  # cells, as they are typed
    "desk/vat/reading_log.py",  # a reading's time, as it is typed
    "desk/uncaught.py",  # the log
    "wording/dates.py",
    "wording/letters.py",
    "wording/numbers.py",
}


def test_dates_minus_signs_and_first_letters_are_written_in_one_place():
    found = [
        f"{in_house(path)}: {line.strip()}"
        for path in MODULES
        if path.relative_to(ROOT / "journal").as_posix() not in OWN_FORM
        for line in path.read_text(encoding="utf-8").splitlines()
        if WRITTEN_BY_HAND.search(line)
    ]
    assert not found


# What is said with values in it stands in `resources/sentences`, once for window, paper and command
# and in every language.
HELD = ("desk", "exchange", "reports", "topics", "command")  # the rooms that compose no sentence
KEYS_AND_STYLES = re.compile(r"[{}]|</?\w+[ >]|…px")  # a style sheet, markup
NO_SENTENCES = {
    "vat past …", "vat ahead …", "paper day …", "kind …", "unit …", "tags …",  # names in the code
    "Vatside …", "… · Vatside",  # the program's own
    "journal…",  # of a file
    "… measured", "column …", "import …",  # what is stored: a variable, a table's column, an act
    "milk, …", "green weight, …", "yield, …",  # columns of a table that goes out
    "tasting … …",  # of a file
    "sensor …",  # a thread's
    "0 to 10 in halves, like overall=7.5; …, or your own",  # help of an option
    "… IMCU/kg",  # a dose as it is typed
}  # fmt: skip
A_KEY = re.compile(r"[\w….-]*[_/:.@-][\w…/.-]*(?<!\.)(?<!:)")  # of a setting, a style, a file
TOOLS = {"preview.py", "pictures.py"}  # they speak to who builds


@pytest.mark.parametrize("room", HELD)
def test_a_room_composes_no_sentences(room):
    found = [
        f"{in_house(path)}:{line}: {text}"
        for path in sorted((ROOT / "journal" / room).rglob("*.py"))
        if path.name not in TOOLS
        for text, line in composed(ast.parse(path.read_text(encoding="utf-8")))
        if text not in NO_SENTENCES
        and not KEYS_AND_STYLES.search(text)
        and not A_KEY.fullmatch(text)
    ]
    assert not found, "\n".join(found)


SAID = {"worded", "word_of", "Message"}
NO_WORDS = {"tasting", "panel_test", "Enter", "pH"}  # a record's table, a key, a sign


@pytest.mark.parametrize("room", [*HELD, "wording"])
def test_a_sentence_is_given_no_english_word(room):
    """A word that is a value of a sentence, also one of two, is a sentence of its own."""
    found = [
        f"{in_house(path)}:{line}: {text}"
        for path in sorted((ROOT / "journal" / room).rglob("*.py"))
        for text, line in words_given(ast.parse(path.read_text(encoding="utf-8")))
        if re.search(r"[A-Za-z’]{2,}", text) and not A_KEY.fullmatch(text) and text not in NO_WORDS
    ]
    assert not found, "\n".join(found)


def words_given(tree: ast.AST) -> list[tuple[str, int]]:
    """The texts given to a sentence: as they stand, chosen, or by a name one is chosen for."""
    found = []
    for function in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
        nodes = list(ast.walk(function))
        chosen = {
            ast.unparse(node.targets[0]): chosen_texts(node.value)
            for node in nodes
            if isinstance(node, ast.Assign)
            and isinstance(node.value, ast.Constant | ast.IfExp | ast.BoolOp)
        }
        for call in nodes:
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") in SAID:
                for value in (keyword.value for keyword in call.keywords):
                    given = chosen_texts(value) + chosen.get(ast.unparse(value), [])
                    found += [(text, call.lineno) for text in given]
    return found


def chosen_texts(value: ast.expr) -> list[str]:
    if isinstance(value, ast.Constant):
        return [value.value] if isinstance(value.value, str) else []
    return within_braces(value)


# The modules of wording that say all they say by `resources/sentences`.
WORDED = (
    "ages", "alarms", "at_the_vat", "care", "cautions", "checks", "clock_doubt", "clocks",
    "compare", "comparison_choice", "doses", "drafts", "effects", "evidence", "findings", "heat",
    "help", "history", "hours", "labels", "makes", "merging", "next_make", "nights", "offer",
    "outcomes", "panel", "panel_tests", "paper_record", "paper_stage", "plan_changes",
    "plan_lines", "plan_sheet", "readings", "scale_words", "sensors", "series", "series_answer",
    "series_kinds", "session_page", "stage_sum", "stages", "today", "trade_words", "vat",
    "variable_values", "vat_day", "vat_stage", "wheels", "why", "messages/curves",
    "messages/keeping", "messages/records",
)  # fmt: skip
NOT_SAID = {
    "slow acid",  # a kind of event
    "in oil", "under oil",  # what a note is searched for
    "from memory",  # the ground of a row in a table of standards
    "can't tell yet", "hardly varied", "never varied", "not known",  # evidence, as findings have it
    "% of milk",  # a unit
    *(phrase for phrases in CARE_PHRASES.values() for phrase in phrases),  # read as typed
}  # fmt: skip


@pytest.mark.parametrize("module", WORDED)
def test_a_module_of_wording_holds_no_sentence(module):
    tree = ast.parse((ROOT / "journal" / "wording" / f"{module}.py").read_text("utf-8"))
    found = [text for text, _ in composed(tree)
             if not text.startswith("def ") and not A_KEY.fullmatch(text)]  # fmt: skip
    found += [text for text, _ in texts(tree) if PROSE.search(text) and text not in NOT_SAID]
    assert not found


# Names below a person's eye: of columns as files have them, of settings, acts, roles and questions
# that are kept, and the help of the command line, which stands where its option is declared.
NAMES_KNOWN = {"headers.py", "cells.py", "past_columns.py", "past_meanings.py", "skipped.py"}
DECLARED = {"CommandOption", "Parser", "command", "switch", "several"}
KEPT_NAMES = {
    "left out", "date order", "culture lot", "milk source", "milk from", "best score",
    "import past makes", "sensor readings", "columns of past makes", "a variable of its own",
    "What was done is entered with each make.",  # kept with a plan that a table made
    "Only what the table said is known of these makes.",
    "makes a year", "next make", "further variables",
    "least age", "best from", "make on", "by assessor", "typical change", "less likely",
    "Salt=salt in curd", "“sodium chloride=77%”", "show the versions and exit",
}  # fmt: skip


TYPED_IN_SUMS = {
    *SALTS, *PRODUCTS, "uncooked pressed", "any other",  # the choices of a key
    "calcium chloride", "bulk starter", "culture, direct-set",  # kinds and names of ingredients
    "imcu per ml", "imcu per kg", "kg, g", "L, ml, kg", "mm, cm", "US gal", "fl oz", "per lb",
    "per kg", "g/kg water", "tenfold reductions",  # units, as they are typed and as --json has them
}  # fmt: skip


@pytest.mark.parametrize("room", ["exchange", "reports", "topics", "command"])
def test_a_room_above_wording_says_no_sentence_of_its_own(room):
    found = []
    for path in sorted((ROOT / "journal" / room).rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for call in ast.walk(tree):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") in DECLARED:
                call.args, call.keywords = [], []
        found += [
            f"{in_house(path)}:{line}: {text}" for text, line in texts(tree)
            if path.name not in NAMES_KNOWN and PROSE.search(text)
            and text not in KEPT_NAMES | TYPED_IN_SUMS
            and not KEYS_AND_STYLES.search(text)
        ]  # fmt: skip
    assert not found, "\n".join(found)


def test_no_other_room_names_a_function_after_words():
    others = [path for path in MODULES if not {"wording", "desk"} & set(path.parts)]
    named = re.compile(r"^ *def \w*_words\b", re.MULTILINE)
    assert not [in_house(path) for path in others if named.search(path.read_text("utf-8"))]


def composed(tree: ast.AST) -> list[tuple[str, int]]:
    """Texts of two words or of four letters around a value, texts that one chooses or joins with
    within its braces, and functions that are named after words."""
    found = []
    for node in ast.walk(tree):
        parts: list[ast.expr] = []
        if isinstance(node, ast.JoinedStr):
            parts = node.values
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Mod):
            parts = [node.left, node.right]
        elif isinstance(node, ast.AugAssign) and isinstance(node.op, ast.Add):
            parts = [node.value, node.target]
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "format":
            parts = [node.func.value, node]
        elif isinstance(node, ast.FunctionDef) and node.name.endswith("_words"):
            found.append((f"def {node.name}", node.lineno))
        written = [part.value if isinstance(part, ast.Constant) else "…" for part in parts]
        text = "".join(str(one) for one in written)
        words = re.findall(r"[A-Za-z’]{2,}", text)
        if "…" in written and (len(words) > 1 or any(len(word) > 3 for word in words)):
            found.append((text, node.lineno))
        chosen = [one for part in parts if isinstance(part, ast.FormattedValue)
                  for one in within_braces(part)]  # fmt: skip
        found += [(text, node.lineno) for text in chosen if re.search(r"[A-Za-z’]{2,}", text)]
    return found


def within_braces(value: ast.AST) -> list[str]:
    """The texts that `a if … else b`, `a or b` or `a.join(…)` put into a sentence."""
    put: list[ast.expr] = []
    for node in ast.walk(value):
        if isinstance(node, ast.IfExp):
            put += [node.body, node.orelse]
        elif isinstance(node, ast.BoolOp):
            put += node.values
        elif isinstance(node, ast.Attribute) and node.attr == "join":
            put.append(node.value)
    return [
        one.value for one in put if isinstance(one, ast.Constant) and isinstance(one.value, str)
    ]


# What is typed is asked for by a `Field` of the one form. The few lines that are none say why in
# the desk's README.
A_FIELD = (
    r"(?:Q(?:Line|Text|PlainText|Date|Time|DateTime)Edit|Q\w*SpinBox|QComboBox|QCheckBox"
    r"|QRadioButton|QSlider|TextLine|FieldFrame|LineField|TypedField|ComboBox|ChoiceList|Chips"
    r"|ChipLine|Photo)"
)
MAKES_A_FIELD = re.compile(rf"(?<!class )\b{A_FIELD}\(|class \w+\({A_FIELD}\)")
NO_FIELDS = {
    "keys_page.py",  # hears one key
    "plans/cell_line.py", "vat/paper_grid.py",  # a cell of a table, typed in where it stands
    "tastings/scorerow.py",  # a scale drawn by hand
    "tastings/defects.py",  # chips that say how strong, of a form's own line of chips
}  # fmt: skip


def test_what_is_typed_is_asked_for_by_the_one_form():
    desk = ROOT / "journal" / "desk"
    found = {
        path.relative_to(desk).as_posix()
        for path in MODULES
        if desk in path.parents and desk / "form" not in path.parents
        and MAKES_A_FIELD.search(path.read_text(encoding="utf-8"))
    }  # fmt: skip
    assert found == NO_FIELDS


def test_what_is_drawn_is_marks_that_few_modules_paint():
    desk = ROOT / "journal/desk"
    named = {
        str(path.relative_to(desk))
        for path in desk.rglob("*.py")
        if re.search(r"\bQ(Style)?Painter\b", path.read_text(encoding="utf-8"))
    }
    assert named == set(PAINTERS)


def test_lists_and_dialogs_are_of_one_kind_each():
    """Rows stand in a `RowsView`, what asks in a `FramedDialog`."""
    desk = ROOT / "journal" / "desk"
    own = re.compile(r"\bQ(?:(?:List|Table|Tree|Column)(?:View|Widget)|Dialog)\b")
    found = {
        path.relative_to(desk).as_posix(): set(own.findall(path.read_text(encoding="utf-8")))
        for path in MODULES if desk in path.parents
    }  # fmt: skip
    assert {name: kinds for name, kinds in found.items() if kinds} == {
        "tables.py": {"QTableView"}, "form/frame.py": {"QDialog"},
    }  # fmt: skip
