"""Numbers, lengths and expressions; sizes and their limits; writing changed sizes back."""
