"""What is measured in one picture: one module a quantity, arrays in, `Quantity` out."""
