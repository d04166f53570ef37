"""Delimited text as loggers write it, turned into readings.

Here: finding the encoding, delimiter, header and decimal mark (`table`), what each column is
(`understand`, `headers`), times of every usual form (`stamps`, `order`, `zones`), numbers with
or without their unit (`numbers`), the mapping that is remembered for the next file of the same
shape (`mapping`), the arrays to keep with what was skipped and why (`take`), and the preview a
person sees before anything is kept (`preview`). All plain functions from bytes to arrays.
Not here: keeping the readings (keeping), asking a person (desk), tables of past makes (the
room above).
"""
