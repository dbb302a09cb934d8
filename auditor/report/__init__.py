"""The record, the table and the page."""
