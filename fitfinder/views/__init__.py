"""The finder's pages and its JSON door."""
