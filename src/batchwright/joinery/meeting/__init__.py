"""Pass (a) and (b): where parts meet, against which face, and the room there is."""
