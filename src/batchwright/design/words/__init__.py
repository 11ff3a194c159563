"""The table of the language's words: what the reader takes, the guide is made from, and faults offer."""
