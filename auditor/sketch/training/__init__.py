"""Training of the small networks on generated pages and drawn arrows; not imported at run time."""
