"""`python -m bot` is `plimsoll`."""

import sys

from bot.cli import main

sys.exit(main())
