"""Files on disk: the report's folder and its previews."""
