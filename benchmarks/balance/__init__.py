"""Balancing in a closed loop: simulated roofs, methods side by side, scores."""
