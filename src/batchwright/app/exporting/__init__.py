"""What other programs are given: models, drawings and lists, each form of file in a module of its own."""
