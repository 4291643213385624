"""A warmed-up process that starts children and kills them at a chosen moment.

It reads one order a line (JSON) and answers with lines: those of the child, each
something acknowledged, and then `ended` with how the child came to its end. Whatever
was acknowledged before the kill therefore stands before `ended`.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import traceback
from typing import Any

from tests.fault.jobs import run

TIME_LIMIT_S = 60.0


def _child(order: dict[str, Any]) -> None:
    """Do an order's job, and go without any of Python's own tidying up."""
    status = 1
    try:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGCHLD})
        run(order, tell=_tell)
        status = 0
    finally:
        if status:
            traceback.print_exc()
            sys.stderr.flush()
        os._exit(status)


def _tell(what: str, named: str) -> None:
    """Send one acknowledgement; a line this short goes into the pipe whole."""
    os.write(sys.stdout.fileno(), f"{what} {named}\n".encode())


def _see_through(order: dict[str, Any]) -> int:
    """Start a child, kill it when its time has come, return how it ended."""
    pid = os.fork()
    if pid == 0:
        _child(order)
    kill_after_s = order.get("kill_after_s", TIME_LIMIT_S)
    if signal.sigtimedwait({signal.SIGCHLD}, kill_after_s) is None:
        os.kill(pid, signal.SIGKILL)
        signal.sigwait({signal.SIGCHLD})
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


def main() -> None:
    """Follow orders until there are no more."""
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGCHLD})
    for line in sys.stdin:
        ended = _see_through(json.loads(line))
        _tell("ended", str(ended))


if __name__ == "__main__":
    main()
