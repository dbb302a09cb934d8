"""What is written to ``audit.json`` and to the table of measurements."""
