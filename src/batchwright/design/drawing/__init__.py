"""From a tree to a drawn piece: views, places, parts, copies, repeats, joint statements."""
