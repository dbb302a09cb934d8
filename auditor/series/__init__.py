"""What the pictures of a set share, and which of them differ from the rest."""
