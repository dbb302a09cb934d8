"""Words shared by reading a plan and writing a report, with the numbers that they mean."""
