"""Each of the trade's sums as a person asks it: its keys, its answers, how, and whence.

Here: the words around the sums of `reckoning`, for `vatside reckon`; one file a part of the work
(milk, cheese, vat, heat, curd, wheel), each with its `TOPICS`; `registry` lists them all. A topic
names its keys' quantities by plain strings, as the room of typed values calls them, and computes
from numbers in kept units. It says what was assumed, where an input lies outside what was
published, and what to mind. A new topic is one function and one line in its file's `TOPICS`. Not
here: a formula (reckoning, one file a subject), the reading of typed text (command) and of tables
(records: a published table is passed in).
"""

from __future__ import annotations


class TopicError(ValueError):
    """A question that no sum answers, with a sentence that says what would do."""
