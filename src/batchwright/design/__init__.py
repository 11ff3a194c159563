"""Text in: piece file, job, shop, boards; and back to text."""
