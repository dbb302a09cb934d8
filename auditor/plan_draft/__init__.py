"""Write a plan from a drawn page or from finished pictures."""
