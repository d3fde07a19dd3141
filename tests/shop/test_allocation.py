"""The serving process keeps what was freed, where its C library can be told so."""

import platform
import subprocess
import sys
from pathlib import Path

import pytest

from shop import allocation

HOUSE = Path(__file__).resolve().parent.parent.parent
# A block above everything else on the heap, freed and taken again: given back to the system, each page of it faults.
FAULTS = """
import ctypes, resource, sys
from shop import allocation
if sys.argv[1] == "kept":
    assert allocation.keep_what_is_freed()
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
    return int(run.stdout)


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="another C library")
def test_memory_that_was_freed_is_not_fetched_again_page_by_page():
    assert faults("kept") < 200


def test_another_library_is_left_as_it_is(monkeypatch):
    monkeypatch.setattr(allocation, "_mallopt", lambda: None)

    assert allocation.keep_what_is_freed() is False
