"""The foundation: lengths, quantities, money, faults, findings, sources, traces. Standard library only."""
