"""Labels for places and pieces: what stands on one, where it lies on the sheet, and how it is drawn.

Nothing sticks to an oily collet. So a label is for the slot or the drawer, and the piece carries its tag.
"""
