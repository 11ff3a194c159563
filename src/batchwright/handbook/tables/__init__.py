"""The packaged tables: our own copies of published data, one CSV file each, read by `handbook.shelf` only."""
