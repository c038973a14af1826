"""One module a command: `add_arguments(parser)` and `run(arguments) -> exit status`.

Exit status: 0 done; 1 done in part, or findings; 2 not begun (wrong arguments, no yard, store locked).
"""
