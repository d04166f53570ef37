"""The desktop entry, the kind of file that opens with it and the icon: they agree, and the set-up
puts them where a person's programs are listed, or not."""

from __future__ import annotations

import configparser
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.packaging.conftest import Place

ROOT = Path(__file__).resolve().parents[2]
SPACE = "{http://www.freedesktop.org/standards/shared-mime-info}"


def test_a_journal_file_opens_with_the_command():
    from defusedxml import ElementTree

    entry = configparser.ConfigParser(interpolation=None, strict=True)
    entry.optionxform = str
    entry.read(ROOT / "packaging" / "vatside.desktop", encoding="utf-8")
    desktop = entry["Desktop Entry"]
    kind = ElementTree.parse(ROOT / "packaging" / "vatside-mime.xml").find(f"{SPACE}mime-type")
    assert kind.find(f"{SPACE}glob").get("pattern") == "*.vatside"
    assert desktop["MimeType"].rstrip(";").split(";") == [kind.get("type")]
    command, file = desktop["Exec"].split()
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert command in scripts["scripts"]
    assert file == "%f"


PLACES = (
    "applications/vatside.desktop",
    "mime/packages/vatside.xml",
    "icons/hicolor/scalable/apps/vatside.svg",
)
on_linux = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="programs are listed this way on Linux"
)


def listed(place: Place) -> list[str]:
    return [name for name in PLACES if (place.data_home / name).is_file()]


def read_entry(path: Path) -> dict[str, str]:
    """The entry's keys, with backslashes read as the specification has them."""
    entry = configparser.ConfigParser(interpolation=None, strict=True)
    entry.optionxform = str
    entry.read(path, encoding="utf-8")
    return {key: value.replace("\\\\", "\\") for key, value in entry["Desktop Entry"].items()}


def arguments(command: str) -> list[str]:
    """The arguments of `Exec`, by the rules of quoting of the Desktop Entry specification."""
    out: list[str] = []
    part, inside, kept = "", False, False
    letters = iter(command)
    for letter in letters:
        if inside and letter == "\\":
            part += next(letters)
        elif letter == '"':
            inside, kept = not inside, True
        elif letter == " " and not inside:
            if part or kept:
                out.append(part)
            part, kept = "", False
        else:
            part += letter
    return [one.replace("%%", "%") for one in [*out, part] if one]


@on_linux
def test_the_set_up_lists_vatside_and_what_is_listed_opens_it(ready: Place):
    done = ready.start("set-up")
    assert done.returncode == 0, done.stderr
    assert "is among your programs" in done.stderr
    assert listed(ready) == list(PLACES)
    entry = read_entry(ready.data_home / PLACES[0])
    command = arguments(entry["Exec"])
    assert command[-1] == "%f"
    assert Path(entry["TryExec"]) == Path(command[0]) == ready.venv / "bin" / "python"
    file = "/kitchen/my wheels.vatside"
    output = subprocess.run(
        [*command[:-1], file], cwd=entry["Path"], capture_output=True, text=True, check=True
    )
    assert output.stdout.startswith(f"{file}|")
    validator = shutil.which("desktop-file-validate")
    if validator is not None:
        subprocess.run([validator, str(ready.data_home / PLACES[0])], check=True)
    if shutil.which("update-mime-database") is not None:
        globs = (ready.data_home / "mime" / "globs2").read_text(encoding="utf-8")
        assert "application/x-vatside-journal:*.vatside" in globs


@on_linux
@pytest.mark.parametrize("name", ['cheese "at" home', "100% milk $HOME", "back\\slash `ls`"])
def test_a_folder_of_any_name_is_quoted(name, tmp_path, monkeypatch):
    monkeypatch.syspath_prepend(str(ROOT / "packaging"))
    import desktop_entry

    python = str(tmp_path / name / "bin" / "python")
    monkeypatch.setattr(desktop_entry, "PYTHON", python)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert desktop_entry.install()
    entry = read_entry(tmp_path / "data" / PLACES[0])
    assert arguments(entry["Exec"]) == [python, *desktop_entry.OPENS, "%f"]
    assert entry["TryExec"] == python
    assert desktop_entry.remove()
    assert not desktop_entry.remove()
    assert not (tmp_path / "data" / PLACES[0]).exists()


@on_linux
def test_it_can_be_left_out_and_taken_away_again(ready: Place):
    assert ready.start("set-up", "--no-menu").returncode == 0
    assert listed(ready) == []
    ready.start("set-up")
    assert listed(ready) == list(PLACES)
    gone = ready.start("set-up", "--remove-menu")
    assert "off your list" in gone.stderr
    assert listed(ready) == []
    refused = ready.start("set-up", "--menus")
    assert refused.returncode == 2
    assert "--menus" in refused.stderr


@on_linux
def test_a_folder_that_cannot_be_written_ends_nothing(ready: Place, tmp_path):
    blocked = tmp_path / "a file"
    blocked.write_text("")
    done = ready.start("set-up", XDG_DATA_HOME=str(blocked))
    assert done.returncode == 0
    assert "not among your programs" in done.stderr
    assert "Vatside is set up" in done.stderr


def test_the_mark_is_drawn_at_every_size(qapp):
    from PySide6.QtGui import QIcon

    icon = QIcon(str(ROOT / "resources" / "icons" / "vatside.svg"))
    for size in (16, 32, 64, 256):
        picture = icon.pixmap(size, size).toImage()
        colours = {
            picture.pixelColor(x, y).name() for x in range(0, size, 2) for y in range(0, size, 2)
        }
        assert len(colours) > 6, size
