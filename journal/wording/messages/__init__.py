"""The sentences of the rooms below, one file a room: message id to template or function."""
