"""Sheets in and out of the book."""
