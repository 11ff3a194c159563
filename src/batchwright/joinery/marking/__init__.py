"""The part on the bench: its marks, its lengths, its joints as they are set out, and which parts are one kind."""
