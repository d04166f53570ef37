"""The desk's one form: what is asked is a `FormSpec` of `Field`s, and what was typed comes back as
a `Filled`, whole and understood.

`fields.py` has a field of each kind and reads it, `form.py` the form at the foot of a page,
`rows.py` fields with their names at the left, `frame.py` the frame of a dialog. A place says what
it asks and what keeps it; how it looks, its keys, and where a fault is said belong here.
"""
