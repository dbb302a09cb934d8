"""Rules of a hand-over: what the pictures' files and the set are held against."""
