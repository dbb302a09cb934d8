"""The audit as tables for spreadsheets."""
