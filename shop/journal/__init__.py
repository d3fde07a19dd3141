"""What happened and who did it: the lines of the server, the log of acts, and the history of administration."""
