"""Imports shown before they are saved: the columns of a file, its picture, what was understood."""
