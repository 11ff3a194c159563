"""`python -m batchwright`."""

from batchwright.cli import main

if __name__ == "__main__":
    main()
