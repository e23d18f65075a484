"""The commands, a file each, called like the command; a folder holds commands of two words: `book new`.

Each file declares its function by `@command`. Nothing else has to be told of a new one.
"""
