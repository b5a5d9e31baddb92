"""A rooftop unit in software: its air path, coil, sensors and controls, sound or with faults."""
