"""One file that holds the whole book, checked when it is written and before it is read.

`tables` says what is in it, `rows` how a row is written, `archive` what the file looks like and when it is refused,
`making` and `restoring` do what the commands say.
"""
