"""From bytes to a tree of texts with places; names, near names, and how a fault is said."""
