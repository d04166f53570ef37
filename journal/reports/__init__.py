"""What a page, a paper or an answer shows, gathered from the journal.

Here: today's tasks, the wheels by room, the makes beside or before one make, a comparison; each
read from an open journal in one function, so that window, command and paper show the same. Not
here: what is reckoned from one make (curves), the sentences (wording), widgets (desk).
"""
