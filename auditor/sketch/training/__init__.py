"""Training of the network that labels the ink of a frame; run from the repository only."""
