"""How a value of each key is typed, by an example of a likely size."""

from __future__ import annotations

from journal.wording.own_words import own_words


def example(topic: str, key: str) -> str:
    """Ways to type that key's value, with “or” between them; "" where there is none: then the
    examples of its quantities serve."""
    words = own_words("sums")
    own = words["examples-of"].get(topic, {}).get(key) or words["examples"].get(key, "")
    return str(own)
