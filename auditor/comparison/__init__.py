"""What was planned beside what was measured: differences, tolerances, verdicts."""
