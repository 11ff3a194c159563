"""Pass (d): what is cut and what is left, as tools of the parts' recipes; parts held without a tenon."""
