"""The tabs of a workbook beside its pieces: what each has in a row, written out and read back."""
