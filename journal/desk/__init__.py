"""The window: the only room that knows Qt, one folder a place, shared widgets beside them.

Here: what is shown and what a key does. One way round: widget, record, keeper, notice, view.
A place never changes another place; it hands a record to a keeper and hears of the change like
everyone else. Not here: any sum, any SQL, any parsing.
"""
