"""Nouns: frozen records of piece, job, shop, stock and work; no behaviour beyond derivation."""
