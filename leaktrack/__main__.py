"""Start the command line; ``leaktrack open`` opens the window."""

import sys

from leaktrack.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
