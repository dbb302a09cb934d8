"""How pictures are measured in several processes, remembered, and progress is shown."""
