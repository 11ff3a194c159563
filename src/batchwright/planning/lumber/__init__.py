"""The lumber room: which boards, where each blank lies, what is not covered."""
