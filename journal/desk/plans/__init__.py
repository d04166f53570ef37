"""Plans: pick one, set the milk, see what the day will be, start the make.

Here: the list of plans, the sheet of a plan scaled to the milk and written in place, the planned
day as a chart, what it needs. Not here: how a plan is read and checked (records), and the shelf
(larder), whose pages the place shows behind its own.
"""
