"""What would bring a picture back to its plan or to its set."""
