"""An honest look at the finished pictures of a food shoot."""

__version__ = "0.1.0"
