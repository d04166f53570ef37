"""Each sum declared once: its keys, what it answers, how, and where that comes from.

Here: one file a part of the work (milk, cheese, vat, heat, curd, wheel), each with its `TOPICS`;
`registry` lists them all. A topic names its keys' quantities by plain strings, as the room of
typed values calls them, and computes from numbers in kept units, so nothing here is read or
typed. A new topic is one function and one line in its file's `TOPICS`. Not here: a formula
(one floor down, one file a subject), typed text, the reading of tables.
"""
