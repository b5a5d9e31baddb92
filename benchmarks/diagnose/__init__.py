"""Faults found on simulated roofs: how often, in how many readings and minutes, against a fixed table and at random."""
