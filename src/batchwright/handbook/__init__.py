"""The library: published facts and formulae, each with its source. Packaged tables; pure functions."""
