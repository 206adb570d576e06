"""The command line: arguments into calls, results into words and an exit status."""
