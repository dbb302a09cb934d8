"""Find, decode and describe the pictures in a folder."""
