"""The sentences of the rooms below that no template can write: message id to function."""
