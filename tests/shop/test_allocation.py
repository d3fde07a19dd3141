"""The serving process keeps what was freed, where its C library can be told so."""

import subprocess
import sys
from pathlib import Path

from shop import allocation

HOUSE = Path(__file__).resolve().parent.parent.parent
# A block above everything else on the heap, freed and taken again: given back to the system, each page of it faults.
FAULTS = """
import ctypes, resource, sys
from shop import allocation
if sys.argv[1] == "kept" and not allocation.keep_what_is_freed():
    sys.exit()  # another C library than GNU's
libc = ctypes.CDLL(None)
libc.malloc.restype, libc.malloc.argtypes = ctypes.c_void_p, [ctypes.c_size_t]
libc.free.argtypes, libc.memset.argtypes = [ctypes.c_void_p], [ctypes.c_void_p, ctypes.c_int, ctypes.c_size_t]
def once():
    block = libc.malloc(8 << 20)
    libc.memset(block, 1, 8 << 20)
    libc.free(block)
once()
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range(5):
    once()
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


def faults(how):
    run = subprocess.run([sys.executable, "-c", FAULTS, how], cwd=HOUSE, capture_output=True, text=True, check=True)
    return int(run.stdout) if run.stdout else None


def test_memory_that_was_freed_is_not_fetched_again_page_by_page():
    found = faults("kept")

    assert found is None or found < 200


def test_another_library_is_left_as_it_is():
    assert allocation.keep_what_is_freed(object()) is False
