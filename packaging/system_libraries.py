"""What Qt asks of a Linux system: found by loading, installed where that may be done."""

from __future__ import annotations

import glob
import os
import shlex
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

import stamp
from trouble import Trouble, say

if TYPE_CHECKING:
    from collections.abc import Callable

# What stops when a part's libraries are missing, and the Qt files that show it.
PARTS = {
    "drawing": (
        "nothing can be drawn, neither the window nor the pictures",
        [
            "lib/libQt6Gui.so.6",
            "lib/libQt6Widgets.so.6",
            "lib/libQt6Svg.so.6",
            "lib/libQt6PrintSupport.so.6",
            "plugins/platforms/libqoffscreen.so",
        ],
    ),
    "window": (
        "the window cannot open",
        ["plugins/platforms/libqxcb.so", "plugins/xcbglintegrations/*.so"],
    ),
    "sound": (
        "the alarm makes no sound and shows in the window only",
        ["lib/libQt6Multimedia.so.6", "plugins/multimedia/*.so"],
    ),
    "letters": ("letters show as empty boxes", []),
}

# Debian's package for each library; Ubuntu's have the same names.
DEBIAN = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libGLX.so.0": "libglx0",
    "libGLdispatch.so.0": "libglvnd0",
    "libX11.so.6": "libx11-6",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libXext.so.6": "libxext6",
    "libXrandr.so.2": "libxrandr2",
    "libXrender.so.1": "libxrender1",
    "libbz2.so.1.0": "libbz2-1.0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libdrm.so.2": "libdrm2",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libgssapi_krb5.so.2": "libgssapi-krb5-2",
    "libpulse.so.0": "libpulse0",
    "libxcb.so.1": "libxcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-glx.so.0": "libxcb-glx0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libz.so.1": "zlib1g",
    "libzstd.so.1": "libzstd1",
}
LETTERS = "fonts-dejavu-core"
FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.fonts", "~/.local/share/fonts")


def see_to_qt(needs: tuple[str, ...]) -> None:
    """See that Qt finds its libraries; install the missing ones where that may be done.

    Parameters
    ----------
    needs : tuple of str
        The parts without which it is no use going on ("drawing", "window").

    Raises
    ------
    Trouble
        When a needed part stays without its libraries: the command that installs them.
    """
    if not sys.platform.startswith("linux") or stamp.settled("qt") is True:
        return
    missing = what_is_missing()
    if missing and may_install():
        say("Installing the libraries that Qt needs from this system.")
        apt_get(packages_for(missing))
        missing = what_is_missing()
    if not missing:
        stamp.settle("qt", True)
        return
    sentence = _what_to_do(missing)
    if any(part in missing for part in needs):
        raise Trouble(sentence)
    say(sentence)


def what_is_missing() -> dict[str, list[str]]:
    """Find, for each part of Qt, the libraries that do not load; parts that are whole are out."""
    missing = {part: _not_found(files) for part, (_, files) in PARTS.items()}
    missing["letters"] = [] if _has_letters() else [LETTERS]
    return {part: libraries for part, libraries in missing.items() if libraries}


def _not_found(files: list[str]) -> list[str]:
    """Ask the system's loader which libraries of these Qt files it cannot find."""
    qt = glob.glob(os.path.join(glob.escape(stamp.FOLDER), "lib", "python3*"))
    found = [
        path
        for folder in qt
        for file in files
        for path in glob.glob(
            os.path.join(glob.escape(folder), "site-packages", "PySide6", "Qt", file)
        )
    ]
    if not found or not shutil.which("ldd"):
        return []
    asked = subprocess.run(["ldd", *found], capture_output=True, text=True, check=False)
    lines = [line.split() for line in asked.stdout.splitlines() if "=> not found" in line]
    return sorted({words[0] for words in lines})


def _has_letters() -> bool:
    return any(
        name.lower().endswith((".ttf", ".otf", ".ttc", ".pfb"))
        for folder in FONT_FOLDERS
        for _, _, names in os.walk(os.path.expanduser(folder))
        for name in names
    )


def packages_for(missing: dict[str, list[str]]) -> list[str]:
    """Name Debian's packages for the missing libraries, each once."""
    known = {DEBIAN[library] for library in _libraries(missing) if library in DEBIAN}
    return sorted(known | ({LETTERS} if "letters" in missing else set()))


def _libraries(missing: dict[str, list[str]]) -> list[str]:
    return sorted({library for part in missing.values() for library in part} - {LETTERS})


def _what_to_do(missing: dict[str, list[str]]) -> str:
    report = [part for part in missing if part != "window" or "drawing" not in missing]
    stops = "; ".join(PARTS[part][0] for part in report)
    return (
        f"This system lacks libraries that Qt needs, and without them {stops}. {_remedy(missing)}"
    )


def _remedy(missing: dict[str, list[str]]) -> str:
    libraries = _libraries(missing)
    if shutil.which("apt-get") and all(library in DEBIAN for library in libraries):
        return f"Install them with: {apt_command(packages_for(missing))}"
    if shutil.which("dnf"):
        wanted = [shlex.quote(f"{library}()(64bit)") for library in libraries]
        fonts = ["dejavu-sans-fonts"] if "letters" in missing else []
        return f"Install them with: sudo dnf install {' '.join(wanted + fonts)}"
    fonts = ["a font such as DejaVu Sans"] if "letters" in missing else []
    return f"Install the packages of your system that hold {', '.join(libraries + fonts)}."


# Debian and Ubuntu


def may_install() -> bool:
    """Tell whether system packages may be installed here: as root, where apt-get is.

    VATSIDE_SYSTEM=ask in the environment keeps root from it too.
    """
    if os.environ.get("VATSIDE_SYSTEM") == "ask" or not hasattr(os, "geteuid"):
        return False
    return os.geteuid() == 0 and shutil.which("apt-get") is not None


def apt_command(packages: list[str]) -> str:
    """Write the command that a person types to install these packages."""
    return f"sudo apt-get update && sudo apt-get install {' '.join(packages)}"


def apt_get(packages: list[str]) -> None:
    """Install these packages; one that the system does not have stops none of the others."""
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    options = ["apt-get", "-q", "-y", "--no-install-recommends"]
    for command in ([*options, "update"], [*options, "install", *packages]):
        done = subprocess.run(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            env=quiet,
            check=False,
        )
        if done.returncode != 0:
            say(f"apt-get could not {command[4]}: {_apt_reason(done.stdout)}")


def _apt_reason(account: str) -> str:
    reasons = [line for line in account.splitlines() if line.startswith(("E:", "Err:"))]
    return reasons[-1] if reasons else "it gave no reason."


def get_venv_part(is_there: Callable[[], bool]) -> None:
    """Get Debian's missing venv part of Python, or say how.

    Parameters
    ----------
    is_there : callable
        Looks again whether the part is there, after it was installed.

    Raises
    ------
    Trouble
        When it may not or could not be installed here.
    """
    package = f"python3.{sys.version_info[1]}-venv"
    if may_install():
        say(f"Installing {package}, the part of Python that makes environments.")
        apt_get([package])
        if is_there():
            return
    if shutil.which("apt-get"):
        raise Trouble(
            "This Python has no venv part, so Vatside cannot get an environment of its own. "
            f"Install it with: {apt_command([package])}"
        )
    raise Trouble(
        "This Python has no venv part (the modules venv and ensurepip), so Vatside cannot get an "
        "environment of its own. Install a complete Python 3.11 or newer, then run this again."
    )
