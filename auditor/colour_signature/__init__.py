"""The colours of a picture, compact enough to compare it with others of its set."""
