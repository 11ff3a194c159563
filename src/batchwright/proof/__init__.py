"""What proves a plan; shares no code with what made it."""
