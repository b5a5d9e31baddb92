"""Simulated years of sound units and of units whose damper sticks: false findings, and days until it is found."""
