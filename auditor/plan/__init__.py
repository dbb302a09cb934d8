"""What was planned, and how a picture compares with it."""
