"""What each command does, one file a command with its `run`.

`cli` loads the file of the command that was given and no other: a nurse who prints a packet does
not wait for what proves the content or reads a filled sheet.
"""
