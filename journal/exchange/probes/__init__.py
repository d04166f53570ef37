"""Readings that arrive by themselves: a growing file, an MQTT topic, a serial line.

Here: one small contract (`probe`) and a class for each kind of source, each in a thread of its
own that reconnects by itself; following a file through rotation and truncation (`tail`), what a
message means (`understanding`), where passwords are (`secrets`), and the collecting of what was
delivered into one transaction a second (`intake`). The clock is passed in.
Not here: keeping rows (keeping), showing anything (desk), files brought in once (loggers).
Nothing here connects anywhere by itself: a source is set up, then switched on for a make.
"""
