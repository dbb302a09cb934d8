"""Training of the network that judges rows: drawn writing on photographs, and what is like it."""
