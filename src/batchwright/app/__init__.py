"""The corridor: one function per user action; clock and seed injected."""
