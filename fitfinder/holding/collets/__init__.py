"""Which collet of many: how each grips the stock, in what order, and what is missing."""
