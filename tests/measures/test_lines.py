"""The count of lines: what is code, what is a table, what is neither."""

from __future__ import annotations

from tests.measures.lines import Size, size_of, sizes

SOURCE = '''"""A module.

Of two paragraphs.
"""

from math import pi  # a comment beside code counts as code

# a comment alone does not
NAMES = {
    "one": 1,
    "two": 2,
}
PAIR = (1,
        2)


def area(radius: float) -> float:
    """Of a circle."""
    text = """in
    two lines"""

    return pi * radius**2 + len(text)
'''


def test_docstrings_comments_and_empty_lines_are_no_code_and_a_table_is_counted_apart():
    assert size_of(SOURCE) == Size(files=1, lines=22, code=7, tables=4)


def test_a_room_is_a_folder_and_a_place_of_the_desk_is_one_too():
    found = sizes([("journal/desk/vat/a.py", SOURCE), ("journal/desk/b.py", "x = 1\n"),
                   ("resources/plans/c.toml", "a = 1\nb = 2\n"), ("README.md", "#\n")])  # fmt: skip
    assert set(found) == {
        "journal", "journal/desk", "journal/desk/vat", "resources", "resources/plans",
    }  # fmt: skip
    assert found["journal"] == Size(files=2, lines=23, code=8, tables=4)
    assert found["resources"].lines == 2
