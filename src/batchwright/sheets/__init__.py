"""Paper out."""
