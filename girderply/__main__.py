"""`python -m girderply`."""

from girderply.cli import main

if __name__ == "__main__":
    main()
