"""Every sentence, number and name that a person reads."""
