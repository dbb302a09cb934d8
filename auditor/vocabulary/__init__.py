"""Names of directions and places with the numbers that they mean, for reading and for writing."""
