"""The window: the only room that knows Qt, one folder a place, shared widgets beside them."""
