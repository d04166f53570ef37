"""Sets up Vatside and opens it: python3 packaging/start.py

This file uses only syntax that every Python can read, so that one too old gets a sentence. All else
is beside it: launch.py (what is run), environment.py (.venv), system_libraries.py (what Qt needs).
"""

import sys

OLDEST = (3, 11)
NEWER = ("python3", "python3.14", "python3.13", "python3.12", "python3.11")


def too_old(version):
    """Say what to do about a Python older than Vatside reads; None when it is new enough."""
    if tuple(version[:2]) >= OLDEST:
        return None
    have = ".".join(str(number) for number in version[:2])
    needs = "Vatside needs Python 3.11 or newer; this one is " + have + "."
    other = newer_python()
    if other:
        return needs + " Run it with " + other + " instead: " + other + ' "' + __file__ + '"'
    return needs + " Install one from python.org or your system's packages, then run this again."


def newer_python():
    """Name a Python on this machine that is new enough; None when there is none."""
    import os
    import subprocess

    ask = "import sys; sys.exit(sys.version_info[:2] < " + repr(OLDEST) + ")"
    for name in NEWER:
        with open(os.devnull, "w") as nowhere:
            try:
                if subprocess.call([name, "-c", ask], stdout=nowhere, stderr=nowhere) == 0:
                    return name
            except OSError:
                continue
    return None


def main(arguments):
    """Run the word that was given; return the exit code."""
    complaint = too_old(sys.version_info)
    if complaint:
        sys.stderr.write(complaint + "\n")
        return 2
    import launch

    return launch.run(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
