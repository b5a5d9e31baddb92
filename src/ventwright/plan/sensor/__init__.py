"""Sensors and signals: what they read, which curve they follow, what stands in for them."""
