"""The plan: reading the file, reporting its faults, and what it means."""
