"""How work is spread, remembered and shown."""
