"""How the server keeps memory that was freed.

The GNU C library gives what is freed at the end of its heap back to the system and takes it again page by page, and an
answer frees as much as it takes: two hundred and forty page faults, half a millisecond of the two and a half that it
takes. Kept, it costs a server nothing that it did not need a moment ago.
"""

import ctypes

KEPT = 64 * 1024 * 1024
"""Bytes at the end of the heap that are kept; blocks up to half of it are taken from the heap at all."""
_M_TRIM_THRESHOLD, _M_MMAP_THRESHOLD = -1, -3  # by mallopt(3)


def keep_what_is_freed(library: object | None = None) -> bool:
    """Whether the C library could be told so; where it is another one, or refuses, nothing is changed."""
    try:
        mallopt = (library or ctypes.CDLL(None)).mallopt
    except (AttributeError, OSError, TypeError):  # no such function; no such library; Windows, where None is no name
        return False
    # Setting one of them ends the library's own adjusting of both. The second is refused where addresses are short.
    return bool(mallopt(_M_MMAP_THRESHOLD, KEPT // 2) and mallopt(_M_TRIM_THRESHOLD, KEPT))
