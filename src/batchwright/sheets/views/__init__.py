"""Plans and pieces made into scenes and tables."""
