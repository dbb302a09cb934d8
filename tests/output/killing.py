"""Kill a function at each of its calls that change the disk, one process for each call."""

import os
import sys

# Names of audit events, raised before the call is made.
CHANGES = frozenset(("os.rename", "os.remove", "os.rmdir", "os.mkdir", "open"))
KILLED, DONE = 9, 0


def kill_at_each_change(prepare, write, inspect):
    """Prepare a folder, write in a process that ends at the n-th change, inspect; n from 1 on.

    Ends when the process is no more killed. Needs `os.fork` and a process with one thread.
    """
    n = 1
    while True:
        prepare()
        child = os.fork()
        if not child:
            die_at_change(n)
            write()
            os._exit(DONE)
        _, status = os.waitpid(child, 0)
        code = os.waitstatus_to_exitcode(status)
        if code not in (KILLED, DONE):
            raise RuntimeError(f"the writing process ended with {code}")
        inspect(n)
        if code == DONE:
            return n
        n += 1


def die_at_change(nth):
    """End this process before its n-th change of the disk, as a kill or a power cut does."""
    n_changes = 0

    def count(event, arguments):
        nonlocal n_changes
        if event not in CHANGES or (event == "open" and not is_writing(arguments)):
            return
        n_changes += 1
        if n_changes == nth:
            os._exit(KILLED)

    sys.addaudithook(count)


def is_writing(arguments):
    _path, mode, flags = arguments
    return bool(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)) or "w" in (mode or "")
