"""What people type of a piece of stock, read into the objects of the room."""
