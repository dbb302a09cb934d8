"""What a set of pictures has in common, and which leave it."""
