"""The cutting list room: every kind, its sizes, its count, its order at each machine."""
