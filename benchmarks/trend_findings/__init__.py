"""What the trend rules find on logs that others measured or simulated, against what is known to be wrong."""
