"""Delimited text as loggers write it, turned into readings."""
