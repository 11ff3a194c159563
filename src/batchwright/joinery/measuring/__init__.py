"""Pass (e): what stands after cutting; it measures and tells, and changes nothing."""
