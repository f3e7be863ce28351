"""`python -m configurator` is the command line."""

from configurator.cli import main

if __name__ == "__main__":
    main()
