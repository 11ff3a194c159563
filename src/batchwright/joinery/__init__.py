"""The joiner's bench: where parts meet, how big each joint is, what is cut, what is left standing."""
