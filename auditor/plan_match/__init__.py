"""Write into a plan which pictures belong to which shot."""
