"""A rooftop unit in software: its air path, coil, sensors and controls, sound or with faults.

A value that a part has where none is handed in is our own assumption, of no unit in particular, unless a source
stands beside it.
"""
