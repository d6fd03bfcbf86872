"""`python -m config.embedded COMMAND ...`: run a command with the embedded servers up."""

import signal
import subprocess
import sys

from config.embedded import EmbeddedServers, ServerProblem
from config.paths import data_folder


def main() -> int:
    if len(sys.argv) < 2:
        sys.exit("Say which command to run: python -m config.embedded COMMAND ...")
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    try:
        with EmbeddedServers(data_folder()):
            return subprocess.run(sys.argv[1:], check=False).returncode
    except ServerProblem as problem:
        sys.exit(str(problem))
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
