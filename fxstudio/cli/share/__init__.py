"""Share it: the commands that put a look into one file for others, and open such a file."""
