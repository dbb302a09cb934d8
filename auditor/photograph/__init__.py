"""Files on disk become photographs."""
