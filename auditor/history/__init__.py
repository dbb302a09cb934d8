"""Earlier audits, and what changes from one to another."""
