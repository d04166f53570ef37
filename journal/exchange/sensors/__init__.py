"""Readings that arrive by themselves: a growing file, an MQTT topic, a serial line."""
