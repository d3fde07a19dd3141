"""Sheets as shops keep them: cells in, what they say out, with what is doubtful about it; no book and no database."""
