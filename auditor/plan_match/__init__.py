"""Write into a plan which pictures belong to which shot, by what they show."""
