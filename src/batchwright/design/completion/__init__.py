"""What may be written at a place of a file, half-written files included."""
