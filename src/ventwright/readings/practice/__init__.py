"""The practice roof: a unit in software with hidden faults, read through the same entries as a real one."""
