"""`python -m tests.attack`."""

import sys

from tests.attack.striking import main

if __name__ == "__main__":
    sys.exit(main())
